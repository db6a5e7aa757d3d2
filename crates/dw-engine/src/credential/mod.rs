//! Credentials as data: layouts of card numbers, ranges of numbers, and how likely two people hold the same one.
//!
//! Knows neither job nor design; the capacity pass plans the numbers of a job with it, and the calculators of
//! [`crate::calc`] ask it question by question. The page `docs/calculations/credentials.md` shows the formulas.

mod layout;
mod numbers;
mod repeats;

pub use layout::{CARD_CHECK, DISTINCT_CODES, Decoded, FRAME, LAYOUT_NOTATION, Layout, PUBLISHED, Published, Reject};
pub use numbers::{Block, Clash, Register, Series};
pub use repeats::{MERGED_FROM_ONE, MERGED_RANDOM, REPEAT_CHANCE, merged_from_one, merged_random, repeat_chance};
