//! The cheapest plan of a short list, by trying every distribution that could be cheaper.

use super::cover;
use super::fill::Opened;
use super::{Stock, Task};

/// Lengths in a list at most.
const MAX_CUTS: usize = 30;

/// Steps before the best so far is taken (*common practice*: some tenths of a second).
const MAX_NODES: usize = 200_000;

/// A plan cheaper than `price`, if there is one that is found; and whether every plan was looked at.
///
/// The search also ends, with its plan, once it reaches `least`, which no plan is below.
pub(super) fn cheapest(task: &Task<'_>, price: u64, least: u64) -> (Option<Vec<Opened>>, bool) {
    let covers = cover::all(task.stocks, task.total.max(task.at_least));
    let Some((covers, step)) = covers.filter(|_| task.lengths.len() <= MAX_CUTS) else { return (None, false) };
    let mut rest = vec![0_u64; task.lengths.len() + 1];
    for at in (0..task.lengths.len()).rev() {
        rest[at] = rest[at + 1].saturating_add(task.lengths[at]);
    }
    let mut search = Search { task, rest, covers, step, best: price, least, found: None, nodes: 0, reels: Vec::new() };
    search.place(0, 0, 0);
    let is_proven = search.nodes < MAX_NODES;
    (search.found, is_proven)
}

struct Search<'s> {
    task: &'s Task<'s>,
    /// Length of this cut and all after it.
    rest: Vec<u64>,
    /// Least price of reels for every number of steps of length.
    covers: Vec<u64>,
    step: u64,
    best: u64,
    least: u64,
    found: Option<Vec<Opened>>,
    nodes: usize,
    reels: Vec<Opened>,
}

impl Search<'_> {
    /// Places the cut `at` and all after it, with reels opened so far for `price`, holding `bought`.
    fn place(&mut self, at: usize, price: u64, bought: u64) {
        self.nodes += 1;
        if self.nodes >= MAX_NODES || self.best <= self.least {
            return;
        }
        let room: u64 = self.reels.iter().map(|reel| reel.left).sum();
        let lacking = self.rest[at].saturating_sub(room).max(self.task.at_least.saturating_sub(bought));
        let steps = usize::try_from(lacking.div_ceil(self.step)).unwrap_or(usize::MAX);
        let price_then = price.saturating_add(self.covers.get(steps).copied().unwrap_or(0));
        if price_then >= self.best {
            return;
        }
        let Some(&length) = self.task.lengths.get(at) else {
            // Nothing is left to cut, and what must be bought besides is in the price just compared.
            self.found = Some(self.reels.clone());
            self.best = price_then;
            return;
        };
        for reel in 0..self.reels.len() {
            let Opened { stock, left, .. } = self.reels[reel];
            let is_first = !self.reels[..reel].iter().any(|other| other.stock == stock && other.left == left);
            if left >= length && is_first {
                self.reels[reel].cuts.push(at);
                self.reels[reel].left = left - length;
                self.place(at + 1, price, bought);
                self.reels[reel].left = left;
                self.reels[reel].cuts.pop();
            }
        }
        for stock in 0..self.task.stocks.len() {
            let Stock { length: holds, price: more } = self.task.stocks[stock];
            if holds >= length && holds > 0 {
                self.reels.push(Opened { stock, cuts: vec![at], left: holds - length });
                self.place(at + 1, price.saturating_add(more), bought.saturating_add(holds));
                self.reels.pop();
            }
        }
    }
}
