//! Cables of an opening, every core allocated.
//!
//! Cores by use are *common practice*: reader 4 on a bus or 6 on data lines, lock 2, contact 2, exit sensor 4, network
//! 4 pairs. Spare cores go into signal cables; the reserve of a lock's power is its cross-section, not a core.

use dw_job::catalogue::{CableUse, Device, Interface};
use dw_job::model::ExitRequest;

use super::plan::CableNeed;

/// Name of a core without a duty.
pub(super) const SPARE: &str = "spare";

const BUS: [&str; 4] = ["supply +", "supply -", "data A", "data B"];
const DATA_LINES: [&str; 6] = ["supply +", "supply -", "data 0", "data 1", "indicator", "sounder"];
const PAIRS: [&str; 8] =
    ["pair 1 a", "pair 1 b", "pair 2 a", "pair 2 b", "pair 3 a", "pair 3 b", "pair 4 a", "pair 4 b"];

/// Interfaces in the order they are taken when both ends have several: the bus saves cores and is supervised.
const LIKED: [Interface; 5] =
    [Interface::Multidrop, Interface::FingerBus, Interface::DataLines, Interface::Network, Interface::Contact];

/// The interface a reader and its partner share.
pub(crate) fn shared_interface(reader: &Device, partner: &[Interface]) -> Option<Interface> {
    LIKED.into_iter().find(|interface| reader.interfaces.contains(interface) && partner.contains(interface))
}

fn interface_cores(interface: Option<Interface>) -> &'static [&'static str] {
    match interface {
        Some(Interface::DataLines) | None => &DATA_LINES,
        Some(Interface::Network) => &PAIRS,
        Some(_) => &BUS,
    }
}

/// The cores a reader takes by the interface it likes best.
pub(super) fn reader_cores(reader: &Device) -> &'static [&'static str] {
    interface_cores(LIKED.into_iter().find(|interface| reader.interfaces.contains(interface)))
}

/// What is wired at an opening.
#[derive(Clone, Debug, Default)]
pub(super) struct Wiring {
    /// Whether a unit at the opening decides.
    pub own_unit: bool,
    /// Whether that unit is fed from a room instead of the network.
    pub fed_from_room: bool,
    /// Interfaces of the readers wired.
    pub readers: Vec<Option<Interface>>,
    /// Locks powered over the cable.
    pub locks: u32,
    /// Whether a body or drive with mains of its own is told and tells over contacts.
    pub driven: bool,
    /// Door contacts, each on a pair and an input of its own.
    pub contacts: u32,
    /// The exit request, and whether it needs power.
    pub exit: Option<(ExitRequest, bool)>,
    pub sounder: bool,
    pub lock_state: bool,
    pub tampers: u32,
    pub spare: u32,
}

/// Most tampers and contacts wired one by one, so that a mistyped number cannot run away.
const MOST: u32 = 64;

impl Wiring {
    /// Every cable, reader first.
    pub(super) fn cables(&self) -> Vec<CableNeed> {
        let mut needs = Vec::new();
        if self.own_unit {
            needs.push(need(CableUse::Network, owned(&PAIRS)));
            if self.fed_from_room {
                needs.push(need(CableUse::Lock, owned(&["supply +", "supply -"])));
            }
        }
        for interface in &self.readers {
            let network = *interface == Some(Interface::Network);
            let cores = owned(interface_cores(*interface));
            needs.push(if network { need(CableUse::Network, cores) } else { self.signal(CableUse::Reader, cores) });
        }
        for number in 1..=self.locks.min(MOST) {
            let name = if self.locks == 1 { "lock".to_owned() } else { format!("lock {number}") };
            needs.push(need(CableUse::Lock, vec![format!("{name} +"), format!("{name} -")]));
        }
        let watched = self.watched();
        if !watched.is_empty() {
            needs.push(self.signal(CableUse::Contact, watched));
        }
        if let Some((_, powered)) = self.exit {
            let request = ["request a", "request b"];
            let cores =
                if powered { owned(&["supply +", "supply -", "request a", "request b"]) } else { owned(&request) };
            needs.push(self.signal(CableUse::ExitRequest, cores));
        }
        // A unit that decides is wired to what it drives there; only its network and its own feed come from a room.
        let from_room = if self.own_unit { 1 + usize::from(self.fed_from_room) } else { needs.len() };
        needs.iter_mut().skip(from_room).for_each(|need| need.local = true);
        needs
    }

    /// Contacts, lock state, tampers and sounder share a cable.
    fn watched(&self) -> Vec<String> {
        let mut cores = Vec::new();
        let mut pair = |name: String| cores.extend([format!("{name} a"), format!("{name} b")]);
        for number in 1..=self.contacts.min(MOST) {
            pair(if self.contacts == 1 { "contact".to_owned() } else { format!("contact {number}") });
        }
        if self.driven {
            for name in ["release", "passage", "fault"] {
                pair(name.to_owned());
            }
        }
        if self.lock_state {
            pair("lock state".to_owned());
        }
        for number in 1..=self.tampers.min(MOST) {
            pair(if self.tampers == 1 { "tamper".to_owned() } else { format!("tamper {number}") });
        }
        if self.sounder {
            cores.extend(owned(&["sounder +", "sounder -"]));
        }
        cores
    }

    fn signal(&self, purpose: CableUse, mut cores: Vec<String>) -> CableNeed {
        cores.extend((0..self.spare.min(MOST)).map(|_| SPARE.to_owned()));
        need(purpose, cores)
    }
}

fn need(purpose: CableUse, cores: Vec<String>) -> CableNeed {
    CableNeed { purpose, cores, existing: false, local: false }
}

fn owned(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// What became of a cable in the wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reuse {
    /// It serves, with this many cores allocated.
    Serves,
    /// It has fewer cores than the first cable to be served needs.
    TooFew { needs: u32 },
}

/// Lets a cable that is in the wall serve as many needs as its cores allow, readers first, lock power last.
///
/// Spare cores are not insisted on in an old cable; what is left of it becomes spare.
pub(super) fn reuse(needs: &mut [CableNeed], cores: u32) -> Option<Reuse> {
    let rank = |purpose: CableUse| match purpose {
        CableUse::Reader => 0,
        CableUse::Contact => 1,
        CableUse::ExitRequest => 2,
        _ => 3,
    };
    let mut order: Vec<usize> = (0..needs.len()).filter(|idx| needs[*idx].purpose != CableUse::Network).collect();
    order.sort_by_key(|idx| (rank(needs[*idx].purpose), *idx));
    let duty = |need: &CableNeed| need.cores.iter().filter(|core| *core != SPARE).count();
    let first = duty(&needs[*order.first()?]);
    let mut left = cores as usize;
    let mut last = None;
    for idx in order {
        let takes = duty(&needs[idx]);
        if takes > left {
            break;
        }
        left -= takes;
        needs[idx].cores.retain(|core| core != SPARE);
        needs[idx].existing = true;
        last = Some(idx);
    }
    let Some(last) = last else { return Some(Reuse::TooFew { needs: u32::try_from(first).unwrap_or(u32::MAX) }) };
    needs[last].cores.extend((0..left.min(MOST as usize)).map(|_| SPARE.to_owned()));
    Some(Reuse::Serves)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door() -> Wiring {
        Wiring {
            readers: vec![Some(Interface::Multidrop)],
            locks: 1,
            contacts: 1,
            exit: Some((ExitRequest::Sensor, true)),
            spare: 2,
            ..Wiring::default()
        }
    }

    #[test]
    fn a_plain_door_has_every_core_allocated() {
        let counted: Vec<(CableUse, usize)> =
            door().cables().iter().map(|need| (need.purpose, need.cores.len())).collect();
        assert_eq!(
            counted,
            [(CableUse::Reader, 6), (CableUse::Lock, 2), (CableUse::Contact, 4), (CableUse::ExitRequest, 6)]
        );
    }

    #[test]
    fn an_old_cable_of_four_cores_serves_a_bus_reader_and_not_one_on_data_lines() {
        let mut needs = door().cables();
        assert_eq!(reuse(&mut needs, 4), Some(Reuse::Serves), "exactly enough");
        assert!(needs[0].existing && needs[0].cores.len() == 4 && !needs[2].existing);
        let mut lines = Wiring { readers: vec![Some(Interface::DataLines)], ..door() }.cables();
        assert_eq!(reuse(&mut lines, 4), Some(Reuse::TooFew { needs: 6 }));
        assert!(lines.iter().all(|need| !need.existing));
    }

    #[test]
    fn a_thick_old_cable_serves_several_needs_and_what_is_left_is_spare() {
        let mut needs = door().cables();
        assert_eq!(reuse(&mut needs, 7), Some(Reuse::Serves));
        assert!(needs[0].existing && needs[2].existing && !needs[3].existing);
        assert_eq!(needs[2].cores, ["contact a", "contact b", SPARE]);
    }
}
