//! Data that comes with the program: demo catalogue, code profiles, demo job.

use dw_job::Document;

macro_rules! shipped {
    ($folder:literal: $($name:literal),* $(,)?) => {
        vec![$(Document {
            name: $name.to_owned(),
            bytes: include_bytes!(concat!("../../../", $folder, "/", $name)).to_vec(),
        }),*]
    };
}

/// The demo catalogue.
pub fn catalogue() -> Vec<Document> {
    shipped!("data/catalogue": "control.toml", "readers.toml", "locks.toml", "power.toml", "cable.toml", "network.toml",
        "people.toml", "labour.toml")
}

/// Code profiles.
pub fn profiles() -> Vec<Document> {
    shipped!("data/profiles": "uk-eu.toml", "us.toml")
}

/// The demo job: an invented ferry terminal.
pub fn demo_job() -> Vec<Document> {
    shipped!("examples/ferry-terminal": "job.toml", "openings.csv", "spaces.csv", "cable_ways.csv", "people.csv",
        "rights.csv", "existing.csv")
}

/// The smallest sensible job, the start of a new one.
pub fn first_job() -> Vec<Document> {
    shipped!("examples/one-door": "job.toml")
}
