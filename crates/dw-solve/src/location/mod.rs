//! Single-source facility location with modular capacities.
//!
//! Which site serves which customer, in which variant, with which models, at the least cost: see [`Problem`]. [`solve`] returns the best
//! plan found together with a proven lower bound, so that the caller can print how far from the best it can be at most.
//! [`price()`] and [`check`] judge any plan without the solver's code; [`feasible`] says whether a group of customers
//! can be served at all.

mod apart;
mod ascent;
mod bound;
mod build;
mod case;
mod check;
mod decide;
mod exact;
mod frontier;
mod improve;
mod mixes;
mod narrow;
mod pack;
mod plain;
mod plan;
mod price;
mod problem;
mod renew;
mod solver;
mod state;
mod switch;

pub use check::check;
pub use decide::{Feasibility, feasible};
pub use plan::{Effort, Install, Level, Outcome, Plan, Progress, Seat};
pub use price::{Cost, Violation, price};
pub use problem::{
    Arc, Choice, Customer, Family, MAX_AMOUNT, MAX_PORTS, MAX_SPARE_PERCENT, Model, Problem, Site, Spare, Stock,
    Variant,
};
pub use solver::solve;
