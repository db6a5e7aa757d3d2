//! Figures of devices as the pass uses them: missing ones are remembered and told once, never taken as zero.

use std::collections::BTreeSet;

use dw_core::{Amps, DeviceId, Place, Volts};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::FailMode;

use super::rules::DeviceFigureMissing;
use crate::Cx;

/// Largest figure taken as meant, in SI units; anything beyond counts as missing, so that no product overflows.
const LARGEST: f64 = 1e6;

/// Share of nominal a device works at when its maker states no limits. Source: *common practice* (rated voltage ±10 %).
const WINDOW: f64 = 0.10;

/// Efficiency of a supply or splitter whose maker states none. Source: *common practice* (80-90 %).
const EFFICIENCY: f64 = 0.85;

/// What a device draws, one of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Draw {
    /// At rest.
    pub standby: Amps,
    /// At work, lasting.
    pub active: Amps,
    /// Above the lasting current when switched on.
    pub excess: Amps,
}

/// The catalogue, with what was found missing or taken as read.
pub(super) struct Figures<'a> {
    catalogue: &'a Catalogue,
    missing: BTreeSet<(DeviceId, &'static str)>,
    taken: BTreeSet<(DeviceId, &'static str, String, &'static str)>,
}

/// A figure that is stated and of a size that can be meant.
pub(super) fn usable(figure: Option<f64>) -> Option<f64> {
    figure.filter(|figure| (0.0..=LARGEST).contains(figure))
}

impl<'a> Figures<'a> {
    pub(super) fn new(catalogue: &'a Catalogue) -> Self {
        Self { catalogue, missing: BTreeSet::new(), taken: BTreeSet::new() }
    }

    pub(super) fn device(&self, id: &DeviceId) -> Option<&'a Device> {
        self.catalogue.devices.get(id)
    }

    /// Remembers that a figure which matters is missing.
    pub(super) fn lacks(&mut self, device: &Device, figure: &'static str) {
        self.missing.insert((device.id.clone(), figure));
    }

    /// Tells everything missing and everything taken as read.
    pub(super) fn tell(self, cx: &mut Cx<'_>) {
        for (device, figure) in self.missing {
            cx.sink.report(&DeviceFigureMissing { device, figure });
        }
        for (device, figure, value, because) in self.taken {
            cx.sink.assume(Place::of(&device).field(figure), value, because);
        }
    }

    /// What a device draws; `None` when it takes nothing from a low-voltage supply or its current is not stated.
    pub(super) fn draw(&mut self, device: &Device) -> Option<Draw> {
        let electrical = &device.electrical;
        let amps = |figure: Option<Amps>| usable(figure.map(Amps::get)).map(Amps::new);
        let (standby, active) = (amps(electrical.standby), amps(electrical.active));
        let (standby, active) = match (standby, active) {
            (None, None) => {
                let fed_elsewhere = electrical.mains.is_some() || electrical.network_power.is_some();
                if !fed_elsewhere && !is_passive(device) {
                    self.lacks(device, "electrical.active");
                }
                return None;
            }
            (Some(standby), active) => (standby, active.unwrap_or(standby)),
            (None, Some(active)) => {
                self.lacks(device, "electrical.standby");
                (active, active)
            }
        };
        let active = active.max(standby);
        let inrush = amps(electrical.inrush).unwrap_or(active).max(active);
        Some(Draw { standby, active, excess: inrush - active })
    }

    /// What a lock draws by its fail mode. Fail-safe: its holding current, always. Fail-secure: nothing at rest, so that
    /// standby is the share of time it is released.
    pub(super) fn lock_draw(&mut self, device: &Device, mode: Option<FailMode>, released: f64) -> Option<Draw> {
        let draw = self.draw(device)?;
        Some(match mode {
            Some(FailMode::Secure) => Draw { standby: draw.active * released, ..draw },
            // A fail-safe lock that states no current at rest is held by its working current.
            Some(FailMode::Safe) if draw.standby == Amps::ZERO => Draw { standby: draw.active, ..draw },
            _ => draw,
        })
    }

    /// Nominal voltage of a device.
    pub(super) fn nominal(&mut self, device: &Device) -> Option<Volts> {
        let stated = usable(device.electrical.nominal.map(Volts::get)).filter(|volts| *volts > 0.0).map(Volts::new);
        if stated.is_none() {
            self.lacks(device, "electrical.nominal");
        }
        stated
    }

    /// Least voltage a device works at: stated, or nominal less a tenth.
    pub(super) fn least(&mut self, device: &Device) -> Option<Volts> {
        if let Some(stated) = usable(device.electrical.min.map(Volts::get)) {
            return Some(Volts::new(stated));
        }
        let least = self.nominal(device)? * (1.0 - WINDOW);
        let because = "common practice: rated voltage ±10 %";
        self.taken.insert((device.id.clone(), "electrical.min", least.to_string(), because));
        Some(least)
    }

    /// Whether a device works at a nominal system voltage.
    pub(super) fn accepts(&mut self, device: &Device, system: Volts) -> bool {
        let Some(nominal) = self.nominal(device) else { return false };
        let bound =
            |stated: Option<Volts>, factor: f64| usable(stated.map(Volts::get)).unwrap_or(nominal.get() * factor);
        let low = bound(device.electrical.min, 1.0 - WINDOW).min(nominal.get());
        let high = bound(device.electrical.max, 1.0 + WINDOW).max(nominal.get());
        (low..=high).contains(&system.get())
    }

    /// Efficiency of a supply or splitter, as a share.
    pub(super) fn efficiency(&mut self, device: &Device) -> f64 {
        let stated = device.supply.efficiency_percent.filter(|percent| (1.0..=100.0).contains(percent));
        if let Some(percent) = stated {
            return percent / 100.0;
        }
        let because = "common practice: 80-90 %";
        self.taken.insert((
            device.id.clone(),
            "supply.efficiency_percent",
            format!("{:.0} %", EFFICIENCY * 100.0),
            because,
        ));
        EFFICIENCY
    }
}

/// Whether a device only opens and closes contacts or leads current on, so that silence about current means none.
fn is_passive(device: &Device) -> bool {
    matches!(
        device.kind,
        Some(
            DeviceKind::DoorContact
                | DeviceKind::EmergencyRelease
                | DeviceKind::PowerTransfer
                | DeviceKind::SurgeProtector
                | DeviceKind::Credential
        )
    )
}

/// Nominal voltage of a supply: stated, or the nominal voltage its float output belongs to.
pub(super) fn system_voltage(supply: &Device) -> Option<u32> {
    let stated = usable(supply.electrical.nominal.map(Volts::get));
    let output = usable(supply.supply.output_voltage.map(Volts::get));
    let volts = stated.or(output.map(|volts| if volts < 18.0 { 12.0 } else { 24.0 }))?;
    (1.0..=1000.0).contains(&volts).then_some(libm::round(volts) as u32)
}
