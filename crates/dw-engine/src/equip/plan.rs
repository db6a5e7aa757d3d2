//! What the equip pass gives: the devices at every opening, and why.

use std::collections::BTreeMap;
use std::sync::Arc;

use dw_core::{DeviceId, Money, OpeningId};
use dw_job::Catalogue;
use dw_job::catalogue::CableUse;
use dw_job::model::{ArrangementKind, Factor, FailMode};
use schemars::JsonSchema;
use serde::Serialize;

use super::whole_life::Costs;
use crate::survey::MoneySettings;

/// Equipment of every opening, in the order of marks.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Equipment {
    /// One entry for each opening surveyed.
    pub openings: Vec<Equipped>,
}

impl Equipment {
    /// The equipment of the opening with this mark.
    pub fn opening(&self, mark: &OpeningId) -> Option<&Equipped> {
        self.openings.binary_search_by(|opening| opening.mark.cmp(mark)).ok().map(|idx| &self.openings[idx])
    }
}

/// An arrangement in plain words.
pub fn arrangement_words(kind: ArrangementKind) -> &'static str {
    match kind {
        ArrangementKind::Ports => "ports on controllers in telecom rooms",
        ArrangementKind::MatchedInController => "readers matched in the controller",
        ArrangementKind::OwnUnit => "units at the opening",
    }
}

/// One way to fit out an opening, complete.
#[derive(Clone, Debug)]
pub struct Arrangement {
    /// What decides.
    pub kind: ArrangementKind,
    /// Everything at the opening.
    pub equipped: Equipped,
    /// Whole-life cost of readers and smaller devices there with the tasks done there, for comparing the arrangements of one
    /// opening; control in a room, cable and network ports are not in it.
    pub at_opening: Money,
}

/// The ways to fit out every opening surveyed, in the order of marks; the usual one comes first.
#[derive(Clone, Debug, Default)]
pub struct Arrangements {
    /// At least one for each opening.
    pub openings: Vec<Vec<Arrangement>>,
    /// What each device costs over the years counted, in today's money: price, labour, replacements and yearly cost. One
    /// without a price is missing.
    pub whole_life: BTreeMap<DeviceId, Money>,
}

impl Arrangements {
    /// One way for each opening: nothing is left to choose.
    pub fn settled(equipment: &Equipment, catalogue: &Catalogue, money: &MoneySettings) -> Self {
        let one = |equipped: &Equipped| {
            let kind = match equipped.control {
                ControlNeed::OwnUnit { .. } => ArrangementKind::OwnUnit,
                _ => ArrangementKind::Ports,
            };
            vec![Arrangement { kind, equipped: equipped.clone(), at_opening: Money::ZERO }]
        };
        let whole_life = Costs::new(catalogue, money).totals();
        Self { openings: equipment.openings.iter().map(one).collect(), whole_life }
    }
}

/// Equipment of one opening.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Equipped {
    /// Mark.
    pub mark: OpeningId,
    /// How access is decided and what that needs from a controller.
    pub control: ControlNeed,
    /// What the lock does when power is lost; `None` without an electric lock.
    pub fail_mode: Option<FailMode>,
    /// Whether the lock, when energised or locked, holds against people on their way out.
    pub holds_escape: bool,
    /// Why the choice stands only until a survey of the door confirms it.
    pub provisional: Option<String>,
    /// Every device at the opening.
    pub devices: Vec<Fitted>,
    /// Cables the opening needs, with what each core does.
    pub cables: Vec<CableNeed>,
    /// What happens in normal use, on fire and on loss of power.
    pub action: Action,
    /// Why each device was chosen; shared between openings in the same situation.
    pub choices: Vec<Arc<Choice>>,
}

impl Equipped {
    /// The factors a reader in this role asks for, as chosen.
    pub fn factors(&self, role: Role) -> &[Factor] {
        self.choices.iter().find(|choice| choice.role == role).map_or(&[], |choice| &choice.factors)
    }

    /// The first device in a role.
    pub fn in_role(&self, role: Role) -> Option<&Fitted> {
        self.devices.iter().find(|fitted| fitted.role == role)
    }
}

/// What an opening needs from a controller.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum ControlNeed {
    /// Ports on a controller in a telecom room.
    Ports {
        /// Ports, all on one controller.
        ports: u32,
        /// Controller models that can serve it, by id.
        models: Vec<DeviceId>,
    },
    /// A unit at the opening decides by itself and needs the network and power only.
    OwnUnit {
        /// The unit, also among the devices.
        unit: DeviceId,
    },
    /// Nothing: the opening is not under electronic control.
    None,
}

/// The part a device plays at an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Reads on the way in.
    ReaderIn,
    /// Reads on the way out.
    ReaderOut,
    /// Locks, or drives a lane, barrier or lift.
    Lock,
    /// Takes power to the leaf.
    PowerTransfer,
    /// Asks to leave.
    ExitRequest,
    /// Breaks lock power in an emergency.
    EmergencyRelease,
    /// Watches the leaf.
    DoorContact,
    /// Tells at the door.
    Sounder,
    /// Feeds the opening from the network.
    Splitter,
    /// Anything else fitted at the opening.
    Other,
}

/// A device fitted at an opening.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Fitted {
    /// The device.
    pub device: DeviceId,
    /// How many; 0 for a body that is counted at a neighbouring lane.
    pub count: u32,
    /// Its part.
    pub role: Role,
    /// Whether it is there already and stays, so that it is not bought.
    pub kept: bool,
}

/// A cable an opening needs.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CableNeed {
    /// What it is for.
    pub purpose: CableUse,
    /// What each core does, in order; spare cores are named as such.
    pub cores: Vec<String>,
    /// Whether a cable that is in the wall already serves.
    pub existing: bool,
    /// Whether it stays at the opening, between its unit and what the unit drives, and goes to no room.
    pub local: bool,
}

/// What happens at the opening.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Action {
    /// In normal use.
    pub normal: String,
    /// On fire.
    pub fire: String,
    /// On loss of power.
    pub power_loss: String,
}

/// Why a device was chosen.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Choice {
    /// The part.
    pub role: Role,
    /// The device chosen; `None` when nothing fits.
    pub chosen: Option<DeviceId>,
    /// Its whole-life cost as compared.
    pub whole_life: Money,
    /// Whether a pin decided.
    pub pinned: bool,
    /// The next best device and its whole-life cost.
    pub runner_up: Option<RunnerUp>,
    /// Devices that were excluded or rank behind, each with its reason.
    pub excluded: Vec<Exclusion>,
    /// Factors a reader asks for here; empty for other parts.
    pub factors: Vec<Factor>,
}

/// The next best device.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RunnerUp {
    /// The device.
    pub device: DeviceId,
    /// Its whole-life cost as compared.
    pub whole_life: Money,
}

/// A device that was excluded.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Exclusion {
    /// The device.
    pub device: DeviceId,
    /// Why, with both figures.
    pub reason: String,
}
