//! The design: everything the passes gave, and everything they had to say.

use dw_core::{Assumption, Finding, Severity, Working};
use dw_job::{Catalogue, Job, Profile};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value as Json;

use super::Legend;
use crate::capacity::CapacityPlan;
use crate::equip::Equipment;
use crate::link::LinkPlan;
use crate::place::{Growth, Placement};
use crate::power::PowerPlan;
use crate::price::Price;
use crate::route::{CableSchedule, Routes};
use crate::survey::Survey;

/// Format number of the design as JSON.
pub const DESIGN_FORMAT: u32 = 1;

/// A whole design.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Design {
    /// Format number.
    pub format: u32,
    /// What it is a design of.
    pub heading: DesignHeading,
    /// Names and facts beside the results.
    pub legend: Legend,
    /// Openings, rooms and policy, complete.
    pub survey: Survey,
    /// Devices at every opening, and why.
    pub equipment: Equipment,
    /// Controllers in rooms.
    pub placement: Placement,
    /// What becomes of the plan when every route is longer.
    pub growth: Growth,
    /// Ways.
    pub routes: Routes,
    /// Supplies, batteries, voltages.
    pub power: PowerPlan,
    /// Cables.
    pub cables: CableSchedule,
    /// Capacities, head-end, licences.
    pub capacity: CapacityPlan,
    /// Lines of readers, network, addresses, radio bridges.
    pub link: LinkPlan,
    /// Price.
    pub price: Price,
    /// What is wrong or worth knowing, gravest first.
    pub findings: Vec<Finding>,
    /// Findings somebody took on themselves.
    pub accepted: Vec<Accepted>,
    /// What was taken as read.
    pub assumptions: Vec<Assumption>,
    /// How figures came about.
    pub workings: Vec<Working>,
}

impl Design {
    /// How many findings of a severity are open.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|finding| finding.severity == severity).count()
    }

    /// The working of a figure by its path.
    pub fn working(&self, path: &str) -> Option<&Working> {
        self.workings.iter().find(|working| working.figure.path() == path)
    }

    /// The JSON Schema (2020-12) of a design as written.
    pub fn json_schema() -> Json {
        schemars::schema_for!(Design).to_value()
    }
}

/// What a design is a design of; texts are empty where the job gives none.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DesignHeading {
    /// Job number.
    pub number: String,
    /// Title of the undertaking.
    pub title: String,
    /// Customer.
    pub customer: String,
    /// Site.
    pub site: String,
    /// Address.
    pub address: String,
    /// Date of the papers, as the job gives it.
    pub date: String,
    /// Revision.
    pub revision: String,
    /// Who prepared it.
    pub prepared_by: String,
    /// Who checked it.
    pub checked_by: String,
    /// Days the proposal holds; `None` when not stated.
    pub validity_days: Option<u32>,
    /// What is not included.
    pub exclusions: Vec<String>,
    /// Catalogue used, with its edition.
    pub catalogue: String,
    /// Code profile used.
    pub profile: String,
    /// Cautions that go on every paper touching escape, fire, mains or biometrics.
    pub caution: Vec<String>,
}

impl DesignHeading {
    /// The heading of a job designed with this catalogue and profile.
    pub fn of(job: &Job, catalogue: &Catalogue, profile: &Profile) -> Self {
        let heading = &job.heading;
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        let named = [&catalogue.heading.name, &catalogue.heading.edition];
        Self {
            number: text(&heading.number),
            title: text(&heading.title),
            customer: text(&heading.customer),
            site: text(&heading.site),
            address: text(&heading.address),
            date: text(&heading.date),
            revision: text(&heading.revision),
            prepared_by: text(&heading.prepared_by),
            checked_by: text(&heading.checked_by),
            validity_days: heading.validity_days,
            exclusions: heading.exclusions.clone(),
            catalogue: named.into_iter().flatten().cloned().collect::<Vec<_>>().join(", "),
            profile: text(&profile.title),
            caution: profile.caution.clone(),
        }
    }
}

/// A finding somebody took on themselves.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Accepted {
    /// The finding.
    pub finding: Finding,
    /// Who.
    pub name: String,
    /// When.
    pub date: String,
    /// Why.
    pub reason: String,
}
