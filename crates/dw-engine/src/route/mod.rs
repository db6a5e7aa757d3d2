//! route: lengths to every room in reach, the way of every opening, the cable schedule.
//!
//! [`reach`] measures before anything is placed, [`route`] traces the way of each opening once its room is known, and
//! [`schedule`] cuts and buys the cable once power has chosen the lock conductors. The page
//! `docs/calculations/route.md` shows the method.

mod areas;
pub(crate) mod cables;
mod drawn;
mod existing;
mod fill;
mod ground;
mod limits;
pub(crate) mod links;
mod net;
mod plan;
mod pull;
mod purchase;
mod reach;
pub mod rules;
mod schedule;
mod spans;
mod spread;
pub(crate) mod surge;
mod trace;
mod verify;

pub use areas::Lack;
pub use limits::{LengthLimit, LimitCause};
pub use plan::*;
pub(crate) use purchase::{reel_price, reels_of};
pub use reach::{longer, reach};
pub use schedule::schedule;
pub use trace::route;
pub use verify::verify;

#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;
