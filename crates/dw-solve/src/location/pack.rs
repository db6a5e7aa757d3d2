//! Which customers share which controller: all ports of a customer on one controller.
//!
//! Port counts 1, 2 and 4 divide each other, so largest-first is exact for them; a 3 breaks that. A dynamic programme
//! over the controllers, with the numbers of 4s and 3s placed as its state, is exact for every mix: what remains for
//! the 2s is the number of port pairs left, and the 1s go anywhere.

/// How many customers need 1, 2, 3 and 4 ports.
pub(super) type Counts = [u16; 4];

/// Ports that `counts` customers need together.
pub(super) fn ports(counts: Counts) -> u64 {
    counts.iter().zip(1u64..).map(|(&count, size)| u64::from(count) * size).sum()
}

/// Whether customers can be packed into controllers of the given port counts.
pub(super) fn fits(bins: &[(u32, u32)], counts: Counts) -> bool {
    let total = |slots: &dyn Fn(u64) -> u64| -> u64 {
        bins.iter().map(|&(ports, count)| slots(u64::from(ports)).saturating_mul(u64::from(count))).sum()
    };
    let [_, twos, threes, fours] = counts.map(u64::from);
    if total(&|ports| ports) < self::ports(counts)
        || total(&|ports| ports / 4) < fours
        || total(&|ports| ports / 2) < 2 * fours + threes + twos
    {
        return false;
    }
    if threes == 0 {
        return true;
    }
    let bins: Vec<u32> = bins.iter().flat_map(|&(ports, count)| std::iter::repeat_n(ports, count as usize)).collect();
    pack(&bins, counts).is_some()
}

/// Customers of each port count per controller; `None` when they do not fit.
pub(super) fn pack(bins: &[u32], counts: Counts) -> Option<Vec<Counts>> {
    let [ones, twos, threes, fours] = counts.map(usize::from);
    let width = threes + 1;
    let size = (fours + 1) * width;
    if size.saturating_mul(bins.len()) > MAX_STATES {
        return pack_in_order(bins, counts);
    }
    // pairs[state]: most port pairs left over after the controllers so far hold the state's 4s and 3s.
    let mut pairs: Vec<Option<u64>> = vec![None; size];
    pairs[0] = Some(0);
    let mut choices: Vec<Vec<(u16, u16)>> = Vec::with_capacity(bins.len());
    for &bin in bins {
        let mut next: Vec<Option<u64>> = vec![None; size];
        let mut choice = vec![(0, 0); size];
        for (state, known) in pairs.iter().enumerate() {
            let Some(known) = *known else { continue };
            let (placed_fours, placed_threes) = (state / width, state % width);
            for more_fours in 0..=(bin as usize / 4).min(fours - placed_fours) {
                let left = bin as usize - 4 * more_fours;
                for more_threes in 0..=(left / 3).min(threes - placed_threes) {
                    let to = (placed_fours + more_fours) * width + placed_threes + more_threes;
                    let reached = known + ((left - 3 * more_threes) / 2) as u64;
                    if next[to].is_none_or(|other| other < reached) {
                        next[to] = Some(reached);
                        choice[to] = (more_fours as u16, more_threes as u16);
                    }
                }
            }
        }
        pairs = next;
        choices.push(choice);
    }
    if pairs[size - 1].is_none_or(|pairs| pairs < twos as u64) {
        return None;
    }
    let mut packed = vec![[0u16; 4]; bins.len()];
    let mut state = size - 1;
    for (bin, choice) in choices.iter().enumerate().rev() {
        let (more_fours, more_threes) = choice[state];
        packed[bin][3] = more_fours;
        packed[bin][2] = more_threes;
        state -= usize::from(more_fours) * width + usize::from(more_threes);
    }
    let (mut twos, mut ones) = (twos, ones);
    for (content, &bin) in packed.iter_mut().zip(bins) {
        let more = ((bin as usize - ports(*content) as usize) / 2).min(twos);
        content[1] = more as u16;
        twos -= more;
    }
    for (content, &bin) in packed.iter_mut().zip(bins) {
        let more = (bin as usize - ports(*content) as usize).min(ones);
        content[0] = more as u16;
        ones -= more;
    }
    (ones == 0).then_some(packed)
}

/// States of the dynamic programme beyond which the plain order is taken: hundreds of customers of 3 ports at one site.
const MAX_STATES: usize = 2_000_000;

/// Fills one controller after another, the largest customers first.
fn pack_in_order(bins: &[u32], mut counts: Counts) -> Option<Vec<Counts>> {
    let mut packed = vec![[0u16; 4]; bins.len()];
    for (content, &bin) in packed.iter_mut().zip(bins) {
        let mut left = bin;
        for size in (0..4).rev() {
            let more = (left / (size as u32 + 1)).min(u32::from(counts[size])) as u16;
            content[size] = more;
            counts[size] -= more;
            left -= u32::from(more) * (size as u32 + 1);
        }
    }
    (counts == [0; 4]).then_some(packed)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Packs item by item, trying every controller.
    fn by_trial(bins: &mut [u32], items: &[u32]) -> bool {
        let Some((&item, rest)) = items.split_first() else { return true };
        (0..bins.len()).any(|bin| {
            bins[bin] >= item && {
                bins[bin] -= item;
                let fits = by_trial(bins, rest);
                bins[bin] += item;
                fits
            }
        })
    }

    proptest! {
        #[test]
        fn packing_agrees_with_trial(
            bins in prop::collection::vec(1u32..9, 1..4),
            counts in prop::array::uniform4(0u16..3),
        ) {
            let mut items: Vec<u32> =
                (0..4).flat_map(|at| std::iter::repeat_n(at as u32 + 1, usize::from(counts[at]))).collect();
            items.reverse();
            let packed = pack(&bins, counts);
            prop_assert_eq!(packed.is_some(), by_trial(&mut bins.clone(), &items));
            let single: Vec<(u32, u32)> = bins.iter().map(|&bin| (bin, 1)).collect();
            prop_assert_eq!(packed.is_some(), fits(&single, counts));
            if let Some(packed) = packed {
                for (content, bin) in packed.iter().zip(&bins) {
                    prop_assert!(ports(*content) <= u64::from(*bin));
                }
                for size in 0..4 {
                    prop_assert_eq!(packed.iter().map(|content| content[size]).sum::<u16>(), counts[size]);
                }
            }
        }
    }
}
