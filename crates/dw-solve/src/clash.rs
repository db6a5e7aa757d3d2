//! Demands that cannot be met together, reduced to a set in which each one matters.
//!
//! Source of the idea: J. W. Chinneck, "Feasibility and Infeasibility in Optimization", Springer 2008, chapter 6
//! (deletion filter); U. Junker, "QuickXplain", AAAI 2004 (finding the members by halving).

use crate::location::Feasibility;

/// Demands that clash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// Ascending positions in the list of demands.
    pub members: Vec<usize>,
    /// Whether the others were shown to be possible without each single member; where they were not, fewer may clash already.
    pub is_irreducible: bool,
}

/// A set of demands that is proven to clash, irreducible where that can be shown; `None` when all can be met, or when no clash
/// is proven.
///
/// The returned demands cannot be met together, and leaving out any one of them makes the others possible as far as is
/// known. `feasible` is told which demands are kept and says whether they can be met.
///
/// **Preference.** `demands` stands in the order in which they are to be blamed, pins first. The last member of the
/// result is as early in the list as it can be, then the last but one, and so on: the set lies within the shortest
/// clashing beginning of the list. A demand late in the list is blamed only when those before it do not clash.
/// This is the set that a deletion filter finds when it tries to leave out the last demand first. An answer that is not
/// known counts as possible on the way, and proves nothing at the end.
///
/// **Assumes** that leaving out a demand never makes the rest impossible. **Work:** about k · log2(n) calls for k
/// members out of n demands.
///
/// ```
/// use dw_solve::location::Feasibility;
/// // Three demands for one port each, and a fourth for two, on a device of three ports.
/// let ports = [1, 1, 1, 2];
/// let taken = |kept: &[bool]| ports.iter().zip(kept).filter(|(_, kept)| **kept).map(|(n, _)| n).sum::<i32>();
/// let fits = |kept: &[bool]| if taken(kept) <= 3 { Feasibility::Yes } else { Feasibility::No };
/// let clash = dw_solve::clash::irreducible(&ports, fits).unwrap();
/// assert_eq!((clash.members, clash.is_irreducible), (vec![0, 1, 3], true));
/// ```
pub fn irreducible<T>(demands: &[T], mut feasible: impl FnMut(&[bool]) -> Feasibility) -> Option<Clash> {
    let members = narrowed(demands.len(), |kept| feasible(kept) != Feasibility::No);
    let mut kept = vec![false; demands.len()];
    for &member in &members {
        kept[member] = true;
    }
    // Where an answer on the way was not known, the members found need not clash.
    if members.is_empty() || feasible(&kept) != Feasibility::No {
        return None;
    }
    let is_irreducible = members.iter().all(|&member| {
        kept[member] = false;
        let answer = feasible(&kept);
        kept[member] = true;
        answer == Feasibility::Yes
    });
    Some(Clash { members, is_irreducible })
}

/// The members of the preferred set; none when all demands can be met.
fn narrowed(n_demands: usize, mut feasible: impl FnMut(&[bool]) -> bool) -> Vec<usize> {
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

    fn answer(is_possible: bool) -> Feasibility {
        if is_possible { Feasibility::Yes } else { Feasibility::No }
    }

    fn members<T>(demands: &[T], mut possible: impl FnMut(&[bool]) -> bool) -> Vec<usize> {
        let found = irreducible(demands, |kept| answer(possible(kept)));
        assert!(found.as_ref().is_none_or(|clash| clash.is_irreducible));
        found.map(|clash| clash.members).unwrap_or_default()
    }

    #[test]
    fn what_is_not_known_is_no_proof() {
        // Three demands clash by pairs; that any pair fits is never shown.
        let mut n_unknown = 0;
        let shy = |kept: &[bool]| {
            let n_kept = kept.iter().filter(|kept| **kept).count();
            n_unknown += usize::from(n_kept == 1);
            match n_kept {
                0 => Feasibility::Yes,
                1 => Feasibility::Unknown,
                _ => Feasibility::No,
            }
        };
        let clash = irreducible(&[(); 3], shy).unwrap();
        assert_eq!((clash.members, clash.is_irreducible, n_unknown > 0), (vec![0, 1], false, true));
        assert_eq!(irreducible(&[(); 3], |_| Feasibility::Unknown), None);
        // Asked again, the same set is not refused any more.
        let mut n_asked = 0;
        let tired = |kept: &[bool]| {
            n_asked += 1;
            if n_asked > 4 { Feasibility::Unknown } else { answer(kept.iter().filter(|kept| **kept).count() < 2) }
        };
        assert_eq!(irreducible(&[(); 3], tired), None);
    }

    proptest! {
        #[test]
        fn the_set_clashes_each_member_matters_and_no_set_ends_earlier(
            groups in prop::collection::vec(1u32..256, 0..6),
        ) {
            // A set of demands clashes when it contains one of the groups.
            let possible = |set: u32| groups.iter().all(|&group| group & !set != 0);
            let as_set = |kept: &[bool]| kept.iter().enumerate().filter(|(_, k)| **k).map(|(i, _)| 1 << i).sum::<u32>();
            let found = members(&[(); 8], |kept| possible(as_set(kept)));
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
        assert_eq!(members(&[1, 2, 3], |_| true), Vec::<usize>::new());
        assert_eq!(members::<u8>(&[], |_| true), Vec::<usize>::new());
    }

    #[test]
    fn a_demand_that_is_impossible_alone_stands_alone() {
        assert_eq!(members(&[(); 5], |kept| !kept[3]), [3]);
    }

    #[test]
    fn few_questions_are_asked_about_many_demands() {
        let mut n_asked = 0;
        let found = members(&[(); 4096], |kept| {
            n_asked += 1;
            !(kept[17] && kept[2000])
        });
        assert_eq!(found, [17, 2000]);
        assert!(n_asked < 60, "{n_asked} questions");
    }
}
