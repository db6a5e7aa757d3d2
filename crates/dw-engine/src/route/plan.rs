//! What the route pass gives: lengths to every room in reach, the way of every opening, the cable schedule.

use dw_core::{CableWayId, DeviceId, Metres, Money, OpeningId, RoomId, SquareMm};
use dw_job::catalogue::CableUse;
use schemars::JsonSchema;
use serde::Serialize;

use super::LengthLimit;

/// Length of the shortest route from every opening to every room that can be reached.
#[derive(Clone, Debug)]
pub struct Reach {
    /// For each opening in the order of the survey: index of a room in the survey, and the length with slack.
    pub lengths: Vec<Vec<(usize, Metres)>>,
    /// For each opening, for each way to arrange it: cost of all its cables to that room, price and labour with waste, and
    /// of surge protectors between buildings; one for each entry of `lengths`, `None` beyond the limit of that way.
    pub cable_costs: Vec<Vec<Vec<Option<Money>>>>,
    /// For each opening: its longest cable in the arrangement that reaches farthest, and why.
    pub limits: Vec<LengthLimit>,
    /// Rate of an hour of fitting, as counted in the cost of cable.
    pub hour: Money,
}

/// The way of every served opening.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Routes {
    /// In the order of marks.
    pub openings: Vec<RoutedOpening>,
    /// Room to room links that carry the network.
    pub links: Vec<RoomLink>,
}

impl Routes {
    /// The way of the opening with this mark.
    pub fn of(&self, mark: &OpeningId) -> Option<&RoutedOpening> {
        self.openings.binary_search_by(|routed| routed.mark.cmp(mark)).ok().map(|idx| &self.openings[idx])
    }
}

/// The way from an opening to its room.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoutedOpening {
    /// Mark.
    pub mark: OpeningId,
    /// Room.
    pub room: RoomId,
    /// Length along the way, with drops and slack at both ends.
    pub length_m: Metres,
    /// Cable ways used, in order from the room; empty where none is drawn.
    pub ways: Vec<CableWayId>,
    /// Length outside drawn ways, counted along two axes.
    pub off_way_m: Metres,
}

/// A link that brings the network from one room to another by radio.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoomLink {
    /// From room.
    pub from: RoomId,
    /// To room.
    pub to: RoomId,
    /// Radio bridge chosen; `None` when none reaches far enough.
    pub device: Option<DeviceId>,
    /// Distance.
    pub length_m: Metres,
}

/// Every cable pulled, and how full ways get.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CableSchedule {
    /// Cables in the order of marks.
    pub runs: Vec<CableRun>,
    /// Fill of each drawn way.
    pub fills: Vec<WayFill>,
    /// Cable to buy, by device.
    pub purchases: Vec<CablePurchase>,
}

/// One cable.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CableRun {
    /// Label: mark and running number, such as `D-101/2`.
    pub label: String,
    /// Opening.
    pub mark: OpeningId,
    /// Room.
    pub room: RoomId,
    /// Cable; `None` for a cable in the wall already or when none in the catalogue fits.
    pub device: Option<DeviceId>,
    /// What it is for.
    pub purpose: CableUse,
    /// Length cut: route with drops and slack.
    pub length_m: Metres,
    /// What each core does, in order.
    pub cores: Vec<String>,
    /// Whether it is in the wall already.
    pub existing: bool,
}

/// How full a drawn way gets.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WayFill {
    /// The way.
    pub way: CableWayId,
    /// Cables of this design in it.
    pub cables: u32,
    /// Cross-section they take.
    pub taken_mm2: SquareMm,
    /// Cross-section of the way; `None` when the survey does not say.
    pub area_mm2: Option<SquareMm>,
    /// Share taken, what was there before included.
    pub share: Option<f64>,
}

/// Cable to buy of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CablePurchase {
    /// Cable.
    pub device: DeviceId,
    /// Sum of the lengths cut.
    pub cut_m: Metres,
    /// Length bought, with waste.
    pub bought_m: Metres,
    /// Reels of the standard length, when the catalogue states one.
    pub reels: Option<u32>,
}
