//! link: the data path from every reader and controller to the head-end.
//!
//! The calculations are plain functions, one for each published quantity, in [`data_lines`], [`bus`], [`osdp`],
//! [`polling`], [`ethernet`], [`radio`], [`rain`], [`rates`] and [`ipv4`]; the calculators of [`crate::calc`] ask them
//! one by one.

pub mod bus;
pub mod data_lines;
pub mod ethernet;
pub mod ipv4;
pub mod osdp;
pub mod polling;
pub mod radio;
pub mod rain;
pub mod rates;
