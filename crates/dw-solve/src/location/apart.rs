//! Customers that must not share a controller: whether controllers hold them so, and who sits where.
//!
//! The members of a pool that some other there must stay apart from are seated one by one, the largest first; what is left of
//! each controller is a smaller controller for everybody else, for whom [`pack`] decides. Controllers alike in what is left of
//! them and in whom they hold count as one, so that a group of openings all apart from each other takes few steps.

use std::collections::{BTreeMap, BTreeSet};

use super::case::Case;
use super::pack::{self, Counts};

/// A customer that stays apart from others: its number, and the ports it takes.
pub(super) type Member = (u32, u8);

/// What decides whether members can be seated: the ports of each, and the groups it shares with another one, ascending.
pub(super) type Shape = Vec<(u8, Vec<u32>)>;

/// The shape of some members; nothing where nobody must stay apart from another one of them.
pub(super) fn shape(case: &Case, members: &[Member]) -> Shape {
    let mut shape: Shape = clashing(case, members).into_iter().map(|((_, ports), groups)| (ports, groups)).collect();
    shape.sort_unstable();
    shape
}

/// Most members of one group: no fewer controllers hold them.
pub(super) fn most_of_a_group(shape: &Shape) -> usize {
    let mut sizes: BTreeMap<u32, usize> = BTreeMap::new();
    for group in shape.iter().flat_map(|it| &it.1) {
        *sizes.entry(*group).or_default() += 1;
    }
    sizes.into_values().max().unwrap_or(0)
}

/// Steps before a seating is given up. Groups that do not overlap take some dozens (*common practice*).
const MAX_STEPS: usize = 20_000;

/// What is left of a controller, and the groups of those on it.
type Kind = (u32, Vec<u32>);

/// Whether controllers hold customers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Seating {
    /// They do, with each member on the controller of this number; all others fit into what is left.
    Yes(Vec<(Member, usize)>),
    No,
    /// Nobody knows: the groups overlap so much that the search was given up.
    Unknown,
}

/// Seats the members among so many customers of each port count, themselves included, so that no two of a group share a
/// controller and all others still fit.
pub(super) fn seat(case: &Case, bins: &[u32], counts: Counts, members: &[Member]) -> Seating {
    let clashing = clashing(case, members);
    let mut rest = counts;
    for ((_, ports), _) in &clashing {
        let count = &mut rest[usize::from(*ports).saturating_sub(1).min(3)];
        *count = count.saturating_sub(1);
    }
    let mut kinds: BTreeMap<Kind, u32> = BTreeMap::new();
    for &ports in bins {
        *kinds.entry((ports, Vec::new())).or_default() += 1;
    }
    let mut search = Search { members: clashing, rest, chosen: Vec::new(), dead: BTreeSet::new(), n_steps: 0 };
    if search.place(&mut kinds) {
        return Seating::Yes(replay(bins, &search));
    }
    if search.n_steps > MAX_STEPS { Seating::Unknown } else { Seating::No }
}

/// The members that some other member stays apart from, with the groups they share; the largest first.
fn clashing(case: &Case, members: &[Member]) -> Vec<(Member, Vec<u32>)> {
    let mut sizes: BTreeMap<u32, u32> = BTreeMap::new();
    for group in members.iter().flat_map(|member| case.groups(member.0)) {
        *sizes.entry(*group).or_default() += 1;
    }
    let shared = |member: &Member| -> Vec<u32> {
        case.groups(member.0).iter().copied().filter(|group| sizes.get(group).is_some_and(|&size| size > 1)).collect()
    };
    let mut clashing: Vec<(Member, Vec<u32>)> = members.iter().map(|member| (*member, shared(member))).collect();
    clashing.retain(|it| !it.1.is_empty());
    clashing.sort_by_key(|((customer, ports), groups)| (std::cmp::Reverse((*ports, groups.len())), *customer));
    clashing
}

struct Search {
    members: Vec<(Member, Vec<u32>)>,
    /// Everybody else.
    rest: Counts,
    /// The kind of controller each member went to.
    chosen: Vec<Kind>,
    /// Controllers from which the members from some place on cannot be seated.
    dead: BTreeSet<(usize, BTreeMap<Kind, u32>)>,
    n_steps: usize,
}

impl Search {
    /// Seats the next member and those after it.
    fn place(&mut self, kinds: &mut BTreeMap<Kind, u32>) -> bool {
        let at = self.chosen.len();
        let Some(((_, ports), groups)) = self.members.get(at).cloned() else {
            let left: Vec<(u32, u32)> = kinds.iter().map(|((left, _), &count)| (*left, count)).collect();
            return pack::fits(&left, self.rest);
        };
        self.n_steps += 1;
        if self.n_steps > MAX_STEPS || self.dead.contains(&(at, kinds.clone())) {
            return false;
        }
        let suits = |kind: &&Kind| kind.0 >= u32::from(ports) && kind.1.iter().all(|group| !groups.contains(group));
        let suitable: Vec<Kind> = kinds.keys().filter(suits).cloned().collect();
        for kind in suitable {
            let after = with(&kind, ports, &groups);
            change(kinds, &kind, false);
            change(kinds, &after, true);
            self.chosen.push(kind.clone());
            if self.place(kinds) {
                return true;
            }
            self.chosen.pop();
            change(kinds, &after, false);
            change(kinds, &kind, true);
        }
        self.dead.insert((at, kinds.clone()));
        false
    }
}

/// A controller once a member sits on it.
fn with(kind: &Kind, ports: u8, groups: &[u32]) -> Kind {
    let mut all: Vec<u32> = kind.1.iter().chain(groups).copied().collect();
    all.sort_unstable();
    (kind.0 - u32::from(ports), all)
}

fn change(kinds: &mut BTreeMap<Kind, u32>, kind: &Kind, adds: bool) {
    let count = kinds.entry(kind.clone()).or_default();
    *count = if adds { *count + 1 } else { count.saturating_sub(1) };
    if *count == 0 {
        kinds.remove(kind);
    }
}

/// The number of the controller that each member went to.
fn replay(bins: &[u32], search: &Search) -> Vec<(Member, usize)> {
    let mut now: Vec<Kind> = bins.iter().map(|&ports| (ports, Vec::new())).collect();
    let mut seats = Vec::new();
    for ((member, groups), kind) in search.members.iter().zip(&search.chosen) {
        let Some(bin) = now.iter().position(|it| it == kind) else { continue };
        now[bin] = with(kind, member.1, groups);
        seats.push((*member, bin));
    }
    seats
}
