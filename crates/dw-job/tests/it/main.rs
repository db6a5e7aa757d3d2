//! Reading, writing and describing jobs and catalogues, seen from outside the crate.

#![allow(clippy::expect_used, reason = "a test without its files or figures has failed")]

mod bad_input;
mod examples;
mod helpers;
mod reading;
mod round_trip;
mod rules;
mod schema;
mod sheets;
mod units;
