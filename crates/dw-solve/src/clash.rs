//! Demands that cannot be met together, reduced to a set in which each one matters.
//!
//! Source of the idea: J. W. Chinneck, "Feasibility and Infeasibility in Optimization", Springer 2008, chapter 6
//! (deletion filter); U. Junker, "QuickXplain", AAAI 2004 (finding the members by halving).

/// An irreducible set of clashing demands, as ascending positions in `demands`; empty when all can be met.
///
/// The returned demands cannot be met together, and leaving out any one of them makes the others possible. `feasible`
/// is told which demands are kept and says whether they can be met; it should say `true` when it does not know.
///
/// **Preference.** `demands` stands in the order in which they are to be blamed, pins first. The last member of the
/// result is as early in the list as it can be, then the last but one, and so on: the set lies within the shortest
/// clashing beginning of the list. A demand late in the list is blamed only when those before it do not clash.
/// This is the set that a deletion filter finds when it tries to leave out the last demand first.
///
/// **Assumes** that leaving out a demand never makes the rest impossible. **Work:** about k · log2(n) calls for k
/// members out of n demands.
///
/// ```
/// // Three demands for one port each, and a fourth for two, on a device of three ports.
/// let ports = [1, 1, 1, 2];
/// let fits = |kept: &[bool]| ports.iter().zip(kept).filter(|(_, kept)| **kept).map(|(n, _)| n).sum::<i32>() <= 3;
/// assert_eq!(dw_solve::clash::irreducible(&ports, fits), [0, 1, 3]);
/// ```
pub fn irreducible<T>(demands: &[T], mut feasible: impl FnMut(&[bool]) -> bool) -> Vec<usize> {
    let n_demands = demands.len();
    let mut kept = vec![false; n_demands];
    let mut members: Vec<usize> = Vec::new();
    let mut end = n_demands;
    // Each round keeps the members found so far and looks for the shortest beginning that clashes with them; its last
    // demand must be a member.
    loop {
        let mut clashes = |length: usize| {
            kept.fill(false);
            kept[..length].fill(true);
            for &member in &members {
                kept[member] = true;
            }
            !feasible(&kept)
        };
        if members.is_empty() && !clashes(end) {
            return Vec::new();
        }
        let (mut possible, mut clashing) = (0, end);
        if clashes(0) {
            break;
        }
        while clashing - possible > 1 {
            let middle = possible.midpoint(clashing);
            if clashes(middle) {
                clashing = middle;
            } else {
                possible = middle;
            }
        }
        if clashing == 0 {
            break;
        }
        end = clashing - 1;
        members.push(end);
    }
    members.reverse();
    members
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn the_set_clashes_each_member_matters_and_no_set_ends_earlier(
            groups in prop::collection::vec(1u32..256, 0..6),
        ) {
            // A set of demands clashes when it contains one of the groups.
            let possible = |set: u32| groups.iter().all(|&group| group & !set != 0);
            let as_set = |kept: &[bool]| kept.iter().enumerate().filter(|(_, k)| **k).map(|(i, _)| 1 << i).sum::<u32>();
            let found = irreducible(&[(); 8], |kept| possible(as_set(kept)));
            let set = found.iter().map(|&i| 1 << i).sum::<u32>();
            prop_assert_eq!(found.is_empty(), possible(255));
            if !found.is_empty() {
                prop_assert!(!possible(set));
                prop_assert!(found.iter().all(|&member| possible(set & !(1 << member))));
                let irreducible_sets = (0u32..256).filter(|&candidate| {
                    !possible(candidate)
                        && (0..8).all(|i| candidate & (1 << i) == 0 || possible(candidate & !(1 << i)))
                });
                // Compared from the last demand on: as a binary number, the preferred set is the smallest.
                prop_assert_eq!(Some(set), irreducible_sets.min());
            }
        }
    }

    #[test]
    fn demands_that_fit_together_are_not_blamed() {
        assert_eq!(irreducible(&[1, 2, 3], |_| true), Vec::<usize>::new());
        assert_eq!(irreducible::<u8>(&[], |_| true), Vec::<usize>::new());
    }

    #[test]
    fn a_demand_that_is_impossible_alone_stands_alone() {
        assert_eq!(irreducible(&[(); 5], |kept| !kept[3]), [3]);
    }

    #[test]
    fn few_questions_are_asked_about_many_demands() {
        let mut n_asked = 0;
        let found = irreducible(&[(); 4096], |kept| {
            n_asked += 1;
            !(kept[17] && kept[2000])
        });
        assert_eq!(found, [17, 2000]);
        assert!(n_asked < 60, "{n_asked} questions");
    }
}
