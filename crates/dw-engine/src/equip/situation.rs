//! What decides a choice at an opening, as whole numbers, so that openings in the same situation share one choice.

use dw_core::{Hours, Metres, Minutes};
use dw_job::model::{Exposure, OpeningKind};

use crate::protection_codes::IngressCode;

/// What a place asks of the devices there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Surroundings {
    /// First digit of the ingress code wanted (IEC 60529); 0 for none.
    pub solids: u32,
    /// Second digit wanted; 0 for none.
    pub water: u32,
    /// Impact code wanted (IEC 62262); 0 for none.
    pub impact: u32,
    /// Coldest there, °C.
    pub coldest_c: i32,
    /// Hottest there, °C.
    pub hottest_c: i32,
    /// Whether sun falls on it or stands behind the user.
    pub sun: bool,
    /// Whether it is heated and dry.
    pub indoors: bool,
}

/// Where a device stands, for what weather does to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stand {
    /// At hand height on the side one comes from: touched, wiped, hosed, knocked.
    Hand,
    /// A body, drive, camera or gate lock: in the weather, in a housing of its own.
    Body,
    /// In the rebate between leaf and frame, or above it.
    Rebate,
}

/// Temperature classes of IEC 62599-1:2010 clause 4; the limits are from memory.
const INDOORS_C: (i32, i32) = (5, 40);
/// Class III: outdoors sheltered. Taken for every place in the shade outdoors (*common practice*).
const SHADE_C: (i32, i32) = (-25, 50);
/// Class IV: its +60 °C counts the sun; taken where sun falls on the device (*common practice*).
const SUN_C: (i32, i32) = (-25, 60);

impl Surroundings {
    /// What exposures ask of a device that stands so.
    ///
    /// The mapping is *common practice*: indoors asks for no code; a roof outdoors IP54 (splashes, blown dust); open
    /// weather IP65 at hand height, IP54 for bodies in housings of their own, IP44 in the rebate; cleaning with water
    /// raises the second digit to 6 at hand height and 4 elsewhere, where nobody aims at it; dust raises the first digit to 5; knocks ask for
    /// IK08 (5 J). Digits: IEC 60529; impact: IEC 62262.
    pub(super) fn of(exposure: &[Exposure], stand: Stand) -> Self {
        let has = |wanted: Exposure| exposure.contains(&wanted);
        let roofed = has(Exposure::Sheltered);
        // Sun through a glass front makes no weather; sun alone means the open.
        let open = has(Exposure::Outdoors) || (has(Exposure::DirectSun) && !roofed && !has(Exposure::Indoors));
        let (mut solids, mut water) = match (open, roofed, stand) {
            (true, _, Stand::Hand) => (6, 5),
            (true, _, Stand::Body) | (false, true, Stand::Hand | Stand::Body) => (5, 4),
            (_, _, Stand::Rebate) if open || roofed => (4, 4),
            _ => (0, 0),
        };
        if has(Exposure::WashDown) {
            solids = solids.max(4);
            water = water.max(if stand == Stand::Hand { 6 } else { 4 });
        }
        if has(Exposure::Dust) && stand != Stand::Rebate {
            solids = solids.max(5);
        }
        let sun = has(Exposure::DirectSun);
        let (coldest_c, hottest_c) = match (open || roofed, sun && stand == Stand::Hand) {
            (true, true) => SUN_C,
            (true, false) => SHADE_C,
            (false, _) => INDOORS_C,
        };
        Self {
            solids,
            water,
            impact: if has(Exposure::Knocks) && stand != Stand::Rebate { 8 } else { 0 },
            coldest_c,
            hottest_c,
            sun,
            indoors: !open && !roofed && water == 0 && solids == 0,
        }
    }

    /// The same, on the side one enters: indoors for a door of a building, the same weather for a gate.
    pub(super) fn inside(exposure: &[Exposure], kind: OpeningKind, stand: Stand) -> Self {
        use OpeningKind as K;
        let walled = matches!(kind, K::Single | K::Pair | K::Sliding | K::Revolving);
        if !walled {
            return Self::of(exposure, stand);
        }
        let stays = |one: &Exposure| matches!(one, Exposure::Dust | Exposure::Knocks | Exposure::WashDown);
        let indoors = !exposure.iter().any(|one| matches!(one, Exposure::Sheltered | Exposure::Outdoors));
        // What a room of its own does to devices (dust, knocks, washing) it does on both sides; weather it does not.
        let rest: Vec<Exposure> = exposure.iter().copied().filter(|one| indoors && stays(one)).collect();
        Self::of(&rest, stand)
    }

    /// Whether an ingress code meets the digits wanted.
    ///
    /// What an immersion code says of jets: [`IngressCode::bears`].
    pub(super) fn bears_ingress(&self, ip: u32) -> bool {
        IngressCode { solids: ip / 10, water: ip % 10 }.bears(IngressCode { solids: self.solids, water: self.water })
    }
}

/// Whole millimetres.
pub(super) fn millimetres(length: Metres) -> i64 {
    whole(length.get() * 1000.0)
}

/// Whole minutes.
pub(super) fn minutes(time: Minutes) -> i64 {
    whole(time.get())
}

/// Whole thousandths of an hour.
pub(super) fn thousandths(hours: Hours) -> i64 {
    whole(hours.get() * 1000.0)
}

/// A share in whole thousandths.
pub(super) fn permille(share: f64) -> i64 {
    whole(share.clamp(0.0, 1.0) * 1000.0)
}

fn whole(value: f64) -> i64 {
    libm::round(value.clamp(-1e15, 1e15)) as i64
}

/// Whether a vehicle passes there.
pub(super) fn is_vehicle(kind: OpeningKind) -> bool {
    matches!(kind, OpeningKind::VehicleBarrier | OpeningKind::VehicleGate)
}

/// Whether people pass one by one through a lane.
pub(super) fn is_lane(kind: OpeningKind) -> bool {
    matches!(kind, OpeningKind::TurnstileLane | OpeningKind::WideLane)
}

/// Whether a leaf closes the opening.
pub(super) fn has_leaf(kind: OpeningKind) -> bool {
    use OpeningKind as K;
    matches!(kind, K::Single | K::Pair | K::Sliding | K::Revolving | K::Gate | K::Hatch)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn immersion_codes_do_not_stand_in_for_jets() {
        let outdoors = Surroundings::of(&[Exposure::Outdoors], Stand::Hand);
        assert!(outdoors.bears_ingress(65), "exactly what is wanted");
        assert!(outdoors.bears_ingress(66));
        assert!(!outdoors.bears_ingress(67));
        assert!(!outdoors.bears_ingress(54));
        let sheltered = Surroundings::of(&[Exposure::Sheltered], Stand::Hand);
        assert!(sheltered.bears_ingress(67) && sheltered.bears_ingress(54) && !sheltered.bears_ingress(44));
    }

    #[test]
    fn indoors_asks_for_no_code_and_the_inside_of_an_outer_door_is_indoors() {
        let inside = Surroundings::inside(&[Exposure::Outdoors, Exposure::DirectSun], OpeningKind::Single, Stand::Hand);
        assert_eq!(inside, Surroundings::of(&[Exposure::Indoors], Stand::Hand));
        assert!(inside.bears_ingress(20));
        let gate = Surroundings::inside(&[Exposure::Outdoors], OpeningKind::Gate, Stand::Hand);
        assert_eq!((gate.solids, gate.water), (6, 5));
    }

    #[test]
    fn washing_and_knocks_raise_the_codes() {
        let around = Surroundings::of(&[Exposure::Indoors, Exposure::WashDown, Exposure::Knocks], Stand::Hand);
        assert_eq!((around.solids, around.water, around.impact), (4, 6, 8));
    }
}
