//! Arithmetic of recognising people: searches, factors together, trials, and what enrolment and templates take.
//!
//! Plain published relations, one function for each quantity; equip excludes readers with them and the calculators of
//! [`crate::calc`] ask them one by one. Rates belong to a test population and a threshold, never to a kind of sensor.
//! The page `docs/calculations/identity.md` shows the formulas.

pub mod factors;
pub mod searches;
pub mod templates;
pub mod trials;
