//! Reels that together hold at least a length, for the least money: what remains of cutting stock when lengths may be
//! joined.

use super::Stock;

/// Steps of a table at most; beyond, the bound counts by the cheapest metre, and bulk is bought of that reel.
const MAX_STEPS: u64 = 1 << 17;

/// The least price of reels that hold `need`; never above it.
pub(super) fn least(stocks: &[Stock], need: u64) -> u64 {
    let step = step(stocks);
    if need == 0 || step == 0 {
        return 0;
    }
    let steps = need.div_ceil(step);
    if steps <= MAX_STEPS {
        return table(stocks, step, steps).last().map_or(0, |cell| cell.0);
    }
    let by_metre = stocks
        .iter()
        .filter(|stock| stock.length > 0)
        .map(|stock| u128::from(need).saturating_mul(u128::from(stock.price)).div_ceil(u128::from(stock.length)));
    by_metre.min().map_or(0, |price| u64::try_from(price).unwrap_or(u64::MAX))
}

/// The least price for every number of steps up to a length, and the step; `None` where that takes too many.
pub(super) fn all(stocks: &[Stock], need: u64) -> Option<(Vec<u64>, u64)> {
    let step = step(stocks);
    let steps = (step > 0).then(|| need.div_ceil(step)).filter(|&steps| steps <= MAX_STEPS)?;
    Some((table(stocks, step, steps).into_iter().map(|cell| cell.0).collect(), step))
}

/// How many of each reel to buy for a length: the least price, or close to it for very long lengths.
pub(super) fn buy(stocks: &[Stock], need: u64) -> Vec<u64> {
    let mut counts = vec![0; stocks.len()];
    let step = step(stocks);
    let Some(best) = cheapest_metre(stocks).filter(|_| step > 0) else { return counts };
    let steps = need.div_ceil(step);
    // Bulk comes from the reel with the cheapest metre; only the end is worth choosing.
    let bulk = steps.saturating_sub(MAX_STEPS).div_ceil((stocks[best].length / step).max(1));
    counts[best] = bulk;
    let rest = need.saturating_sub(bulk.saturating_mul(stocks[best].length));
    let cells = table(stocks, step, rest.div_ceil(step));
    let mut at = cells.len() - 1;
    while at > 0 {
        let stock = cells[at].1;
        counts[stock] += 1;
        at = at.saturating_sub(usize::try_from(stocks[stock].length / step).unwrap_or(usize::MAX));
    }
    counts
}

/// The reel with the cheapest metre; the longer one where two cost the same.
fn cheapest_metre(stocks: &[Stock]) -> Option<usize> {
    let usable = (0..stocks.len()).filter(|&idx| stocks[idx].length > 0);
    usable.min_by(|&a, &b| {
        let (a, b) = (stocks[a], stocks[b]);
        let (left, right) = (u128::from(a.price) * u128::from(b.length), u128::from(b.price) * u128::from(a.length));
        left.cmp(&right).then(b.length.cmp(&a.length))
    })
}

/// Greatest common divisor of the reels' lengths.
fn step(stocks: &[Stock]) -> u64 {
    stocks.iter().fold(0, |step, stock| gcd(step, stock.length))
}

pub(super) fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// For every number of steps: the least price of reels that hold it, and one reel of them.
fn table(stocks: &[Stock], step: u64, steps: u64) -> Vec<(u64, usize)> {
    let mut cells = vec![(0, 0)];
    let usable: Vec<(usize, usize, u64)> = (stocks.iter().enumerate())
        .filter(|(_, stock)| stock.length > 0)
        .map(|(idx, stock)| (idx, usize::try_from(stock.length / step).unwrap_or(usize::MAX), stock.price))
        .collect();
    for at in 1..=usize::try_from(steps).unwrap_or(0) {
        let cell = usable.iter().map(|&(idx, length, price)| {
            let before: &(u64, usize) = &cells[at.saturating_sub(length)];
            (before.0.saturating_add(price), idx)
        });
        cells.push(cell.min().unwrap_or_default());
    }
    cells
}
