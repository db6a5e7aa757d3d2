//! Lower bound on the price of a cutting plan: the relaxation over patterns, evaluated in whole numbers.
//!
//! Patterns are generated as Gilmore and Gomory do, in floating point; the bound itself is Farley's, for which any
//! weights will do, and is computed exactly from weights rounded to whole numbers: no rounding error can raise it.

use super::cover::gcd;
use super::fill::Pattern;
use super::{Stock, Task};

/// Kinds of length at most; more are rounded down into classes, which can only lower the bound.
const MAX_KINDS: usize = 60;

/// Length of a reel in steps at most; a longer one is counted in coarser steps, which can only lower the bound.
const MAX_CAPACITY: u64 = 20_000;

/// Cells of knapsack tables filled at most: some tenths of a second.
const MAX_WORK: usize = 40_000_000;

/// Weights are scaled so that the dearest reel weighs about this much.
const SCALE: f64 = 1e12;

/// What a reduced cost or pivot must exceed to count.
const EPSILON: f64 = 1e-9;

/// A kind of length and how many of it are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Kind {
    length: u64,
    wanted: u64,
}

/// No plan costs less than the first; the second are the patterns of the relaxation, empty where lengths were rounded.
///
/// The work ends early once the bound reaches `found`, the price of a plan in hand.
pub(super) fn least(task: &Task<'_>, found: u64) -> (u64, Vec<Pattern>) {
    let floor = task.least_cover();
    let (kinds, stocks, is_exact) = rounded(task);
    let usable: Vec<usize> = (0..stocks.len()).filter(|&idx| stocks[idx].length > 0).collect();
    let longest = usable.iter().map(|&idx| stocks[idx].length).max().unwrap_or(0);
    if kinds.is_empty() || usable.is_empty() || kinds[0].length > longest {
        return (floor, Vec::new());
    }
    let step = stocks.iter().fold(0, |step, stock| gcd(step, stock.price)).max(1);
    let mut master = Master::new(&kinds, &stocks, &usable);
    let dearest = stocks.iter().map(|stock| stock.price).max().unwrap_or(1).max(1);
    let scale = SCALE / dearest as f64;
    let (mut best, mut work) = (floor, 0);
    while work < MAX_WORK && best < found {
        let weights = master.weights();
        if let Some(kind) = (0..kinds.len()).find(|&kind| weights[kind] < -EPSILON) {
            if !master.enter(Column::surplus(kind, kinds.len())) {
                break;
            }
            work += kinds.len() * kinds.len();
            continue;
        }
        let whole: Vec<u64> = weights.iter().map(|weight| (weight.max(0.0) * scale) as u64).collect();
        let filled: Vec<(u64, Vec<u64>)> =
            (usable.iter()).map(|&stock| knapsack(&kinds, &whole, stocks[stock].length, &mut work)).collect();
        let total: u128 = kinds.iter().zip(&whole).map(|(kind, &w)| u128::from(kind.wanted) * u128::from(w)).sum();
        let bound = (usable.iter().zip(&filled)).filter(|(_, filled)| filled.0 > 0).map(|(&stock, filled)| {
            u128::from(stocks[stock].price).saturating_mul(total).div_ceil(u128::from(filled.0))
        });
        let bound = u64::try_from(bound.min().unwrap_or(0)).unwrap_or(u64::MAX);
        best = best.max(bound.div_ceil(step).saturating_mul(step));
        let gain = |at: &usize| filled[*at].0 as f64 / scale - stocks[usable[*at]].price as f64;
        let entering = (0..usable.len()).max_by(|a, b| gain(a).total_cmp(&gain(b)));
        let Some(at) = entering.filter(|at| gain(at) > EPSILON * dearest as f64) else { break };
        let (stock, counts) = (usable[at], &filled[at].1);
        if !master.enter(Column::pattern(stock, stocks[stock].price, counts)) {
            break;
        }
    }
    (best, if is_exact { master.patterns() } else { Vec::new() })
}

/// Kinds by length, longest first, and the reels, both in steps; whether nothing was rounded.
fn rounded(task: &Task<'_>) -> (Vec<Kind>, Vec<Stock>, bool) {
    let longest = task.stocks.iter().map(|stock| stock.length).max().unwrap_or(0);
    let unit = longest.div_ceil(MAX_CAPACITY).max(1);
    let mut kinds: Vec<Kind> = Vec::new();
    for length in task.lengths.iter().map(|length| length / unit) {
        match kinds.last_mut() {
            Some(kind) if kind.length == length => kind.wanted += 1,
            _ => kinds.push(Kind { length, wanted: 1 }),
        }
    }
    let mut is_exact = unit == 1;
    if kinds.last().is_some_and(|kind| kind.length == 0) {
        kinds.pop();
        is_exact = false;
    }
    if kinds.len() > MAX_KINDS {
        is_exact = false;
        let size = kinds.len().div_ceil(MAX_KINDS);
        let class = |kinds: &[Kind]| Kind {
            length: kinds.iter().map(|kind| kind.length).min().unwrap_or(0),
            wanted: kinds.iter().map(|kind| kind.wanted).sum(),
        };
        kinds = kinds.chunks(size).map(class).collect();
    }
    let stocks = task.stocks.iter().map(|stock| Stock { length: stock.length / unit, ..*stock }).collect();
    (kinds, stocks, is_exact)
}

/// The heaviest filling of one reel: its weight and how many of each kind, exact in whole numbers.
fn knapsack(kinds: &[Kind], weights: &[u64], capacity: u64, work: &mut usize) -> (u64, Vec<u64>) {
    let size = usize::try_from(capacity).unwrap_or(0);
    // Each kind in bundles of 1, 2, 4 ... so that any number of it can be made up.
    let mut bundles = Vec::new();
    for (kind, &Kind { length, wanted }) in kinds.iter().enumerate() {
        let mut left = wanted.min(capacity / length);
        let mut count = 1;
        while left > 0 {
            let taken = count.min(left);
            bundles.push((kind, taken, usize::try_from(taken * length).unwrap_or(size)));
            left -= taken;
            count *= 2;
        }
    }
    *work += bundles.len() * (size + 1);
    let mut best = vec![0_u64; size + 1];
    let mut is_taken = vec![false; bundles.len() * (size + 1)];
    for (bundle, &(kind, count, length)) in bundles.iter().enumerate() {
        let weight = weights[kind].saturating_mul(count);
        for at in (length..=size).rev() {
            let with = best[at - length].saturating_add(weight);
            if with > best[at] {
                best[at] = with;
                is_taken[bundle * (size + 1) + at] = true;
            }
        }
    }
    let mut counts = vec![0; kinds.len()];
    let mut at = size;
    for (bundle, &(kind, count, length)) in bundles.iter().enumerate().rev() {
        if is_taken[bundle * (size + 1) + at] {
            counts[kind] += count;
            at -= length;
        }
    }
    (best[size], counts)
}

/// A column of the relaxation.
#[derive(Debug, Clone)]
struct Column {
    price: f64,
    entries: Vec<f64>,
    pattern: Option<(usize, Vec<u64>)>,
}

impl Column {
    fn pattern(stock: usize, price: u64, counts: &[u64]) -> Self {
        let entries = counts.iter().map(|&count| count as f64).collect();
        Self { price: price as f64, entries, pattern: Some((stock, counts.to_vec())) }
    }

    /// One length of a kind more than wanted.
    fn surplus(kind: usize, n_kinds: usize) -> Self {
        let mut entries = vec![0.0; n_kinds];
        entries[kind] = -1.0;
        Self { price: 0.0, entries, pattern: None }
    }
}

/// The relaxation restricted to the patterns known so far, by the revised simplex method.
#[derive(Debug)]
struct Master {
    basis: Vec<Column>,
    inverse: Vec<Vec<f64>>,
    values: Vec<f64>,
}

impl Master {
    /// Begins with patterns of one kind each, on the reel that is cheapest for it.
    fn new(kinds: &[Kind], stocks: &[Stock], usable: &[usize]) -> Self {
        let n = kinds.len();
        let mut master = Self { basis: Vec::new(), inverse: vec![vec![0.0; n]; n], values: Vec::new() };
        for (at, kind) in kinds.iter().enumerate() {
            let fits = |stock: usize| (stocks[stock].length / kind.length).min(kind.wanted);
            let each = |stock: usize| stocks[stock].price as f64 / fits(stock) as f64;
            let stock = usable.iter().copied().filter(|&stock| fits(stock) > 0);
            let stock = stock.min_by(|&a, &b| each(a).total_cmp(&each(b))).unwrap_or(0);
            let mut counts = vec![0; n];
            counts[at] = fits(stock).max(1);
            master.inverse[at][at] = 1.0 / counts[at] as f64;
            master.values.push(kind.wanted as f64 / counts[at] as f64);
            master.basis.push(Column::pattern(stock, stocks[stock].price, &counts));
        }
        master
    }

    /// What one more length of each kind would cost.
    fn weights(&self) -> Vec<f64> {
        let n = self.basis.len();
        let of_kind = |kind: usize| (0..n).map(|row| self.basis[row].price * self.inverse[row][kind]).sum();
        (0..n).map(of_kind).collect()
    }

    /// Brings a column into the basis; whether there was one to leave.
    fn enter(&mut self, column: Column) -> bool {
        let n = self.basis.len();
        let dot = |row: &Vec<f64>| row.iter().zip(&column.entries).map(|(a, b)| a * b).sum::<f64>();
        let direction: Vec<f64> = self.inverse.iter().map(dot).collect();
        let ratio = |row: usize| self.values[row] / direction[row];
        let leaving = (0..n).filter(|&row| direction[row] > EPSILON).min_by(|&a, &b| ratio(a).total_cmp(&ratio(b)));
        let Some(leaving) = leaving else { return false };
        let step = ratio(leaving);
        let pivot: Vec<f64> = self.inverse[leaving].iter().map(|value| value / direction[leaving]).collect();
        for row in (0..n).filter(|&row| row != leaving) {
            let factor = direction[row];
            self.values[row] = (self.values[row] - step * factor).max(0.0);
            self.inverse[row].iter_mut().zip(&pivot).for_each(|(value, pivot)| *value -= factor * pivot);
        }
        self.inverse[leaving] = pivot;
        self.values[leaving] = step;
        self.basis[leaving] = column;
        true
    }

    /// The patterns in use.
    fn patterns(&self) -> Vec<Pattern> {
        let used = self.basis.iter().zip(&self.values).filter(|it| *it.1 > EPSILON);
        let pattern = |(column, &times): (&Column, &f64)| {
            let (stock, counts) = column.pattern.clone()?;
            Some(Pattern { stock, counts, times })
        };
        used.filter_map(pattern).collect()
    }
}
