//! How long the cables of an opening may be: the shortest limit of what must run there.

use dw_core::Metres;
use dw_job::Catalogue;
use dw_job::catalogue::{CableUse, Interface};

use super::cables::Cables;
use crate::equip::{ControlNeed, Equipped, Role};

/// The longest cable of an opening, and what sets the limit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LengthLimit {
    /// Longest cable.
    pub length_m: Metres,
    /// What sets it.
    pub cause: LimitCause,
    /// What sets it, in words.
    pub because: String,
}

/// What sets the longest cable of an opening.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LimitCause {
    /// Nothing but practice.
    #[default]
    Practice,
    /// The data lines of its reader; one with a bus interface carries further.
    DataLines,
    /// The bus of its reader.
    Bus,
    /// A network link.
    Network,
    /// The longest run any cable of the catalogue bears.
    Cable,
}

impl LimitCause {
    /// The edit by which cables may become longer, or need not.
    pub(crate) fn way_out(self, opening: &str) -> String {
        match self {
            Self::DataLines => {
                format!("Pin a reader with a bus interface, which carries further, to {opening}, or add a room")
            }
            Self::Cable => {
                format!("Offer a cable in the catalogue that bears a longer run for {opening}, or add a room")
            }
            Self::Practice | Self::Bus | Self::Network => format!("Add a room nearer to {opening}"),
        }
    }
}

/// Longest run of an interface and where the figure comes from.
const RUNS: [(Interface, f64, &str); 4] = [
    // 500 ft, the usual figure of readers on two data lines (*from memory*).
    (Interface::DataLines, 150.0, "two data lines carry 150 m"),
    // TIA-485-A application practice: 1200 m (4000 ft) at low rates (*from memory*).
    (Interface::Multidrop, 1200.0, "a multidrop bus carries 1200 m"),
    (Interface::FingerBus, 1200.0, "a multidrop bus carries 1200 m"),
    // TIA-568: channel of 100 m = permanent link of 90 m and 10 m of cords.
    (Interface::Network, 90.0, "a permanent network link is at most 90 m"),
];

/// Longest cable where nothing sets a limit: as far as a bus (*common practice*).
const NO_LIMIT: (f64, &str) = (1200.0, "no cable runs further than a bus");

/// The limit of an opening.
///
/// A reader runs on the farthest interface that it shares with the controllers that can serve it. A cable limits its
/// need to the longest run that any suitable cable of the catalogue bears.
pub(super) fn limit(
    catalogue: &Catalogue,
    cables: &mut Cables<'_>,
    equipped: &Equipped,
    outdoors: bool,
) -> LengthLimit {
    let (length_m, because) = (Metres::new(NO_LIMIT.0), NO_LIMIT.1.to_owned());
    let mut limit = LengthLimit { length_m, cause: LimitCause::Practice, because };
    let mut lower = |length_m: f64, cause: LimitCause, because: &dyn Fn() -> String| {
        if length_m < limit.length_m.get()
            && let Some(length_m) = Metres::try_new(length_m)
        {
            limit = LengthLimit { length_m, cause, because: because() };
        }
    };
    let runs_network = equipped.cables.iter().any(|cable| cable.purpose == CableUse::Network)
        || matches!(equipped.control, ControlNeed::OwnUnit { .. });
    if runs_network {
        let (_, length_m, because) = RUNS[3];
        lower(length_m, LimitCause::Network, &|| because.to_owned());
    }
    if let ControlNeed::Ports { models, .. } = &equipped.control {
        for fitted in equipped.devices.iter().filter(|it| matches!(it.role, Role::ReaderIn | Role::ReaderOut)) {
            let Some(reader) = catalogue.devices.get(&fitted.device) else { continue };
            let offered = |run: &&(Interface, f64, &str)| {
                let mut controllers = models.iter().filter_map(|model| catalogue.devices.get(model));
                controllers.any(|controller| controller.control.interfaces.contains(&run.0))
            };
            let spoken = RUNS.iter().filter(|run| reader.interfaces.contains(&run.0));
            let best = spoken.clone().filter(offered).max_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((interface, length_m, because)) = best.or_else(|| spoken.max_by(|a, b| a.1.total_cmp(&b.1))) {
                let cause = match interface {
                    Interface::DataLines => LimitCause::DataLines,
                    Interface::Network => LimitCause::Network,
                    _ => LimitCause::Bus,
                };
                lower(*length_m, cause, &|| format!("{}: {because}", reader.id));
            }
        }
    }
    for need in equipped.cables.iter().filter(|need| !need.existing && !need.local) {
        if let Some(longest) = cables.longest(need, outdoors) {
            lower(longest as f64 / 1000.0, LimitCause::Cable, &|| {
                format!("no {} cable bears more than {} m", need.purpose, longest as f64 / 1000.0)
            });
        }
    }
    limit
}
