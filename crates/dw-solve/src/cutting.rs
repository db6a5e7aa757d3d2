//! One-dimensional cutting stock: given lengths from equal reels.
//!
//! Source: S. Martello, P. Toth, "Knapsack Problems", Wiley 1990, chapter 8 (first-fit decreasing, bound `L2`);
//! J. N. D. Gupta, J. C. Ho, "A new heuristic algorithm for the one-dimensional bin-packing problem", Production
//! Planning & Control 10 (1999) (filling one reel at a time with the least waste).

/// A reel and the lengths cut from it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reel {
    /// Positions in the list of lengths, longest cut first.
    pub cuts: Vec<usize>,
    /// What is left on the reel.
    pub left: u64,
}

/// A cutting plan.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Cutting {
    /// Reels to open, fullest first.
    pub reels: Vec<Reel>,
    /// Lengths that no reel can give, ascending positions.
    pub too_long: Vec<usize>,
    /// Left on all reels together.
    pub waste: u64,
    /// No plan opens fewer reels than this.
    pub least_reels: usize,
    /// No plan leaves less than this: what `least_reels` reels hold beyond the lengths.
    pub least_waste: u64,
}

/// Nodes searched for the best filling of one reel before the best so far is taken. *Common practice*: enough for a
/// dozen cuts per reel, and under a millisecond.
const FILL_NODES: usize = 20_000;

/// Cuts `lengths` from reels of length `reel`, all in the same unit.
///
/// Two plans are made, first-fit decreasing and reel-by-reel filling with the least waste, and the one with fewer
/// reels is returned. `least_reels` is the bound `L2` of Martello and Toth, never below the sum of the lengths over
/// the reel length, rounded up. Lengths of 0 are cut from the first reel; when there is nothing to cut there is no
/// reel.
///
/// ```
/// let plan = dw_solve::cutting::cut(&[60, 50, 40, 50, 70, 30], 100);
/// assert_eq!((plan.reels.len(), plan.least_reels, plan.waste), (3, 3, 0));
/// ```
pub fn cut(lengths: &[u64], reel: u64) -> Cutting {
    let (mut order, too_long): (Vec<usize>, Vec<usize>) =
        (0..lengths.len()).partition(|&idx| lengths[idx] <= reel && reel > 0);
    order.sort_by_key(|&idx| (std::cmp::Reverse(lengths[idx]), idx));
    let least_reels = least_reels(&order.iter().map(|&idx| lengths[idx]).collect::<Vec<_>>(), reel);
    let mut reels = first_fit(&order, lengths, reel);
    if reels.len() > least_reels {
        let filled = fill_each(&order, lengths, reel);
        if filled.len() < reels.len() {
            reels = filled;
        }
    }
    reels.sort_by_key(|reel| (reel.left, reel.cuts.first().copied()));
    let waste = reels.iter().map(|reel| reel.left).fold(0, u64::saturating_add);
    let surplus = reel.saturating_mul((reels.len() - least_reels.min(reels.len())) as u64);
    Cutting { least_waste: waste.saturating_sub(surplus), reels, too_long, waste, least_reels }
}

/// Each length, longest first, from the first reel that still holds it.
fn first_fit(order: &[usize], lengths: &[u64], reel: u64) -> Vec<Reel> {
    let mut reels: Vec<Reel> = Vec::new();
    for &idx in order {
        let place = reels.iter().position(|open| open.left >= lengths[idx]).unwrap_or_else(|| {
            reels.push(Reel { cuts: Vec::new(), left: reel });
            reels.len() - 1
        });
        reels[place].cuts.push(idx);
        reels[place].left -= lengths[idx];
    }
    reels
}

/// Opens one reel after another, each with the longest remaining length and the companions that leave the least.
fn fill_each(order: &[usize], lengths: &[u64], reel: u64) -> Vec<Reel> {
    let mut remaining = order.to_vec();
    let mut reels = Vec::new();
    while !remaining.is_empty() {
        let mut filling = Filling {
            lengths: remaining.iter().map(|&idx| lengths[idx]).collect(),
            best: vec![0],
            best_left: reel - lengths[remaining[0]],
            nodes: 0,
        };
        let left = filling.best_left;
        filling.search(1, left, &mut vec![0]);
        reels.push(Reel { cuts: filling.best.iter().map(|&at| remaining[at]).collect(), left: filling.best_left });
        for &at in filling.best.iter().rev() {
            remaining.remove(at);
        }
    }
    reels
}

/// Search for the filling of one reel that leaves the least.
struct Filling {
    lengths: Vec<u64>,
    best: Vec<usize>,
    best_left: u64,
    nodes: usize,
}

impl Filling {
    fn search(&mut self, from: usize, left: u64, chosen: &mut Vec<usize>) {
        self.nodes += 1;
        if left < self.best_left {
            self.best_left = left;
            self.best.clone_from(chosen);
        }
        let mut refused = None;
        for at in from..self.lengths.len() {
            let length = self.lengths[at];
            if self.best_left == 0 || self.nodes >= FILL_NODES {
                return;
            }
            // A length equal to one already refused at this level leads to the same fillings.
            if length > left || refused == Some(length) {
                continue;
            }
            chosen.push(at);
            self.search(at + 1, left - length, chosen);
            chosen.pop();
            refused = Some(length);
        }
    }
}

/// Bound `L2`: for a threshold t, lengths above reel - t stand alone, lengths above half the reel each need a reel,
/// and what the latter leave can take only so much of the lengths from t up to half.
fn least_reels(descending: &[u64], reel: u64) -> usize {
    if descending.is_empty() || reel == 0 {
        return 0;
    }
    let half = |length: u64| length > reel - length;
    let thresholds = std::iter::once(0).chain(descending.iter().copied().filter(|&length| !half(length)));
    let bound = |threshold: u64| {
        let alone = descending.iter().filter(|&&length| length > reel - threshold).count();
        let large = descending.iter().filter(|&&length| half(length) && length <= reel - threshold);
        let n_large = large.clone().count();
        let room: u128 = large.map(|&length| u128::from(reel - length)).sum();
        let small: u128 =
            descending.iter().filter(|&&length| !half(length) && length >= threshold).map(|&l| u128::from(l)).sum();
        alone + n_large + small.saturating_sub(room).div_ceil(u128::from(reel)) as usize
    };
    let mut last = None;
    let mut best = 1;
    for threshold in thresholds {
        if last != Some(threshold) {
            best = best.max(bound(threshold));
            last = Some(threshold);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Fewest reels by trying every distribution.
    fn fewest(lengths: &[u64], reel: u64, reels: &mut Vec<u64>) -> usize {
        let Some((&first, rest)) = lengths.split_first() else { return reels.len() };
        let mut best = usize::MAX;
        for at in 0..reels.len() {
            if reels[at] + first <= reel {
                reels[at] += first;
                best = best.min(fewest(rest, reel, reels));
                reels[at] -= first;
            }
        }
        reels.push(first);
        best = best.min(fewest(rest, reel, reels));
        reels.pop();
        best
    }

    proptest! {
        #[test]
        fn plans_are_whole_and_bounds_hold(lengths in prop::collection::vec(0u64..120, 0..8)) {
            let plan = cut(&lengths, 100);
            let mut seen: Vec<usize> = plan.reels.iter().flat_map(|reel| reel.cuts.clone()).collect();
            for reel in &plan.reels {
                prop_assert_eq!(reel.cuts.iter().map(|&idx| lengths[idx]).sum::<u64>() + reel.left, 100);
            }
            seen.extend(&plan.too_long);
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..lengths.len()).collect::<Vec<_>>());
            let usable: Vec<u64> = lengths.iter().copied().filter(|&length| length <= 100).collect();
            let best = fewest(&usable, 100, &mut Vec::new());
            prop_assert!(plan.least_reels <= best);
            prop_assert!(best <= plan.reels.len() && plan.reels.len() <= best + 1);
            prop_assert!(plan.least_waste <= plan.waste);
        }
    }

    #[test]
    fn first_fit_is_improved_upon() {
        // First fit cuts 44+17, 24+24+8, 22+21+8+6 and needs a fourth reel for the last 6.
        let lengths = [44, 24, 24, 22, 21, 17, 8, 8, 6, 6];
        assert_eq!(first_fit(&(0..10).collect::<Vec<_>>(), &lengths, 61).len(), 4);
        let plan = cut(&lengths, 61);
        assert_eq!((plan.reels.len(), plan.waste, plan.least_waste), (3, 3, 3));
    }

    #[test]
    fn lengths_beyond_the_reel_are_reported() {
        let plan = cut(&[30, 101, 100], 100);
        assert_eq!(plan.too_long, [1]);
        assert_eq!((plan.reels.len(), plan.least_reels, plan.waste), (2, 2, 70));
        assert_eq!(cut(&[5], 0).too_long, [0]);
        assert_eq!(cut(&[], 100).least_reels, 0);
    }

    #[test]
    fn two_lengths_over_half_need_two_reels() {
        assert_eq!(cut(&[51, 51, 51], 100).least_reels, 3);
    }
}
