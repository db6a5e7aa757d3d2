//! What a job holds.

mod cards;
mod network;
mod opening;
mod people;
mod policy;
mod record_keeping;
mod site;

pub use cards::*;
pub use network::*;
pub use opening::*;
pub use people::*;
pub use policy::*;
pub use record_keeping::*;
pub use site::*;
