//! What every pass is lent: catalogue, code profile, and where it puts what it has to say.

use dw_core::{DeviceId, Sink};
use dw_job::catalogue::Device;
use dw_job::{Catalogue, Profile};

/// Lends catalogue and profile to a pass and collects its findings, workings and assumptions.
pub struct Cx<'a> {
    /// Devices, prices, labour.
    pub catalogue: &'a Catalogue,
    /// Figures of the codes that apply.
    pub profile: &'a Profile,
    /// What the pass has to say.
    pub sink: Sink,
}

impl<'a> Cx<'a> {
    /// A context with an empty sink.
    pub fn new(catalogue: &'a Catalogue, profile: &'a Profile) -> Self {
        Self { catalogue, profile, sink: Sink::default() }
    }

    /// The device with this id. A pass that was given an id by an earlier pass may rely on it.
    pub fn device(&self, id: &DeviceId) -> Option<&'a Device> {
        self.catalogue.devices.get(id)
    }
}
