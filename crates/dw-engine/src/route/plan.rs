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
    /// For each entry of `lengths`: whether the way there leads outdoors.
    pub outdoors: Vec<Vec<bool>>,
    /// For each opening, for each way to arrange it: cost of all its cables to that room, price with waste and labour, and
    /// of surge protectors between buildings; one for each entry of `lengths`, `None` beyond the limit of that way.
    pub cable_costs: Vec<Vec<Vec<Option<Money>>>>,
    /// For each opening: its longest cable in the arrangement that reaches farthest, and why.
    pub limits: Vec<LengthLimit>,
    /// For each opening: the longest cable of each way to arrange it, and why.
    pub way_limits: Vec<Vec<LengthLimit>>,
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
    /// Parts of cable ways used, in order from the room; empty where none is drawn.
    pub ways: Vec<WayPart>,
    /// Length outside drawn ways, counted along two axes.
    pub off_way_m: Metres,
    /// Whether cables lie outdoors somewhere on the way.
    pub outdoors: bool,
    /// How much longer it is than the shortest way, because a way on that is full.
    pub detour_m: Metres,
}

/// Part of a cable way, in the direction away from the room.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WayPart {
    /// The way.
    pub way: CableWayId,
    /// Where it is entered, along the way from its first end.
    pub from_m: Metres,
    /// Where it is left.
    pub to_m: Metres,
}

/// A link that brings the network from one room to another: by radio, or by fibre cable in a trench.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoomLink {
    /// From room.
    pub from: RoomId,
    /// To room.
    pub to: RoomId,
    /// Radio bridge chosen; `None` when none reaches far enough or a trench is dug.
    pub device: Option<DeviceId>,
    /// Distance of the bridge, or length of the trench.
    pub length_m: Metres,
    /// The trench, where one is dug.
    pub trench: Option<Trench>,
    /// What the radio bridge would cost over the years counted, in the money of the catalogue; `None` where none can serve.
    pub bridge_cost: Option<Money>,
    /// What trench and fibre would cost with labour, in the money of the catalogue; `None` where no trench is surveyed or the
    /// policy states no price.
    pub trench_cost: Option<Money>,
}

impl RoomLink {
    /// By how much what was not chosen would be dearer; `None` where only one has a price.
    pub fn dearer_by(&self) -> Option<Money> {
        let (bridge, trench) = (self.bridge_cost?, self.trench_cost?);
        Some(if self.trench.is_some() { bridge - trench } else { trench - bridge })
    }
}

/// A trench with duct and a fibre cable in it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Trench {
    /// Length.
    pub length_m: Metres,
    /// Fibre cable; `None` when the catalogue offers none for outdoors.
    pub fibre: Option<DeviceId>,
    /// Fibre cable bought, with drop and slack at both ends, by the whole metre.
    pub fibre_m: Metres,
}

/// Every cable pulled, and how full ways get.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CableSchedule {
    /// Cables in the order of marks.
    pub runs: Vec<CableRun>,
    /// Fill of each drawn way.
    pub fills: Vec<WayFill>,
    /// Cables that are pulled together.
    pub pulls: Vec<PullGroup>,
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
    /// Whether it stays at the opening, between its unit and what the unit drives, and goes to no room.
    pub local: bool,
}

/// How full a drawn way gets.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WayFill {
    /// The way.
    pub way: CableWayId,
    /// Cables of this design in it, in some part or other.
    pub cables: u32,
    /// Cross-section they take where it is fullest.
    pub taken_mm2: SquareMm,
    /// Cross-section of the way; `None` when the survey does not say.
    pub area_mm2: Option<SquareMm>,
    /// Share taken where it is fullest, what was there before included.
    pub share: Option<f64>,
    /// Its stretches between places where cables join or leave.
    pub stretches: Vec<WayStretch>,
}

/// A stretch of a way in which the same cables lie.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WayStretch {
    /// Where it begins, along the way from its first end.
    pub from_m: Metres,
    /// Where it ends.
    pub to_m: Metres,
    /// Cables of this design in it.
    pub cables: u32,
    /// Cross-section they take.
    pub taken_mm2: SquareMm,
    /// Share taken, what was there before included.
    pub share: Option<f64>,
}

/// Cables from one room that run together for most of their length, so that they are pulled together.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PullGroup {
    /// Room.
    pub room: RoomId,
    /// Openings they lead to, in the order of marks.
    pub openings: Vec<OpeningId>,
    /// How many cables.
    pub cables: u32,
    /// Cross-section they take together.
    pub taken_mm2: SquareMm,
    /// Length they all run together in drawn ways.
    pub together_m: Metres,
    /// Those ways, from the room.
    pub ways: Vec<CableWayId>,
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
    /// No way to buy and cut these lengths buys less.
    pub least_bought_m: Metres,
    /// Reels to buy, numbered from 1, with what is cut from each; empty where the cable comes by the metre.
    pub reels: Vec<CutReel>,
    /// What it costs to buy, in the money of the catalogue; `None` when the catalogue states no price.
    pub cost: Option<Money>,
    /// No way to buy and cut these lengths costs less.
    pub least_cost: Option<Money>,
}

impl CablePurchase {
    /// Cable bought by the metre.
    pub fn by_metre(device: DeviceId, cut_m: Metres, bought_m: Metres) -> Self {
        let (reels, cost, least_cost) = (Vec::new(), None, None);
        Self { device, cut_m, bought_m, least_bought_m: bought_m, reels, cost, least_cost }
    }

    /// What is left over.
    pub fn waste_m(&self) -> Metres {
        self.bought_m - self.cut_m
    }

    /// No way to buy and cut these lengths leaves less.
    pub fn least_waste_m(&self) -> Metres {
        (self.least_bought_m - self.cut_m).max(Metres::ZERO)
    }

    /// By how much of its cost the purchase can lie above the least possible; `None` when it has no price.
    pub fn gap(&self) -> Option<f64> {
        let (cost, least) = (self.cost?.cents(), self.least_cost?.cents());
        Some(if cost > 0 { (cost - least) as f64 / cost as f64 } else { 0.0 })
    }
}

/// A reel and what is cut from it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CutReel {
    /// Length on it.
    pub length_m: Metres,
    /// Labels and lengths of the cables cut from it, in order, the longest first.
    pub cuts: Vec<(String, Metres)>,
    /// What is left on it.
    pub left_m: Metres,
}
