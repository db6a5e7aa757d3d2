//! Numbers in use: blocks of a series, the register that refuses to issue one a second time, and room for the next.
//!
//! A card is known by layout, facility code and number together: the same number under another facility code is another
//! card (SIA AC-01-1996.10 for the layout of 26 bits).

use std::collections::BTreeMap;

use super::Layout;

/// Cards whose numbers may clash: those of one layout and facility code.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Series {
    /// The layout.
    pub layout: Layout,
    /// Facility code; `None` where the layout has none.
    pub facility: Option<u64>,
}

/// Numbers from a first to a last one, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Block {
    /// First number.
    pub first: u64,
    /// Last number, not below the first.
    pub last: u64,
}

impl Block {
    /// `count` numbers from `first` on; `None` for no number at all, or beyond what can be counted.
    pub fn of(first: u64, count: u64) -> Option<Self> {
        let last = first.checked_add(count.checked_sub(1)?)?;
        Some(Self { first, last })
    }

    /// How many numbers it holds.
    pub fn count(self) -> u64 {
        (self.last - self.first).saturating_add(1)
    }

    /// The numbers both hold.
    pub fn shared(self, other: Self) -> Option<Self> {
        let (first, last) = (self.first.max(other.first), self.last.min(other.last));
        (first <= last).then_some(Self { first, last })
    }
}

/// Numbers two holders claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// The numbers both claim.
    pub numbers: Block,
    /// Who has them already.
    pub holder: String,
}

/// Who holds which numbers.
#[derive(Clone, Debug, Default)]
pub struct Register {
    held: BTreeMap<Series, Vec<(Block, String)>>,
}

impl Register {
    /// Whose numbers a block would hold a second time.
    pub fn clashes(&self, series: &Series, block: Block) -> Vec<Clash> {
        let held = self.held.get(series).into_iter().flatten();
        let shared = held.filter_map(|(held, holder)| Some((held.shared(block)?, holder)));
        shared.map(|(numbers, holder)| Clash { numbers, holder: holder.clone() }).collect()
    }

    /// Records what somebody holds already, whether or not it clashes, and tells what it clashes with.
    pub fn record(&mut self, series: &Series, block: Block, holder: &str) -> Vec<Clash> {
        let clashes = self.clashes(series, block);
        self.held.entry(series.clone()).or_default().push((block, holder.to_owned()));
        clashes
    }

    /// Issues new numbers.
    ///
    /// # Errors
    /// Refused, and nothing recorded, when somebody holds one of them already.
    ///
    /// ```
    /// use dw_engine::credential::{Block, Layout, Register, Series};
    /// let w26 = |facility| Series { layout: Layout::read("w26").unwrap(), facility: Some(facility) };
    /// let mut register = Register::default();
    /// let block = Block { first: 1, last: 100 };
    /// assert!(register.issue(&w26(90), block, "staff").is_ok());
    /// assert!(register.issue(&w26(91), block, "drivers").is_ok());
    /// assert!(register.issue(&w26(90), Block { first: 100, last: 100 }, "drivers").is_err());
    /// ```
    pub fn issue(&mut self, series: &Series, block: Block, holder: &str) -> Result<(), Vec<Clash>> {
        let clashes = self.clashes(series, block);
        if clashes.is_empty() {
            self.record(series, block, holder);
            Ok(())
        } else {
            Err(clashes)
        }
    }

    /// Room for `count` numbers in a row: after the highest in use, else in the lowest gap that takes them; 0 is skipped,
    /// as some issuers skip it. `None` when there is no room, or nothing to issue.
    pub fn room_for(&self, series: &Series, count: u64) -> Option<Block> {
        let mut held: Vec<Block> = self.held.get(series).into_iter().flatten().map(|row| row.0).collect();
        held.sort_unstable();
        let most = series.layout.most_number();
        let after = held.iter().map(|block| block.last).max().map_or(1, |last| last.saturating_add(1));
        let starts = std::iter::once(after).chain([1]).chain(held.iter().map(|block| block.last.saturating_add(1)));
        let fits = |block: &Block| block.last <= most && held.iter().all(|held| held.shared(*block).is_none());
        let mut free: Vec<Block> = starts.filter_map(|start| Block::of(start, count)).filter(fits).collect();
        match free.first() {
            Some(block) if block.first == after => Some(*block),
            _ => {
                free.sort_unstable();
                free.first().copied()
            }
        }
    }

    /// Numbers of a series nobody holds, number 0 left out.
    pub fn free(&self, series: &Series) -> u64 {
        let mut held: Vec<Block> = self.held.get(series).into_iter().flatten().map(|row| row.0).collect();
        held.sort_unstable();
        let most = series.layout.most_number();
        let (mut free, mut next) = (0_u64, 1_u64);
        for block in held {
            free = free.saturating_add(block.first.min(most.saturating_add(1)).saturating_sub(next));
            next = next.max(block.last.saturating_add(1));
        }
        free.saturating_add(most.saturating_add(1).saturating_sub(next))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;

    fn series() -> Series {
        // Sixteen numbers, so that everything can be tried.
        Series { layout: Layout::read("6 bits, facility 0-1, number 2-5").unwrap(), facility: Some(1) }
    }

    #[test]
    fn a_number_is_not_issued_twice_and_a_refusal_records_nothing() {
        let mut register = Register::default();
        register.issue(&series(), Block { first: 3, last: 6 }, "staff").unwrap();
        let clashes = register.issue(&series(), Block { first: 6, last: 9 }, "drivers").unwrap_err();
        assert_eq!(clashes, [Clash { numbers: Block { first: 6, last: 6 }, holder: "staff".to_owned() }]);
        assert!(register.issue(&series(), Block { first: 7, last: 9 }, "drivers").is_ok());
    }

    #[test]
    fn the_next_numbers_follow_the_highest_in_use_and_only_then_fill_a_gap() {
        let mut register = Register::default();
        assert_eq!(register.room_for(&series(), 15), Some(Block { first: 1, last: 15 }));
        assert_eq!(register.room_for(&series(), 16), None);
        assert_eq!(register.room_for(&series(), 0), None);
        register.record(&series(), Block { first: 8, last: 10 }, "estate");
        assert_eq!(register.room_for(&series(), 5), Some(Block { first: 11, last: 15 }));
        assert_eq!(register.room_for(&series(), 6), Some(Block { first: 1, last: 6 }));
        assert_eq!(register.room_for(&series(), 8), None);
    }

    proptest! {
        #[test]
        fn room_and_free_numbers_agree_with_trying_every_number(
            blocks in prop::collection::vec((0_u64..16, 0_u64..16), 0..5), count in 1_u64..17,
        ) {
            let mut register = Register::default();
            let mut taken = BTreeSet::new();
            for (a, b) in blocks {
                let block = Block { first: a.min(b), last: a.max(b) };
                register.record(&series(), block, "estate");
                taken.extend(block.first..=block.last);
            }
            let free = |number: &u64| !taken.contains(number);
            prop_assert_eq!(register.free(&series()), (1..16).filter(free).count() as u64);
            let fits = |start: u64| start + count <= 16 && (start..start + count).all(|number| free(&number));
            let room = register.room_for(&series(), count);
            prop_assert_eq!(room.is_some(), (1..16).any(fits));
            if let Some(block) = room {
                prop_assert!(fits(block.first) && block.count() == count);
                prop_assert!(register.issue(&series(), block, "new").is_ok());
            }
        }
    }
}
