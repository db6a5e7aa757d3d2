//! `design(job, catalogue, profile) -> Design`: chooses, places, routes, proves and prices; pure, without input or
//! output, clock or randomness.
//!
//! One folder a pass. A pass reads the job and the results of earlier passes, gives a new value, and puts findings,
//! workings and assumptions into its [`Cx`].

pub mod calc;
pub mod capacity;
pub mod credential;
mod cx;
pub mod design;
pub mod equip;
pub mod identity;
pub mod link;
pub mod place;
pub mod plates;
pub mod power;
pub mod price;
pub mod protection_codes;
pub mod route;
mod rules;
pub mod survey;
#[cfg(test)]
mod testing;
mod watch;

pub use cx::Cx;
pub use design::{Accepted, Design, DesignHeading, Options, Preview, design, preview};
pub use dw_solve::location::Level as Effort;
pub use rules::rules;
pub use watch::{PlanSoFar, Step, Watch, unwatched};
