//! What brings the network to rooms in use that have none of their own: a radio bridge, or fibre cable in a trench.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, Id, Input, InputValue, Metres, Money, Place, RoomId, Working};
use dw_job::Catalogue;
use dw_job::catalogue::{CableUse, Device, DeviceKind};
use dw_job::model::Transport;

use super::cables::{Cables, Candidate};
use super::ground::length_mm;
use super::rules::{FigureMissing, RadioNotAllowed, RadioOutOfRange, TrenchPriceMissing};
use super::{RoomLink, Trench};
use crate::Cx;
use crate::equip::{CableNeed, Costs};
use crate::place::Served;
use crate::survey::{Settings, Survey, Uplink};

/// Longest trench that is priced, so that a slip of the pen cannot run away (*common practice*: no site is so wide).
const MOST_TRENCH_M: f64 = 1e6;

/// What can bring the network to a room, each at its full cost over the years counted, in the money of the catalogue.
pub(crate) struct Offers<'c> {
    /// The cheapest bridge that reaches, where the policy allows radio.
    bridge: Option<(&'c Device, Money)>,
    trench: Option<Dug<'c>>,
}

/// A trench with what lies in it.
struct Dug<'c> {
    length_m: Metres,
    fibre: Option<Candidate<'c>>,
    fibre_m: Metres,
    /// Price of a metre of trench; `None` when the policy states none.
    metre: Option<Money>,
}

/// The bridge and the trench that a link can be.
///
/// **Formula**: bridge = price, labour, replacements and yearly cost of the cheapest that reaches; trench = metres x price +
/// whole metres of fibre cable x (price + labour), fibre = trench + 2 x (drop in the room + slack).
/// **Units**: money of the catalogue, before mark-up and tax. Cable and duct outlast the years counted; what turns light
/// into copper at the ends is not counted.
/// **Example**: 100 m at 10.00 and 104 m of fibre at 1.50 with 0.50 of labour: 1,208.00.
pub(crate) fn offers<'c>(
    catalogue: &'c Catalogue,
    settings: &Settings,
    whole_life: &BTreeMap<DeviceId, Money>,
    uplink: &Uplink,
) -> Offers<'c> {
    let distance = uplink.bridge_m.filter(|_| may_use_radio(settings));
    let bridge = distance.and_then(|distance| cheapest(catalogue, distance));
    let cost = |bridge: &Device| whole_life.get(&bridge.id).copied().unwrap_or_default();
    let trench = uplink.trench_m.map(|length_m| Dug::of(catalogue, settings, length_m));
    Offers { bridge: bridge.map(|bridge| (bridge, cost(bridge))), trench }
}

impl<'c> Dug<'c> {
    fn of(catalogue: &'c Catalogue, settings: &Settings, length_m: Metres) -> Self {
        let length_m = Metres::new(length_m.get().min(MOST_TRENCH_M));
        let ends = 2.0 * (settings.drop_room_m.get() + settings.slack_m.get());
        let laid_mm = length_mm(Metres::new(length_m.get() + ends));
        // One fibre each way (*common practice*).
        let cores = ["fibre to the room", "fibre from the room"].map(str::to_owned).to_vec();
        let need = CableNeed { purpose: CableUse::Fibre, cores, existing: false, local: false };
        let fibre = Cables::new(catalogue, settings).cheapest(&need, true, laid_mm);
        let fibre_m = fibre.map_or(Metres::ZERO, |_| Metres::new(laid_mm.div_ceil(1000) as f64));
        let rate = settings.money.rate_from(catalogue.heading.currency.as_ref());
        let in_catalogue = |price: Money| price.amount().checked_div(rate).map(Money::new);
        Self { length_m, fibre, fibre_m, metre: settings.money.trench_metre.and_then(in_catalogue) }
    }

    fn cost(&self) -> Option<Money> {
        let fibre = self.fibre.map_or(Money::ZERO, |fibre| fibre.metre().times_quantity(self.fibre_m.get()));
        Some(self.metre?.times_quantity(self.length_m.get()) + fibre)
    }
}

impl Offers<'_> {
    /// Whether the trench is dug: it costs less than the bridge, or no bridge serves. A trench without a price is dug only
    /// where nothing else can serve.
    fn digs(&self) -> bool {
        match (&self.bridge, &self.trench) {
            (Some(bridge), Some(trench)) => trench.cost().is_some_and(|cost| cost < bridge.1),
            (None, Some(_)) => true,
            (_, None) => false,
        }
    }

    fn bridge_cost(&self) -> Option<Money> {
        self.bridge.map(|bridge| bridge.1)
    }

    fn trench_cost(&self) -> Option<Money> {
        self.trench.as_ref().and_then(Dug::cost)
    }

    /// Cost of the one that is taken; nothing where its price is not known or there is none.
    pub(crate) fn cost(&self) -> Money {
        if self.digs() { self.trench_cost() } else { self.bridge_cost() }.unwrap_or_default()
    }

    fn link(&self, to: &RoomId, uplink: &Uplink) -> RoomLink {
        let dug = self.trench.as_ref().filter(|_| self.digs());
        let trench = dug.map(|dug| Trench {
            length_m: dug.length_m,
            fibre: dug.fibre.map(|fibre| fibre.device.id.clone()),
            fibre_m: dug.fibre_m,
        });
        RoomLink {
            from: uplink.from.clone(),
            to: to.clone(),
            device: self.bridge.filter(|_| dug.is_none()).map(|bridge| bridge.0.id.clone()),
            length_m: dug.map(|dug| dug.length_m).or(uplink.bridge_m).unwrap_or(Metres::ZERO),
            trench,
            bridge_cost: self.bridge_cost(),
            trench_cost: self.trench_cost(),
        }
    }
}

fn may_use_radio(settings: &Settings) -> bool {
    settings.transport.is_empty() || settings.transport.contains(&Transport::Radio)
}

/// Links of every room that serves openings and has its network from another, and of the rooms that feed it.
pub(super) fn links(cx: &mut Cx<'_>, survey: &Survey, by_room: &BTreeMap<&RoomId, Vec<&Served>>) -> Vec<RoomLink> {
    let settings = &survey.settings;
    let (catalogue, whole_life) = (cx.catalogue, Costs::new(cx.catalogue, &settings.money).totals());
    let mut links = Vec::new();
    for (to, uplink) in uplinks_to(survey, by_room.keys().copied()) {
        let offers = offers(catalogue, settings, &whole_life, uplink);
        let link = offers.link(to, uplink);
        match uplink.bridge_m.filter(|_| link.device.is_none() && link.trench.is_none()) {
            Some(distance) if may_use_radio(settings) => tell_unreached(cx, to, distance),
            Some(distance) => {
                let openings = by_room.get(to).map_or(0, Vec::len);
                cx.sink.report(&RadioNotAllowed { room: to.clone(), distance, openings });
            }
            None => {}
        }
        if let Some(dug) = &offers.trench {
            if dug.fibre.is_none() {
                let place = Place::of(to).field("trench_length");
                let because = "the catalogue offers no fibre cable for outdoors of this length";
                cx.sink.assume(place, "the trench with its duct alone".to_owned(), because);
            }
            show(cx, &link, &offers, dug);
        }
        links.push(link);
    }
    let stated = |room: &&RoomId| survey.room(room).and_then(|it| it.uplink.as_ref()?.trench_m).is_some();
    let rooms: Vec<RoomId> = links.iter().map(|link| &link.to).filter(stated).cloned().collect();
    if settings.money.trench_metre.is_none() && !rooms.is_empty() {
        cx.sink.report(&TrenchPriceMissing { rooms });
    }
    links
}

/// Where the network of some rooms comes from, and that of those that feed them, by the room each link leads to.
pub(crate) fn uplinks_to<'s, 'r>(
    survey: &'s Survey,
    rooms: impl Iterator<Item = &'r RoomId>,
) -> BTreeMap<&'s RoomId, &'s Uplink> {
    let mut uplinks = BTreeMap::new();
    for start in rooms {
        let mut next = survey.room(start);
        // A chain of links: each room at most once, so that a circle ends.
        while let Some(room) = next.filter(|room| !uplinks.contains_key(&room.id)) {
            let Some(uplink) = &room.uplink else { break };
            uplinks.insert(&room.id, uplink);
            next = survey.room(&uplink.from);
        }
    }
    uplinks
}

/// The cheapest bridge that reaches; ties go to the earlier model.
fn cheapest(catalogue: &Catalogue, distance: Metres) -> Option<&Device> {
    let offered = catalogue.offered(DeviceKind::RadioBridge);
    let reaching = offered.filter(|bridge| bridge.network.range.is_some_and(|range| range >= distance));
    reaching.filter(|bridge| bridge.price.is_some()).min_by_key(|bridge| (bridge.price, &bridge.id))
}

/// Tells why no bridge serves a link.
fn tell_unreached(cx: &mut Cx<'_>, room: &RoomId, distance: Metres) {
    let bridges: Vec<_> = cx.catalogue.offered(DeviceKind::RadioBridge).collect();
    for bridge in &bridges {
        let missing = [("network.range", bridge.network.range.is_none()), ("price", bridge.price.is_none())];
        for (figure, _) in missing.into_iter().filter(|missing| missing.1) {
            cx.sink.report(&FigureMissing { device: bridge.id.clone(), figure });
        }
    }
    let longest = bridges.iter().filter_map(|bridge| bridge.network.range).max();
    cx.sink.report(&RadioOutOfRange { room: room.clone(), distance, longest });
}

/// Shows what either would cost where a trench is surveyed.
fn show(cx: &mut Cx<'_>, link: &RoomLink, offers: &Offers<'_>, dug: &Dug<'_>) {
    let money = |amount: Option<Money>| amount.map_or(InputValue::from("not known"), InputValue::from);
    let cents = |amount: Money| Money::new(amount.amount().round_dp(4));
    let fibre = dug.fibre.map_or(Money::ZERO, |fibre| cents(fibre.metre()));
    let taken = if link.trench.is_some() { "trench" } else { "bridge" };
    cx.sink.show(Working {
        figure: FigureId::new("room", link.to.text(), "network_link"),
        title: "Cost of what brings the network to the room, over the years counted",
        value: offers.cost().into(),
        unit: "",
        formula: "min(bridge, trench * trench_metre + fibre * fibre_metre)",
        inputs: vec![
            Input::new("bridge", money(link.bridge_cost), ""),
            Input::new("trench", dug.length_m.get(), "m"),
            Input::new("trench_metre", money(dug.metre.map(cents)), ""),
            Input::new("fibre", dug.fibre_m.get(), "m"),
            Input::new("fibre_metre", fibre, ""),
            Input::new("trench with fibre", money(link.trench_cost), ""),
            Input::new("taken", taken, ""),
            Input::new("the other is dearer by", money(link.dearer_by()), ""),
        ],
        source: "bridge: catalogue over the years counted; trench: money.trench_price_per_metre of the policy; fibre: catalogue with labour",
    });
}

#[cfg(test)]
mod tests {
    use dw_core::{DeviceId, Hours, Money};
    use dw_job::catalogue::{CableUse, Device, DeviceKind};
    use dw_job::model::Transport;

    use crate::route::RoomLink;
    use crate::route::testing::Scene;

    /// Two rooms 100 m apart: the bridge that reaches is RB1 for 400.00.
    fn scene(trench_m: f64, cents: i64) -> Scene {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 100.0, 0.0);
        scene.bridge("TR-2", "TR-1", 100.0);
        scene.trench("TR-2", trench_m, Some(cents));
        scene.opening("D-1", "S0", 100.0, 0.0);
        scene.serve("D-1", "TR-2", 0.0);
        scene
    }

    fn fibre(scene: &mut Scene) {
        let mut fibre = Device { kind: Some(DeviceKind::Cable), ..Device::new("FO") };
        (fibre.price, fibre.cable.cores) = (Some(Money::from_cents(150)), Some(4));
        (fibre.cable.uses, fibre.cable.outdoor) = (vec![CableUse::Fibre], Some(true));
        fibre.cable.labour_per_metre = Some(Hours::new(0.01));
        scene.catalogue.devices.insert(fibre.id.clone(), fibre);
    }

    fn link(scene: &Scene) -> RoomLink {
        let (routes, raised) = scene.route();
        assert!(raised.is_empty(), "{raised:?}");
        routes.links[0].clone()
    }

    #[test]
    fn the_cheaper_of_bridge_and_trench_is_taken_and_the_bridge_where_they_cost_the_same() {
        let dear = link(&scene(100.0, 401));
        assert_eq!((dear.device, dear.trench.is_none()), (Some(DeviceId::new("RB1")), true));
        assert_eq!(dear.trench_cost, Some(Money::from_cents(40_100)));
        let same = link(&scene(100.0, 400));
        assert_eq!((same.device, same.bridge_cost == same.trench_cost), (Some(DeviceId::new("RB1")), true));
        let cheap = link(&scene(100.0, 399));
        assert_eq!((cheap.device.is_none(), cheap.trench.is_some()), (true, true));
        assert_eq!(cheap.dearer_by(), Some(Money::from_cents(100)));
    }

    #[test]
    fn fibre_for_outdoors_counts_with_labour_drops_and_slack_where_the_catalogue_has_it() {
        let mut scene = scene(100.0, 100);
        (scene.survey.settings.slack_m, scene.survey.settings.drop_room_m) =
            (dw_core::Metres::new(1.0), dw_core::Metres::new(0.7));
        fibre(&mut scene);
        // 103.4 m are 104 m bought, each 1.50 and 0.01 h at 50.00.
        let dug = link(&scene);
        assert_eq!(dug.trench_cost, Some(Money::from_cents(10_000 + 104 * 200)));
        let trench = dug.trench.unwrap();
        assert_eq!((trench.fibre, trench.fibre_m.get()), (Some(DeviceId::new("FO")), 104.0));
        scene.catalogue.devices.get_mut(&DeviceId::new("FO")).unwrap().cable.outdoor = Some(false);
        assert_eq!(link(&scene).trench_cost, Some(Money::from_cents(10_000)));
    }

    #[test]
    fn a_trench_serves_where_radio_is_not_allowed_or_does_not_reach() {
        let mut scene = scene(100.0, 9_000);
        assert!(link(&scene).trench.is_none());
        scene.survey.settings.transport = vec![Transport::Wire];
        assert!(link(&scene).trench.is_some());
        scene.survey.settings.transport.clear();
        scene.bridge("TR-2", "TR-1", 501.0);
        scene.trench("TR-2", 100.0, Some(9_000));
        assert!(link(&scene).trench.is_some());
    }

    #[test]
    fn what_either_costs_is_shown() {
        let scene = scene(100.0, 399);
        let profile = dw_job::Profile::default();
        let mut cx = crate::Cx::new(&scene.catalogue, &profile);
        crate::route::route(&mut cx, &scene.job, &scene.survey, &scene.equipment, &scene.placement);
        let shown = cx.sink.workings.iter().find(|it| it.figure.path() == "room/TR-2/network_link").unwrap();
        assert_eq!(shown.value.to_string(), "399.00");
        let input = |name: &str| shown.inputs.iter().find(|it| it.name == name).unwrap().value.to_string();
        assert_eq!(
            (input("bridge"), input("trench_metre"), input("taken")),
            ("400.00".into(), "3.99".into(), "trench".into())
        );
    }
}
