//! power: supplies, batteries and conductors, and the voltage at every lock.

mod plan;

pub use plan::*;
