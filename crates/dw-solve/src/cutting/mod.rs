//! One-dimensional cutting stock: given lengths from reels of several lengths, each with its price, for the least money.
//!
//! A plan is made by several simple rules (`fill`), by rounding the relaxation (`bound`), and for short lists by
//! search (`search`); the cheapest is returned with a proven lower bound on money and on length bought.
//!
//! Source: P. C. Gilmore, R. E. Gomory, "A linear programming approach to the cutting-stock problem", Operations
//! Research 9 (1961) 849-859 (patterns, several stock lengths); A. A. Farley, "A note on bounding a class of linear
//! programming problems, including cutting stock problems", Operations Research 38 (1990) 922-923 (the bound);
//! S. Martello, P. Toth, "Knapsack Problems", Wiley 1990, chapter 8 (first-fit decreasing); J. N. D. Gupta, J. C. Ho,
//! Production Planning & Control 10 (1999) (filling one reel at a time with the least waste).

mod bound;
mod cover;
mod fill;
mod search;

use fill::Opened;

/// A reel that can be bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    /// Length on it.
    pub length: u64,
    /// Price, in whole units of the caller's.
    pub price: u64,
}

/// A reel and the lengths cut from it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reel {
    /// Which stock it is.
    pub stock: usize,
    /// Positions in the list of lengths, longest cut first.
    pub cuts: Vec<usize>,
    /// What is left on the reel.
    pub left: u64,
}

/// A cutting plan.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Cutting {
    /// Reels to buy, fullest first; those bought only to have enough length come last, uncut.
    pub reels: Vec<Reel>,
    /// Lengths that no reel can give, ascending positions.
    pub too_long: Vec<usize>,
    /// Price of all reels.
    pub price: u64,
    /// No plan costs less than this.
    pub least_price: u64,
    /// Length on all reels together.
    pub bought: u64,
    /// No plan buys less than this.
    pub least_bought: u64,
    /// Left on all reels together.
    pub waste: u64,
    /// No plan leaves less than this: `least_bought` less the lengths cut.
    pub least_waste: u64,
}

/// Cuts `lengths` from reels of these kinds for the least money, buying `at_least` so much length in all.
///
/// Lengths are in one unit, prices in another. Reels without length cannot be bought. A length of 0 is cut from any
/// reel; when there is nothing to cut and nothing to have, there is no reel. Sums beyond `u64` saturate.
///
/// ```
/// use dw_solve::cutting::{Stock, cut};
/// let plan = cut(&[60, 50, 40, 50, 70, 30], &[Stock { length: 100, price: 8 }], 0);
/// assert_eq!((plan.reels.len(), plan.price, plan.least_price, plan.waste), (3, 24, 24, 0));
/// // A short reel for the rest is cheaper than a second long one.
/// let stocks = [Stock { length: 100, price: 8 }, Stock { length: 30, price: 3 }];
/// let plan = cut(&[60, 40, 25], &stocks, 0);
/// assert_eq!((plan.price, plan.least_price, plan.waste), (11, 11, 5));
/// ```
pub fn cut(lengths: &[u64], stocks: &[Stock], at_least: u64) -> Cutting {
    let longest = stocks.iter().map(|stock| stock.length).max().unwrap_or(0);
    let (mut order, too_long): (Vec<usize>, Vec<usize>) =
        (0..lengths.len()).partition(|&idx| lengths[idx] <= longest && longest > 0);
    order.sort_by_key(|&idx| (std::cmp::Reverse(lengths[idx]), idx));
    let descending: Vec<u64> = order.iter().map(|&idx| lengths[idx]).collect();
    let task = Task::new(&descending, stocks, at_least);
    let by_length: Vec<Stock> = stocks.iter().map(|it| Stock { price: it.length, ..*it }).collect();
    let short = Task::new(&descending, &by_length, at_least);
    let (opened, least_price) = plan(&task);
    let bought = opened.iter().map(|reel| stocks[reel.stock].length).fold(0, u64::saturating_add);
    // Where the whole length is the bound already, no further proof is needed.
    let least_bought = if bought == short.least_cover() { bought } else { bound::least(&short, bought).0.min(bought) };
    let used = descending.iter().copied().fold(0, u64::saturating_add);
    let waste = bought.saturating_sub(used);
    let mut reels: Vec<Reel> = opened
        .into_iter()
        .map(|it| Reel { cuts: it.cuts.iter().map(|&at| order[at]).collect(), stock: it.stock, left: it.left })
        .collect();
    reels.sort_by_key(|reel| (reel.cuts.is_empty(), reel.left, reel.cuts.first().copied(), reel.stock));
    let price = reels.iter().map(|reel| stocks[reel.stock].price).fold(0, u64::saturating_add);
    Cutting {
        reels,
        too_long,
        price,
        least_price: least_price.min(price),
        bought,
        least_bought,
        waste,
        least_waste: least_bought.saturating_sub(used),
    }
}

/// Lengths in descending order, what may be bought, and how much at the least.
#[derive(Debug)]
struct Task<'t> {
    lengths: &'t [u64],
    stocks: &'t [Stock],
    at_least: u64,
    total: u64,
}

impl<'t> Task<'t> {
    fn new(lengths: &'t [u64], stocks: &'t [Stock], at_least: u64) -> Self {
        let total = lengths.iter().copied().fold(0, u64::saturating_add);
        Self { lengths, stocks, at_least, total }
    }

    /// What reels as long as all lengths together, and as what must be bought, cost at the least.
    fn least_cover(&self) -> u64 {
        let any = u64::from(!self.lengths.is_empty());
        cover::least(self.stocks, self.total.max(self.at_least).max(any))
    }

    /// Adds the reels that are bought only to have enough, and gives the price of all.
    fn complete(&self, opened: &mut Vec<Opened>) -> u64 {
        let bought = opened.iter().map(|reel| self.stocks[reel.stock].length).fold(0, u64::saturating_add);
        for (stock, count) in cover::buy(self.stocks, self.at_least.saturating_sub(bought)).into_iter().enumerate() {
            for _ in 0..count {
                opened.push(Opened { stock, cuts: Vec::new(), left: self.stocks[stock].length });
            }
        }
        opened.iter().map(|reel| self.stocks[reel.stock].price).fold(0, u64::saturating_add)
    }
}

/// The cheapest plan found, and the bound on its price.
fn plan(task: &Task<'_>) -> (Vec<Opened>, u64) {
    let mut best: Option<(u64, Vec<Opened>)> = None;
    let offer = |mut opened: Vec<Opened>, best: &mut Option<(u64, Vec<Opened>)>| {
        let price = task.complete(&mut opened);
        if best.as_ref().is_none_or(|best| price < best.0) {
            *best = Some((price, opened));
        }
    };
    let mut least = task.least_cover();
    for opened in fill::plans(task) {
        offer(opened, &mut best);
    }
    let is_open = |best: &Option<(u64, Vec<Opened>)>, least: u64| best.as_ref().is_some_and(|best| best.0 > least);
    if is_open(&best, least) {
        let price = best.as_ref().map_or(0, |best| best.0);
        let (bound, patterns) = bound::least(task, price);
        least = least.max(bound);
        if is_open(&best, least)
            && let Some(opened) = fill::by_patterns(task, &patterns)
        {
            offer(opened, &mut best);
        }
    }
    if is_open(&best, least) {
        let price = best.as_ref().map_or(0, |best| best.0);
        let (found, is_proven) = search::cheapest(task, price, least);
        if let Some(opened) = found {
            offer(opened, &mut best);
        }
        if is_proven {
            least = best.as_ref().map_or(least, |best| best.0);
        }
    }
    (best.map(|best| best.1).unwrap_or_default(), least)
}

#[cfg(test)]
mod tests;
