//! The ways to arrange readers and control of an opening: the usual one, and every other one worth a look by placement.

use std::sync::Arc;

use dw_core::DeviceId;
use dw_job::catalogue::Device;
use dw_job::model::ArrangementKind;

use super::bench::Bench;
use super::control::{Only, ReadingDemand, ReadingDetail, Site, Way, kind, pool, pool_models};
use super::exclude::{Candidate, Picked, Reason, Settled, pick};
use super::plan::Role;
use super::reader::{Checked, Direction, check_all};

/// Readers and control of an opening.
#[derive(Clone, Debug)]
pub(super) struct Reading<'a> {
    /// What arrangement it makes.
    pub kind: ArrangementKind,
    /// The reader on the way in, or on the way out when only that is read.
    pub main: Option<Picked<'a, ReadingDetail>>,
    /// The reader on the way out beside one on the way in.
    pub second: Option<Picked<'a, ReadingDetail>>,
    /// Controllers for an opening without a reader, or those that suit the readers chosen.
    pub models: Vec<DeviceId>,
    /// What a pinned controller breaks.
    pub controller_breaks: Vec<Reason>,
    /// The lock's current and the largest output among controllers, mA, when it is too small.
    pub output_short: Option<(u32, u32)>,
}

/// Chooses readers and control: the usual arrangement, which compares least by estimate, then every other one that
/// stands up to the same demands no worse. Where an arrangement is pinned and possible, only those of its kind.
pub(super) fn choose<'a>(bench: &Bench<'a>, demand: &ReadingDemand) -> Vec<Arc<Reading<'a>>> {
    let looked = Looked::new(bench, demand);
    let pinned = demand.arrangement.map(|kind| looked.reading(Some(Only::Kind(kind)))).filter(Reading::is_possible);
    let open = |only: &Only| pinned.is_none() || demand.arrangement == Some(only.kind());
    let others: Vec<Only> = Only::ALL.into_iter().filter(open).collect();
    let mut all = vec![pinned.unwrap_or_else(|| looked.reading(None))];
    for only in others {
        let other = looked.reading(Some(only));
        if all.iter().all(|known| !known.reads_like(&other)) && other.stands_beside(&all[0]) {
            all.push(other);
        }
    }
    all.into_iter().map(Arc::new).collect()
}

/// Readers and controllers of the catalogue looked at for one situation.
struct Looked<'d, 'a> {
    bench: &'d Bench<'a>,
    demand: &'d ReadingDemand,
    pool: Vec<&'a Device>,
    controller_breaks: Vec<Reason>,
    output_short: Option<(u32, u32)>,
    /// Candidates on the way in, or on the way out when only that is read.
    mains: Vec<Checked<'a>>,
    /// Candidates on the way out beside those.
    seconds: Option<Vec<Checked<'a>>>,
}

impl<'d, 'a> Looked<'d, 'a> {
    fn new(bench: &'d Bench<'a>, demand: &'d ReadingDemand) -> Self {
        let (pool, controller_breaks, output_short) = pool(bench, demand);
        let kept = |settled: &Option<Settled>| match settled {
            Some(Settled::Kept(id)) => Some(id.clone()),
            _ => None,
        };
        let pinned = match &demand.reader {
            Some(Settled::Pinned(id)) => Some(id),
            _ => None,
        };
        let kept_main = kept(&demand.reader);
        let kept_second = kept(&demand.reader_out);
        let check = |direction: &Direction, kept: Option<&DeviceId>, pinned: Option<&DeviceId>| {
            check_all(bench, direction, kept.map(|id| (id, demand.adapt)), pinned)
        };
        let main = demand.inward.as_ref().or(demand.outward.as_ref());
        let mains = main.map(|direction| check(direction, kept_main.as_ref(), pinned)).unwrap_or_default();
        let outward = demand.outward.as_ref().filter(|_| demand.inward.is_some());
        let seconds = outward.map(|direction| check(direction, kept_second.as_ref(), None));
        Self { bench, demand, pool, controller_breaks, output_short, mains, seconds }
    }

    /// The best readers, of all or of those an arrangement is limited to.
    fn reading(&self, only: Option<Only>) -> Reading<'a> {
        let (bench, demand) = (self.bench, self.demand);
        let reading = Reading {
            kind: ArrangementKind::Ports,
            main: None,
            second: None,
            models: Vec::new(),
            controller_breaks: self.controller_breaks.clone(),
            output_short: self.output_short,
        };
        let (direction, role) = match (&demand.inward, &demand.outward) {
            (Some(inward), _) => (inward, Role::ReaderIn),
            (None, Some(outward)) => (outward, Role::ReaderOut),
            // Without a reader the opening still takes a port somewhere.
            (None, None) => return Reading { models: pool_models(bench, demand, &self.pool), ..reading },
        };
        let site = Site { bench, demand, pool: &self.pool, direction, only };
        let candidates = self.mains.iter().map(|checked| site.candidate(checked.clone(), self.seconds.as_deref()));
        let main = read(role, candidates.collect(), demand.reader.as_ref());
        let seconds = demand.outward.as_ref().zip(self.seconds.as_ref()).zip(main.chosen.as_ref());
        let second = seconds.map(|((direction, seconds), chosen)| {
            let site = Site { direction, ..site };
            let candidates = seconds.iter().map(|checked| site.beside(checked.clone(), chosen)).collect();
            read(Role::ReaderOut, candidates, demand.reader_out.as_ref())
        });
        let models = match (&main.chosen, second.as_ref().and_then(|picked| picked.chosen.as_ref())) {
            (_, Some(Candidate { detail: ReadingDetail { way: Way::Ports(models), .. }, .. }))
            | (Some(Candidate { detail: ReadingDetail { way: Way::Ports(models), .. }, .. }), None) => models.clone(),
            // A unit decides by itself.
            (Some(_), _) => Vec::new(),
            (None, _) => pool_models(bench, demand, &self.pool),
        };
        let of_chosen =
            |chosen: &Candidate<'a, ReadingDetail>| kind(chosen.device, &chosen.detail.used, &chosen.detail.way);
        let kind = main.chosen.as_ref().map_or(ArrangementKind::Ports, of_chosen);
        // A pinned controller serves its opening even where its store is too small; that it is was told with the reader.
        let stands_in = models.is_empty() && demand.controller.is_some() && kind != ArrangementKind::OwnUnit;
        let models = if stands_in { pool_models(bench, demand, &self.pool) } else { models };
        Reading { kind, main: Some(main), second, models, ..reading }
    }
}

impl Reading<'_> {
    fn picked(&self) -> impl Iterator<Item = &Picked<'_, ReadingDetail>> {
        [&self.main, &self.second].into_iter().flatten()
    }

    /// Whether a reader was found that nothing excludes.
    fn is_possible(&self) -> bool {
        let mut picked = self.picked().map(|picked| picked.chosen.as_ref());
        self.main.is_some() && picked.all(|chosen| chosen.is_some_and(|chosen| !chosen.excluded()))
    }

    /// Whether the same readers are decided the same way.
    fn reads_like(&self, other: &Self) -> bool {
        let devices = |reading: &Self| -> Vec<Option<DeviceId>> {
            reading.picked().map(|picked| picked.device().map(|device| device.id.clone())).collect()
        };
        self.kind == other.kind && devices(self) == devices(other)
    }

    /// Whether it may stand beside the usual arrangement: nothing excludes it, it asks for the same factors, no preference
    /// speaks more against it than against the usual one, what is settled stays, and nothing new goes short.
    fn stands_beside(&self, usual: &Self) -> bool {
        let fits = |picked: &Picked<'_, ReadingDetail>, usual: &Picked<'_, ReadingDetail>| {
            let (Some(chosen), Some(other)) = (&picked.chosen, &usual.chosen) else { return false };
            let settled = usual.kept || usual.choice.pinned;
            let alike = chosen.detail.used == other.detail.used;
            alike
                && !chosen.excluded()
                && chosen.rank() <= other.rank()
                && (!settled || chosen.device.id == other.device.id)
        };
        let served = self.kind == ArrangementKind::OwnUnit || !self.models.is_empty();
        let switched = self.output_short.is_none() || usual.kind != ArrangementKind::OwnUnit;
        let read = self.main.is_some() && self.picked().count() == usual.picked().count();
        read && served && switched && self.picked().zip(usual.picked()).all(|(picked, usual)| fits(picked, usual))
    }
}

/// Picks a reader and notes what it asks for.
fn read<'a>(
    role: Role,
    candidates: Vec<Candidate<'a, ReadingDetail>>,
    settled: Option<&Settled>,
) -> Picked<'a, ReadingDetail> {
    let mut picked = pick(role, candidates, settled);
    if let Some(chosen) = &picked.chosen {
        Arc::make_mut(&mut picked.choice).factors.clone_from(&chosen.detail.used);
    }
    picked
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;
    use dw_job::model::ArrangementKind::{MatchedInController, OwnUnit, Ports};

    fn check(tables: &str, edits: &[(&str, &str)], wanted: &[(ArrangementKind, &str)]) {
        let found = ways_of_door(tables, edits);
        let found: Vec<(ArrangementKind, &str)> = found.iter().map(|(kind, reader)| (*kind, reader.as_str())).collect();
        assert_eq!(found, wanted);
    }

    #[test]
    fn a_door_for_cards_may_sit_on_ports_or_get_a_unit() {
        check("", &[], &[(Ports, "BUS"), (OwnUnit, "FACE")]);
    }

    #[test]
    fn where_a_reader_on_data_lines_is_cheapest_one_on_a_bus_reaches_farther() {
        let refused = "[policy]\nrefused_devices = [\"BUS\", \"FACE\"]";
        check(refused, &[], &[(Ports, "CARD-IN"), (Ports, "UNIT"), (OwnUnit, "UNIT")]);
    }

    #[test]
    fn fingers_are_matched_in_the_controller_where_no_reader_keeps_them() {
        check("", &[("proof.demanded", "[\"finger\"]")], &[(MatchedInController, "FINGER")]);
    }

    #[test]
    fn without_the_network_only_ports_are_left() {
        check("[policy]\ntransport = [\"wire\"]", &[], &[(Ports, "BUS")]);
    }

    #[test]
    fn without_copper_only_units_are_left() {
        check("[policy]\ntransport = [\"network\"]", &[], &[(OwnUnit, "FACE")]);
    }

    #[test]
    fn a_unit_on_the_attack_side_of_an_inner_zone_stands_beside_nothing() {
        let inner = "[[zone]]\nid = \"vault\"\nlevel = 3\n[[space]]\nid = \"safe\"\nzone = \"vault\"\n[[right]]\ngroup = \"crew\"\nzone = \"vault\"";
        check(inner, &[("to", "\"safe\"")], &[(Ports, "BUS")]);
    }

    #[test]
    fn pins_leave_what_they_do_not_name() {
        let pin = |field: &str| format!("[[pin]]\nopening = \"D-1\"\n{field}\n");
        check(&pin("controller = \"CTL\""), &[], &[(Ports, "BUS")]);
        check(&pin("controller = \"UNIT\""), &[], &[(OwnUnit, "UNIT")]);
        check(&pin("reader = \"UNIT\""), &[], &[(OwnUnit, "UNIT"), (Ports, "UNIT")]);
    }

    #[test]
    fn the_cost_at_the_opening_counts_reader_and_smaller_devices() {
        let text = format!("{}\n{}", site(), opening("D-1", &[]));
        let ways = ways(&text);
        let [(_, _, ports), (_, _, unit)] = &ways[..] else { panic!("{ways:?}") };
        // The unit and its splitter against the reader: the rest of the door is the same.
        assert!(*unit > *ports, "{ways:?}");
    }
}
