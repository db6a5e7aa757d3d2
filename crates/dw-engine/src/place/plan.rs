//! What the place pass gives: controllers in rooms, and who serves which opening.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Metres, Money, OpeningId, RoomId};
use dw_job::Catalogue;
use dw_job::catalogue::Interface;
use dw_job::model::ArrangementKind;
use schemars::JsonSchema;
use serde::Serialize;

/// Where controllers stand and what they serve.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Placement {
    /// Controllers by room, model and number.
    pub controllers: Vec<PlacedController>,
    /// How each opening is served, in the order of marks; openings nobody can serve are missing here.
    pub served: Vec<Served>,
    /// Openings nobody can serve.
    pub unserved: Vec<OpeningId>,
    /// Cost of the plan as the solver counts it over the years of the policy: cable, rooms, controllers, and what an
    /// opening's arrangement costs there beyond its cheapest one.
    pub cost: Money,
    /// No plan can cost less.
    pub bound: Money,
    /// (cost - bound) / cost.
    pub gap: f64,
    /// Why openings are unserved: each an irreducible set of demands.
    pub clashes: Vec<Clash>,
    /// What staying with the issued revision costs more than a fresh plan; `None` when nothing was issued.
    pub staying_put: Option<Money>,
    /// Whether somebody stopped the search before its effort was spent; the same input need not give this plan again.
    pub stopped: bool,
    /// Openings that must not share a controller, one entry for each demand of the job.
    pub apart: Vec<SharesNone>,
    /// What these demands cost more than the best plan found without them; `None` where there are none, somebody is unserved, a
    /// revision was issued, or the site is large.
    pub apart_costs: Option<Money>,
    /// How openings are arranged and what other architectures would cost; `None` where no opening left a choice.
    pub architecture: Option<Architecture>,
}

impl Placement {
    /// How each opening is served: what a preview of an edited job begins from.
    pub fn stood(&self) -> super::Previous {
        let stood = |served: &Served| super::Stood { room: served.room.clone(), arrangement: served.arrangement };
        self.served.iter().map(|served| (served.mark.clone(), stood(served))).collect()
    }

    /// Number of the arrangement of each opening served.
    pub fn ways(&self) -> BTreeMap<OpeningId, usize> {
        self.served.iter().map(|served| (served.mark.clone(), served.way)).collect()
    }

    /// How the opening with this mark is served.
    pub fn of(&self, mark: &OpeningId) -> Option<&Served> {
        self.served.binary_search_by(|served| served.mark.cmp(mark)).ok().map(|idx| &self.served[idx])
    }
}

/// A controller in a room.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlacedController {
    /// Label: room and running number, such as `TR-1/C3`.
    pub label: String,
    /// Room.
    pub room: RoomId,
    /// Model.
    pub device: DeviceId,
    /// Running number in the room, whatever the model.
    pub number: u32,
    /// Who holds each port, port 1 first.
    pub ports: Vec<Option<OpeningId>>,
    /// Whether it is there already.
    pub kept: bool,
}

impl PlacedController {
    /// Whether it takes a network port that was free before: a new one that speaks to the network.
    pub fn takes_port(&self, catalogue: &Catalogue) -> bool {
        let interfaces = catalogue.devices.get(&self.device).map_or(&[][..], |device| &device.interfaces);
        !self.kept && (interfaces.is_empty() || interfaces.contains(&Interface::Network))
    }
}

/// How an opening is served.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Served {
    /// Mark.
    pub mark: OpeningId,
    /// Room its cables go to.
    pub room: RoomId,
    /// Index into [`Placement::controllers`]; `None` for a unit that decides by itself.
    pub controller: Option<usize>,
    /// First port taken, counted from 1 as printed on a controller; 0 without a controller.
    pub first_port: u32,
    /// Length of the route as priced, slack included.
    pub length_m: Metres,
    /// Whether a pin or an issued revision fixed the room.
    pub fixed: bool,
    /// How it is arranged.
    pub arrangement: ArrangementKind,
    /// Number of the arrangement among those that equip gives.
    #[serde(skip)]
    pub way: usize,
}

/// Openings that must not share a controller, and where they hang.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SharesNone {
    /// The openings, in the order of marks.
    pub openings: Vec<OpeningId>,
    /// Label of the controller of each; `None` for one that is unserved or takes no controller.
    pub controllers: Vec<Option<String>>,
    /// Why.
    pub because: Option<String>,
}

/// The architecture of the whole job: how its openings are arranged, and what the others would cost.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Architecture {
    /// In plain words.
    pub name: String,
    /// Openings that could have been arranged in more than one way.
    pub open_openings: usize,
    /// How many of the openings served are arranged in each way.
    pub arrangements: Vec<ArrangementCount>,
    /// The cheapest plans found with another arrangement wherever an opening admits it; the runner-up first.
    pub others: Vec<OtherArchitecture>,
}

impl Architecture {
    /// The cheapest other architecture that serves the same openings.
    pub fn runner_up(&self) -> Option<&OtherArchitecture> {
        self.others.iter().find(|other| other.unserved == 0)
    }
}

/// Openings arranged in one way.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ArrangementCount {
    /// The way.
    pub arrangement: ArrangementKind,
    /// How many.
    pub openings: usize,
}

/// The cheapest plan found with one arrangement wherever an opening admits it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OtherArchitecture {
    /// The arrangement.
    pub arrangement: ArrangementKind,
    /// Its cost as placement counts it.
    pub cost: Money,
    /// What it costs more than the plan.
    pub more: Money,
    /// Openings arranged otherwise than in the plan.
    pub openings_differ: usize,
    /// Openings it cannot serve and the plan does; its cost is not to be compared then.
    pub unserved: usize,
    /// What is dearer and what is cheaper.
    pub parts: Vec<CostPart>,
    /// The same in words.
    pub because: String,
}

/// A part of the cost of two plans.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CostPart {
    /// What it is.
    pub what: &'static str,
    /// In the plan.
    pub here: Money,
    /// In the other one.
    pub there: Money,
}

/// Demands that cannot be met together; without any one of them the others can.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Clash {
    /// Openings left unserved because of it.
    pub unserved: Vec<OpeningId>,
    /// What clashes, in one line.
    pub headline: String,
    /// The demands, pins first; those of one kind stand together, and giving up any one of them is enough.
    pub demands: Vec<Demanded>,
    /// Openings that take part.
    pub openings: Vec<OpeningId>,
    /// Whether a plan without each single demand was found; where it was not, fewer demands may clash already.
    pub is_irreducible: bool,
}

/// Demands of one kind in a clash.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Demanded {
    /// In words.
    pub text: String,
    /// Openings they are about, one demand for each; empty for a limit of a room or a policy.
    pub openings: Vec<OpeningId>,
    /// The edit that removes one of them, and what the plan then costs where that is known.
    pub way_out: String,
}
