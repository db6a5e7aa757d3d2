//! equip: chooses the devices of every opening, with reasons.

mod plan;

pub use plan::*;
