//! capacity: cards, templates and events, head-end and licences.

mod plan;

pub use plan::*;
