//! Split of works: who supplies, fits, wires and tests each item of an opening.

use dw_job::model::{Duty, Opening, OpeningKind, TransferPreparation, Works};

use super::DutySplit;

/// The items that exist at this opening, each with its parties; the opening's word counts before the policy's.
///
/// A power transfer, which the design may add, and a mains spur, which its enclosure wants, are there also where somebody is
/// named for all of their work.
pub(super) fn split(opening: &Opening, kind: OpeningKind, fire_release: bool, usual: &Works) -> Vec<DutySplit> {
    let own = &opening.works;
    let hinged = matches!(kind, OpeningKind::Single | OpeningKind::Pair | OpeningKind::Gate);
    let transfer = opening.door.power_transfer.is_some_and(|transfer| transfer != TransferPreparation::None);
    let driven = matches!(
        kind,
        OpeningKind::VehicleBarrier | OpeningKind::VehicleGate | OpeningKind::TurnstileLane | OpeningKind::WideLane
    );
    let items = [
        ("lock", true, &own.lock, &usual.lock),
        ("power transfer", transfer, &own.power_transfer, &usual.power_transfer),
        ("closer", hinged, &own.closer, &usual.closer),
        ("operator", opening.door.operator.is_some() || driven, &own.operator, &usual.operator),
        ("containment", true, &own.containment, &usual.containment),
        ("mains spur", driven || opening.door.operator.is_some(), &own.mains_spur, &usual.mains_spur),
        ("fire contact", fire_release, &own.fire_contact, &usual.fire_contact),
        ("network port", true, &own.network_port, &usual.network_port),
    ];
    let may_come = |item: &str| item == "mains spur" || (item == "power transfer" && hinged);
    let wanted = |(item, exists, own, usual): (&'static str, bool, &Duty, &Duty)| {
        let split = merged(item, own, usual);
        (exists || (may_come(item) && blank(&split).is_none())).then_some(split)
    };
    items.into_iter().filter_map(wanted).collect()
}

fn merged(item: &'static str, own: &Duty, usual: &Duty) -> DutySplit {
    let party = |own_part: &Option<String>, usual_part: &Option<String>| {
        let named = [own_part, &own.all, usual_part, &usual.all].into_iter().flatten().next();
        named.filter(|name| !name.trim().is_empty()).cloned()
    };
    DutySplit {
        item,
        supply: party(&own.supply, &usual.supply),
        fit: party(&own.fit, &usual.fit),
        wire: party(&own.wire, &usual.wire),
        test: party(&own.test, &usual.test),
    }
}

/// What nobody was named for: "wire and test the mains spur".
pub(super) fn blanks(duties: &[DutySplit]) -> Vec<String> {
    duties.iter().filter_map(blank).collect()
}

fn blank(duty: &DutySplit) -> Option<String> {
    let parts = [("supply", &duty.supply), ("fit", &duty.fit), ("wire", &duty.wire), ("test", &duty.test)];
    let open: Vec<&str> = parts.into_iter().filter(|part| part.1.is_none()).map(|part| part.0).collect();
    match open.as_slice() {
        [] => None,
        [only] => Some(format!("{only} the {}", duty.item)),
        [many @ .., last] => Some(format!("{} and {last} the {}", many.join(", "), duty.item)),
    }
}
