//! power: supplies, batteries and conductors, and the voltage at every lock.

pub mod battery;
mod formula;
pub mod heat;
pub mod limits;
pub mod network;
mod plan;
pub mod sections;
pub mod voltage;
pub mod wire;
pub mod wire_tables;

pub use formula::Formula;
pub use plan::*;
