//! Capacitated facility location, shortest ways, clashing demands, cutting stock and waiting lines.
//!
//! This crate knows nothing about openings, doors or wiring rooms: it sees sites, customers, arcs, graphs and
//! lengths, all in integers of the caller's own units. It reads no file, no clock and no environment; the same
//! input gives the same answer on every machine, because effort is counted in work and randomness is seeded.
//!
//! | part | question | entry |
//! | --- | --- | --- |
//! | [`location`] | which site serves which customer, with what equipment, at what least cost | [`location::solve`] |
//! | [`ways`] | how far is every node from a source, and along which edges | [`ways::Graph::from`] |
//! | [`clash`] | which demands cannot be met together | [`clash::irreducible`] |
//! | [`queue`] | how long does one wait in line | [`queue::mean_wait`] |
//! | [`cutting`] | which reels do these lengths need, for the least money | [`cutting::cut`] |

pub mod clash;
pub mod cutting;
pub mod location;
pub mod queue;
mod random;
pub mod ways;
