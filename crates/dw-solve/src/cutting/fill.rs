//! Plans by simple rules: first-fit decreasing, and filling one reel after another.

use super::{Stock, Task};

/// A reel while it is cut; cuts are positions in the descending list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Opened {
    pub(super) stock: usize,
    pub(super) cuts: Vec<usize>,
    pub(super) left: u64,
}

/// How often a pattern is cut: its stock, how many of each kind of length, and the share.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pattern {
    pub(super) stock: usize,
    /// Count of each kind, kinds by length, longest first.
    pub(super) counts: Vec<u64>,
    pub(super) times: f64,
}

/// Nodes searched for the best filling of one reel before the best so far is taken. *Common practice*: enough for a
/// dozen cuts per reel, and under a millisecond.
const FILL_NODES: usize = 4_000;

/// Plans by every rule, each reel exchanged for the cheapest that still holds its cuts.
pub(super) fn plans(task: &Task<'_>) -> Vec<Vec<Opened>> {
    let all: Vec<usize> = (0..task.lengths.len()).collect();
    let longest = task.lengths.first().copied().unwrap_or(0);
    let mut plans = Vec::new();
    for stock in 0..task.stocks.len() {
        let length = task.stocks[stock].length;
        if length >= longest && length > 0 {
            plans.push(first_fit(task, &all, stock));
            plans.push(fill_each(task, &all, &[stock]));
        }
    }
    if task.stocks.len() > 1 {
        let usable: Vec<usize> = (0..task.stocks.len()).filter(|&it| task.stocks[it].length > 0).collect();
        plans.push(fill_each(task, &all, &usable));
    }
    for reel in plans.iter_mut().flatten() {
        exchange(task.stocks, reel);
    }
    plans
}

/// The plan that cuts every pattern as often as its whole share says, and the rest by the other rules.
///
/// `None` when the patterns were made for lengths rounded down.
pub(super) fn by_patterns(task: &Task<'_>, patterns: &[Pattern]) -> Option<Vec<Opened>> {
    let mut kinds: Vec<Vec<usize>> = Vec::new();
    for at in (0..task.lengths.len()).rev() {
        match kinds.last_mut() {
            Some(kind) if task.lengths[kind[0]] == task.lengths[at] => kind.push(at),
            _ => kinds.push(vec![at]),
        }
    }
    kinds.reverse();
    if patterns.is_empty() || patterns.iter().any(|pattern| pattern.counts.len() != kinds.len()) {
        return None;
    }
    let mut opened = Vec::new();
    for pattern in patterns {
        // A share a hair below a whole number is that number.
        let times = (pattern.times + 1e-6) as u64;
        for _ in 0..times {
            let mut cuts = Vec::new();
            for (kind, &count) in kinds.iter_mut().zip(&pattern.counts) {
                let left = kind.len() - usize::try_from(count).unwrap_or(usize::MAX).min(kind.len());
                cuts.extend(kind.split_off(left));
            }
            let used: u64 = cuts.iter().map(|&at| task.lengths[at]).sum();
            // Where the kinds are used up, the pattern is no longer cut.
            if !cuts.is_empty() {
                let left = task.stocks[pattern.stock].length.saturating_sub(used);
                opened.push(Opened { stock: pattern.stock, cuts, left });
            }
        }
    }
    let mut rest: Vec<usize> = kinds.into_iter().flatten().collect();
    rest.sort_unstable();
    let lengths: Vec<u64> = rest.iter().map(|&at| task.lengths[at]).collect();
    let rest_task = Task::new(&lengths, task.stocks, 0);
    let price = |plan: &Vec<Opened>| plan.iter().map(|reel| task.stocks[reel.stock].price).fold(0, u64::saturating_add);
    let best = plans(&rest_task).into_iter().min_by_key(price).unwrap_or_default();
    opened.extend(best.into_iter().map(|mut reel| {
        reel.cuts.iter_mut().for_each(|at| *at = rest[*at]);
        reel
    }));
    for reel in &mut opened {
        exchange(task.stocks, reel);
    }
    Some(opened)
}

/// Takes the cheapest reel that holds the cuts, the shortest of equally cheap ones.
fn exchange(stocks: &[Stock], reel: &mut Opened) {
    let used = stocks[reel.stock].length - reel.left;
    let holding = (0..stocks.len()).filter(|&idx| stocks[idx].length >= used && stocks[idx].length > 0);
    if let Some(stock) = holding.min_by_key(|&idx| (stocks[idx].price, stocks[idx].length, idx)) {
        reel.stock = stock;
        reel.left = stocks[stock].length - used;
    }
}

/// Each length, longest first, from the first reel that still holds it.
fn first_fit(task: &Task<'_>, order: &[usize], stock: usize) -> Vec<Opened> {
    let length = task.stocks[stock].length;
    // Room left as a tree of maxima, so that ten thousand cuts stay quick.
    let mut room = Tallest::new(order.len());
    let mut reels: Vec<Opened> = Vec::new();
    for &at in order {
        let cut = task.lengths[at];
        let place = room.first(cut).filter(|&place| place < reels.len()).unwrap_or_else(|| {
            reels.push(Opened { stock, cuts: Vec::new(), left: length });
            reels.len() - 1
        });
        reels[place].cuts.push(at);
        reels[place].left -= cut;
        room.set(place, reels[place].left);
    }
    reels
}

/// The first of many numbers that is large enough.
struct Tallest {
    size: usize,
    /// One more than each number, so that a place never set holds nothing.
    tree: Vec<u64>,
}

impl Tallest {
    fn new(n: usize) -> Self {
        let size = n.next_power_of_two().max(1);
        Self { size, tree: vec![0; 2 * size] }
    }

    fn set(&mut self, place: usize, value: u64) {
        let mut at = self.size + place;
        self.tree[at] = value.saturating_add(1);
        while at > 1 {
            at /= 2;
            self.tree[at] = self.tree[2 * at].max(self.tree[2 * at + 1]);
        }
    }

    fn first(&self, least: u64) -> Option<usize> {
        if self.tree[1] <= least {
            return None;
        }
        let mut at = 1;
        while at < self.size {
            at = if self.tree[2 * at] > least { 2 * at } else { 2 * at + 1 };
        }
        Some(at - self.size)
    }
}

/// Opens one reel after another, each with the longest remaining length, the companions that leave the least, and the
/// stock with the least price for what is cut from it.
fn fill_each(task: &Task<'_>, order: &[usize], stocks: &[usize]) -> Vec<Opened> {
    // Cuts of one length, the longest first; each gives its cuts from the end.
    let mut kinds: Vec<(u64, Vec<usize>)> = Vec::new();
    for &at in order {
        match kinds.last_mut() {
            Some(kind) if kind.0 == task.lengths[at] => kind.1.push(at),
            _ => kinds.push((task.lengths[at], vec![at])),
        }
    }
    let mut reels = Vec::new();
    while let Some(&(longest, _)) = kinds.first() {
        let mut best: Option<(u128, Filling, usize)> = None;
        for &stock in stocks.iter().filter(|&&stock| task.stocks[stock].length >= longest) {
            let Stock { length, price } = task.stocks[stock];
            let filling = Filling::of(&kinds, length - longest);
            // Price for a unit of length used, in parts of a million.
            let used = u128::from((length - filling.best_left).max(1));
            let rate = u128::from(price).saturating_mul(1_000_000) / used;
            if best.as_ref().is_none_or(|best| rate < best.0) {
                best = Some((rate, filling, stock));
            }
        }
        let Some((_, filling, stock)) = best else { break };
        let cuts = filling.best.iter().filter_map(|&kind| kinds[kind].1.pop()).collect();
        reels.push(Opened { stock, cuts, left: filling.best_left });
        kinds.retain(|kind| !kind.1.is_empty());
    }
    reels
}

/// Search for the filling of one reel that leaves the least.
struct Filling {
    /// Lengths, the longest first, and how many of each remain.
    kinds: Vec<(u64, usize)>,
    best: Vec<usize>,
    best_left: u64,
    nodes: usize,
}

impl Filling {
    /// The best filling found that begins with the first kind, after which so much is left.
    fn of(kinds: &[(u64, Vec<usize>)], left: u64) -> Self {
        let mut kinds: Vec<(u64, usize)> = kinds.iter().map(|kind| (kind.0, kind.1.len())).collect();
        kinds[0].1 -= 1;
        let mut filling = Self { kinds, best: vec![0], best_left: left, nodes: 0 };
        filling.search(0, left, &mut vec![0]);
        filling
    }

    fn search(&mut self, from: usize, left: u64, chosen: &mut Vec<usize>) {
        self.nodes += 1;
        if left < self.best_left {
            self.best_left = left;
            self.best.clone_from(chosen);
        }
        // Kinds descend: those that are too long come first.
        let from = from + self.kinds[from..].partition_point(|kind| kind.0 > left);
        for at in from..self.kinds.len() {
            if self.best_left == 0 || self.nodes >= FILL_NODES {
                return;
            }
            if self.kinds[at].1 > 0 {
                self.kinds[at].1 -= 1;
                chosen.push(at);
                self.search(at, left - self.kinds[at].0, chosen);
                chosen.pop();
                self.kinds[at].1 += 1;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_fit_is_improved_upon() {
        // First fit cuts 44+17, 24+24+8, 22+21+8+6 and needs a fourth reel for the last 6.
        let lengths = [44, 24, 24, 22, 21, 17, 8, 8, 6, 6];
        let stocks = [Stock { length: 61, price: 1 }];
        let task = Task::new(&lengths, &stocks, 0);
        assert_eq!(first_fit(&task, &(0..10).collect::<Vec<_>>(), 0).len(), 4);
        assert_eq!(fill_each(&task, &(0..10).collect::<Vec<_>>(), &[0]).len(), 3);
    }
}
