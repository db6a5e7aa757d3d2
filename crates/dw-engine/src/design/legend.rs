//! What the job and the catalogue call the things a design points at, so that a design can be read on its own.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, OpeningId, StoreyId};
use dw_job::model::Material;
use dw_job::{Catalogue, Job};
use schemars::JsonSchema;
use serde::Serialize;

use super::Design;

/// Names and facts that no pass needs and every reader does.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Legend {
    /// What each device of the design is, in a line of the catalogue.
    pub devices: BTreeMap<DeviceId, String>,
    /// Names of storeys.
    pub storeys: BTreeMap<StoreyId, String>,
    /// What doors are made of, by mark; an opening of which nothing is known is missing.
    pub doors: BTreeMap<OpeningId, DoorFacts>,
}

/// What a door is made of; `None` where the survey does not say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DoorFacts {
    /// Leaf material.
    pub leaf: Option<Material>,
    /// Frame material.
    pub frame: Option<Material>,
}

impl Legend {
    /// The legend of a design of this job with devices of this catalogue.
    pub(super) fn of(job: &Job, catalogue: &Catalogue, design: &Design) -> Self {
        let described = |id: &DeviceId| {
            let description = catalogue.devices.get(id)?.description.clone()?;
            Some((id.clone(), description))
        };
        let named = |storey: &dw_job::model::Storey| Some((storey.id.clone(), storey.name.clone()?));
        let door = |opening: &dw_job::model::Opening| {
            let door = &opening.door;
            let facts = DoorFacts { leaf: door.leaf, frame: door.frame };
            let known = facts.leaf.is_some() || facts.frame.is_some();
            known.then(|| (opening.mark.clone(), facts))
        };
        Self {
            devices: devices(design).into_iter().filter_map(described).collect(),
            storeys: job.storeys.iter().filter_map(named).collect(),
            doors: job.openings.iter().filter_map(door).collect(),
        }
    }
}

/// Every device that stands in a result.
fn devices(design: &Design) -> BTreeSet<&DeviceId> {
    let fitted = design.equipment.openings.iter().flat_map(|opening| opening.devices.iter().map(|it| &it.device));
    let placed = design.placement.controllers.iter().map(|controller| &controller.device);
    let powered = design.power.enclosures.iter().flat_map(|enclosure| {
        let parts = [&enclosure.enclosure, &enclosure.supply, &enclosure.battery];
        parts.into_iter().flatten().chain(enclosure.loads.iter().map(|load| &load.device))
    });
    let splitters = design.power.network_feeds.iter().filter_map(|feed| feed.splitter.as_ref());
    let cables = design.cables.runs.iter().filter_map(|run| run.device.as_ref());
    let links = design.routes.links.iter().filter_map(|link| link.device.as_ref());
    let capacity = &design.capacity;
    let people = capacity.licences.iter().chain(&capacity.credentials).map(|counted| &counted.0);
    let bought = design.price.materials.iter().map(|line| &line.device);
    let held = fitted.chain(placed).chain(powered).chain(splitters);
    held.chain(cables).chain(links).chain(people).chain(capacity.head_end.as_ref()).chain(bought).collect()
}
