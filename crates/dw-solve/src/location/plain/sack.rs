//! The most valuable choice of items whose weight stays within a window: a binary knapsack with a least weight.
//!
//! ```text
//! most   Σ value_i x_i     with  low ≤ Σ weight_i x_i ≤ high,  x_i ∈ {0, 1}
//! ```
//!
//! The linear relaxation gives a price per weight; items that the price settles beyond doubt are set aside, and the
//! few others go through a dynamic programme that drops what can no longer lead to a better choice. All comparisons are
//! exact. Sources: G. B. Dantzig, "Discrete-variable extremum problems", Operations Research 5 (1957) 266–277
//! (relaxation); G. Nemhauser, Z. Ullmann, Management Science 15 (1969) 494–505 (lists of choices not beaten);
//! E. Balas, E. Zemel, Operations Research 28 (1980) 1130–1154 (the core).

/// Choices kept at once before the search gives up and the relaxation stands. *Common practice*; chosen by trial.
const MAX_KEPT: usize = 600;

/// Something to choose or leave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Item {
    /// May be negative: chosen only to reach the least weight.
    pub(super) value: i64,
    /// Not negative.
    pub(super) weight: i64,
}

/// The bounds on the weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Window {
    pub(super) low: i64,
    pub(super) high: i64,
}

/// What came of it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Choice {
    /// No choice is worth more, unless it is worth no more than what was asked to be beaten.
    pub(super) at_most: i64,
    /// The best choice found that beats it, ascending; `None` when there is none, or none was found.
    pub(super) taken: Option<Vec<usize>>,
}

/// Looks for the choice of largest value above `to_beat`.
pub(super) fn choose(items: &[Item], window: Window, to_beat: i64) -> Choice {
    let nothing = Choice { at_most: to_beat, taken: None };
    if window.low > window.high || window.high < 0 {
        return nothing;
    }
    let Some(relaxed) = Relaxed::new(items, window) else { return nothing };
    match relaxed {
        Relaxed::Whole(value) if value > to_beat => {
            let is_taken = |at: &usize| items[*at].value > 0 && items[*at].weight <= window.high;
            let taken = (0..items.len()).filter(is_taken).collect();
            Choice { at_most: value, taken: Some(taken) }
        }
        Relaxed::Whole(_) => nothing,
        Relaxed::Priced(price) => Core { items, window, price, best: to_beat, taken: None }.solve(),
    }
}

/// What the relaxation is worth, and how much less it is worth at least when an item goes the other way; `None` when the
/// window cannot be reached.
pub(super) fn losses(items: &[Item], window: Window) -> Option<(i64, Vec<i64>)> {
    match Relaxed::new(items, window)? {
        Relaxed::Whole(value) => Some((value, items.iter().map(|item| item.value.saturating_abs()).collect())),
        Relaxed::Priced(price) => {
            let excess = |item: &Item| price.excess(*item);
            let relaxed = price.bound(items.iter().copied());
            let whole = |amount: i128| i64::try_from(amount.div_euclid(price.weight)).unwrap_or(i64::MAX);
            // Rounded up here and down there, so that the two never promise too much together.
            let value = i64::try_from(-((-relaxed).div_euclid(price.weight))).unwrap_or(i64::MAX);
            Some((value, items.iter().map(|item| whole(excess(item).abs())).collect()))
        }
    }
}

/// The linear relaxation.
enum Relaxed {
    /// Everything of value fits.
    Whole(i64),
    Priced(Price),
}

/// The price of a unit of weight, `value / weight` of the item at which the relaxation breaks off.
#[derive(Debug, Clone, Copy)]
struct Price {
    value: i128,
    weight: i128,
    /// The bound that is reached.
    limit: i64,
}

impl Price {
    /// What an item is worth beyond the price of its weight, times the weight of the price.
    fn excess(self, item: Item) -> i128 {
        i128::from(item.value) * self.weight - self.value * i128::from(item.weight)
    }

    /// What the relaxation is worth, times the weight of the price.
    fn bound(self, items: impl Iterator<Item = Item>) -> i128 {
        items.map(|item| self.excess(item).max(0)).sum::<i128>() + self.value * i128::from(self.limit)
    }

    /// The price at which items in the order of their rates add up to so much weight.
    fn at(mut left: i128, limit: i64, items: impl IntoIterator<Item = Item>) -> Option<Self> {
        let last = items.into_iter().find(|item| {
            left -= i128::from(item.weight);
            left <= 0
        })?;
        Some(Self { value: i128::from(last.value), weight: i128::from(last.weight), limit })
    }
}

impl Relaxed {
    fn new(items: &[Item], window: Window) -> Option<Self> {
        let fits = |item: &&Item| item.weight <= window.high;
        let wanted = || items.iter().filter(fits).filter(|item| item.value > 0);
        let weight: i128 = wanted().map(|item| i128::from(item.weight)).sum();
        let by_rate = |a: &Item, b: &Item| {
            let (a_rate, b_rate) =
                (i128::from(a.value) * i128::from(b.weight), i128::from(b.value) * i128::from(a.weight));
            a_rate.cmp(&b_rate)
        };
        if weight > i128::from(window.high) {
            let mut heavy: Vec<Item> = wanted().filter(|item| item.weight > 0).copied().collect();
            heavy.sort_unstable_by(by_rate);
            let beyond = weight - i128::from(window.high);
            return Price::at(beyond, window.high, heavy).map(Self::Priced);
        }
        if weight < i128::from(window.low) {
            let others = items.iter().filter(fits).filter(|item| item.value <= 0 && item.weight > 0);
            let mut others: Vec<Item> = others.copied().collect();
            others.sort_unstable_by(|a, b| by_rate(b, a));
            let missing = i128::from(window.low) - weight;
            return Price::at(missing, window.low, others).map(Self::Priced);
        }
        Some(Self::Whole(wanted().map(|item| item.value).fold(0, i64::saturating_add)))
    }
}

/// A choice among the items decided so far.
#[derive(Debug, Clone, Copy)]
struct Part {
    weight: i64,
    value: i64,
    /// Last item taken, as a place in the list of takings in `Core::search`.
    last: u32,
}

const NONE: u32 = u32::MAX;

struct Core<'i> {
    items: &'i [Item],
    window: Window,
    price: Price,
    best: i64,
    taken: Option<Vec<usize>>,
}

impl Core<'_> {
    fn solve(mut self) -> Choice {
        let usable: Vec<usize> =
            (0..self.items.len()).filter(|&at| self.items[at].weight <= self.window.high).collect();
        let relaxed = self.price.bound(usable.iter().map(|&at| self.items[at]));
        let relaxed_value = i64::try_from(relaxed.div_euclid(self.price.weight)).unwrap_or(i64::MAX);
        if relaxed_value <= self.best {
            return Choice { at_most: self.best, taken: None };
        }
        self.round(&usable);
        let goal = (i128::from(self.best) + 1) * self.price.weight;
        let excess = |at: usize| self.price.excess(self.items[at]);
        let is_open = |at: usize| relaxed - excess(at).abs() >= goal;
        let settled: Vec<usize> = usable.iter().copied().filter(|&at| !is_open(at) && excess(at) > 0).collect();
        let mut open: Vec<usize> = usable.into_iter().filter(|&at| is_open(at)).collect();
        open.sort_by_key(|&at| (std::cmp::Reverse(excess(at).abs()), at));
        let complete = self.search(&settled, &open);
        Choice { at_most: if complete { self.best } else { relaxed_value }, taken: self.taken }
    }

    /// A first choice: what the relaxation takes and still fits, filled up with what is of value or needed.
    fn round(&mut self, usable: &[usize]) {
        let mut order: Vec<(i128, usize)> = usable.iter().map(|&at| (self.price.excess(self.items[at]), at)).collect();
        order.sort_unstable_by_key(|&(excess, at)| (std::cmp::Reverse(excess), at));
        let (mut weight, mut value) = (0i64, 0i64);
        let mut taken = Vec::new();
        for (excess, at) in order {
            let item = self.items[at];
            let is_wanted = excess > 0 || item.value > 0 || weight < self.window.low;
            if is_wanted && weight.saturating_add(item.weight) <= self.window.high {
                weight += item.weight;
                value = value.saturating_add(item.value);
                taken.push(at);
            }
        }
        if weight >= self.window.low && value > self.best {
            taken.sort_unstable();
            self.best = value;
            self.taken = Some(taken);
        }
    }

    /// Decides the open items, those nearest to settled first; says whether the search was complete.
    fn search(&mut self, settled: &[usize], open: &[usize]) -> bool {
        let start = settled.iter().fold((0i64, 0i64), |(weight, value), &at| {
            (weight.saturating_add(self.items[at].weight), value.saturating_add(self.items[at].value))
        });
        // Best excess, and most weight, that the items from each place on can add.
        let mut to_come = vec![(0i128, 0i128); open.len() + 1];
        for (place, &at) in open.iter().enumerate().rev() {
            let (excess, weight) = to_come[place + 1];
            let item = self.items[at];
            to_come[place] = (excess + self.price.excess(item).max(0), weight + i128::from(item.weight));
        }
        let mut takings: Vec<(u32, u32)> = Vec::new();
        let mut parts = vec![Part { weight: start.0, value: start.1, last: NONE }];
        let mut found = NONE;
        let mut has_found = self.accept(parts[0]);
        for (place, &at) in open.iter().enumerate() {
            let item = self.items[at];
            let mut next = Vec::with_capacity(2 * parts.len());
            for part in parts {
                if self.is_promising(part, to_come[place + 1]) {
                    next.push(part);
                }
                let (weight, value) = (part.weight.saturating_add(item.weight), part.value.saturating_add(item.value));
                let with = Part { weight, value, last: takings.len() as u32 };
                if weight <= self.window.high && self.is_promising(with, to_come[place + 1]) {
                    takings.push((part.last, at as u32));
                    if self.accept(with) {
                        (found, has_found) = (with.last, true);
                    }
                    next.push(with);
                }
            }
            drop_beaten(&mut next, self.window.low > 0);
            if next.len() > MAX_KEPT {
                self.recall(has_found, found, settled, &takings);
                return false;
            }
            parts = next;
        }
        self.recall(has_found, found, settled, &takings);
        true
    }

    /// Whether a choice, as it stands, is the best so far; it is noted then.
    fn accept(&mut self, part: Part) -> bool {
        let is_best = part.weight >= self.window.low && part.weight <= self.window.high && part.value > self.best;
        if is_best {
            self.best = part.value;
        }
        is_best
    }

    /// Whether the items to come can make more of a choice than the best so far.
    fn is_promising(&self, part: Part, (excess, weight): (i128, i128)) -> bool {
        let Price { value, weight: unit, limit } = self.price;
        let most = i128::from(part.value) * unit + excess + value * (i128::from(limit) - i128::from(part.weight));
        most >= (i128::from(self.best) + 1) * unit && i128::from(part.weight) + weight >= i128::from(self.window.low)
    }

    /// Writes down the items of the best choice found by the search.
    fn recall(&mut self, has_found: bool, mut last: u32, settled: &[usize], takings: &[(u32, u32)]) {
        if !has_found {
            return;
        }
        let mut taken = settled.to_vec();
        while last != NONE {
            let (before, at) = takings[last as usize];
            taken.push(at as usize);
            last = before;
        }
        taken.sort_unstable();
        self.taken = Some(taken);
    }
}

/// Drops choices that another one beats: worth no less at no more weight, or at the same weight where weight is needed.
fn drop_beaten(parts: &mut Vec<Part>, needs_weight: bool) {
    parts.sort_unstable_by_key(|part| (part.weight, std::cmp::Reverse(part.value)));
    let mut best: Option<Part> = None;
    parts.retain(|part| {
        let is_beaten =
            best.is_some_and(|best| part.value <= best.value && (!needs_weight || part.weight == best.weight));
        if !is_beaten {
            best = Some(*part);
        }
        !is_beaten
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;

    /// A number below `bound`, as the items have them.
    fn below(random: &mut Random, bound: u8) -> i64 {
        i64::try_from(random.below(usize::from(bound))).unwrap_or(0)
    }

    fn brute(items: &[Item], window: Window) -> Option<i64> {
        (0u32..1 << items.len())
            .filter_map(|set| {
                let taken = items.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1).map(|(_, item)| item);
                let (weight, value) = taken.fold((0, 0), |(w, v), item| (w + item.weight, v + item.value));
                (window.low..=window.high).contains(&weight).then_some(value)
            })
            .max()
    }

    #[test]
    fn every_choice_of_small_random_problems_is_the_best() {
        let mut random = Random::new(5);
        for _ in 0..3_000 {
            let n_items = random.below(11);
            let items: Vec<Item> = (0..n_items)
                .map(|_| Item { value: below(&mut random, 60) - 20, weight: below(&mut random, 12) })
                .collect();
            let low = below(&mut random, 30);
            let window = Window { low, high: low + below(&mut random, 25) };
            let to_beat = below(&mut random, 80) - 40;
            let choice = choose(&items, window, to_beat);
            let best = brute(&items, window).filter(|&value| value > to_beat);
            assert_eq!(choice.at_most, best.unwrap_or(to_beat), "{items:?} {window:?} {to_beat}");
            let value = choice.taken.as_ref().map(|taken| taken.iter().map(|&at| items[at].value).sum::<i64>());
            assert_eq!(value, best);
            let weight = choice.taken.map(|taken| taken.iter().map(|&at| items[at].weight).sum::<i64>());
            assert!(weight.is_none_or(|weight| (window.low..=window.high).contains(&weight)));
        }
    }

    #[test]
    fn a_published_example_is_solved() {
        // S. Martello, P. Toth, "Knapsack Problems" (1990), example 2.1 of the branch-and-bound chapter.
        let values = [70, 20, 39, 37, 7, 5, 10];
        let weights = [31, 10, 20, 19, 4, 3, 6];
        let items: Vec<Item> = values.into_iter().zip(weights).map(|(value, weight)| Item { value, weight }).collect();
        let choice = choose(&items, Window { low: 0, high: 50 }, 0);
        assert_eq!(choice, Choice { at_most: 107, taken: Some(vec![0, 3]) });
    }
}
