//! place: puts controllers in rooms and every opening on exactly one controller.

mod plan;

pub use plan::*;
