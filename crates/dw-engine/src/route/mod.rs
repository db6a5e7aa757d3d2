//! route: lengths to every room in reach, the way of every opening, the cable schedule.

mod plan;

pub use plan::*;
