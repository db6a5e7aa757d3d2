//! price: bill of materials, labour, margin and tax, reconciled to the cent.

mod plan;

pub use plan::*;

#[cfg(test)]
pub(crate) mod testing;
