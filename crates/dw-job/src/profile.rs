//! Code profiles: the figures a region's codes and standards set, each with its source; data a firm can replace.

use dw_core::{Celsius, Hours, Minutes, Sink};
use serde_json::{Value as Json, json};

use crate::job::Intake;
use crate::text::{Document, ProfileUnknown, Section, section};

section! {
    /// A code profile.
    pub struct Profile {
        /// Short name.
        id: Option<String>,
        /// Name on paper.
        title: Option<String>,
        /// Standby on battery where the job says nothing.
        standby: Option<Hours>,
        /// Source of the standby figure.
        standby_source: Option<String>,
        /// Alarm duty after standby.
        alarm: Option<Minutes>,
        /// Source of the alarm duty.
        alarm_source: Option<String>,
        /// Margin on the battery, percent.
        battery_margin_percent: Option<f64>,
        /// Source of the margin.
        battery_margin_source: Option<String>,
        /// Capacity left at the end of a battery's life, percent of rated; 100 where the margin covers ageing.
        battery_end_of_life_percent: Option<f64>,
        /// Source of that figure.
        battery_end_of_life_source: Option<String>,
        /// Time to recharge.
        recharge: Option<Hours>,
        /// Source of the recharge time.
        recharge_source: Option<String>,
        /// Conductor temperature for voltage drop.
        conductor_temperature: Option<Celsius>,
        /// Source of the conductor temperature.
        conductor_temperature_source: Option<String>,
        /// Source of the limits of class 2 outputs; nothing where the code knows no class 2 circuits.
        class_2_source: Option<String>,
        /// Occupant load from which panic hardware is wanted on an exit.
        panic_load: Option<u32>,
        /// Source of that load.
        panic_source: Option<String>,
        /// Source of the rule that an escape door opens from inside without key, credential or special knowledge.
        free_exit_source: Option<String>,
        /// Source of the rule that a lock holding against escape releases on power loss.
        power_loss_source: Option<String>,
        /// Source of the rule that a fire door latches, and stays latched when power is lost.
        fire_door_source: Option<String>,
        /// Words printed wherever escape, fire, mains or biometrics are touched.
        caution: Vec<String>,
    }
}

impl Profile {
    /// Reads a profile from its file.
    pub fn read(document: &Document) -> (Self, Sink) {
        let mut reading = Intake::new("profile", document, Sink::default());
        let profile = reading.single("profile");
        reading.finish();
        (profile, reading.sink)
    }

    /// The profile of this name among the files that come with the program. An unknown name is a finding, and every
    /// figure the profile would have given becomes common practice on the list of assumptions.
    pub fn named(name: Option<&str>, files: &[Document]) -> (Self, Sink) {
        let read: Vec<(Self, Sink)> = files.iter().map(Self::read).collect();
        let known: Vec<String> = read.iter().filter_map(|(profile, _)| profile.id.clone()).collect();
        let found = read.into_iter().find(|(profile, _)| profile.id.as_deref() == name && name.is_some());
        found.unwrap_or_else(|| {
            let mut sink = Sink::default();
            sink.report(&ProfileUnknown { name: name.map(str::to_owned), known });
            (Self::default(), sink)
        })
    }

    /// The JSON Schema (2020-12) of a profile file.
    pub fn file_schema() -> Json {
        json!({
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": "Doorwright code profile",
            "type": "object",
            "properties": { "profile": Self::json_schema("The profile") },
            "additionalProperties": false,
        })
    }
}
