//! The cheapest mixes of models for a load, computed once per load and kept.
//!
//! A load is how many customers need 1, 2, 3 and 4 ports from one family at one site. Its *front* lists the mixes that
//! are not beaten in price and in every limited resource by another one; the first is the cheapest. Loads that differ
//! by one customer are linked, so that a search that adds and takes away customers follows links instead of searching.
//! Where customers must not share a controller, a load also says which of these there are: they may need more models.

use std::cell::Cell;
use std::collections::BTreeMap;

use super::apart::{self, Member, Seating, Shape};
use super::case::{Case, FamilyCase, VariantCase};
use super::pack::{self, Counts};
use super::state::IMPOSSIBLE;

/// Number of a front in [`Mixes`].
pub(super) type FrontId = u32;

const UNKNOWN: FrontId = FrontId::MAX;

/// Loads above this many ports take whole numbers of the model with the cheapest ports first; only the rest is
/// searched. The mix may then be a little dearer than the best, never invalid; the bound does not rest on it.
const SEARCHED_PORTS: u64 = 64;

/// Most mixes kept per load. *Common practice*: three or four models leave fewer than ten.
const MAX_MIXES: usize = 64;

/// One way to meet a load.
#[derive(Debug, Clone)]
pub(super) struct Mix {
    pub(super) price: i64,
    /// Amount of each limited resource.
    pub(super) uses: Vec<i64>,
    /// How many of each model.
    pub(super) counts: Vec<u32>,
}

/// The mixes for one load of one stock class.
#[derive(Debug)]
struct Front {
    class: u32,
    counts: Counts,
    /// Those of the customers that must stay apart from others, here or elsewhere, ascending.
    members: Vec<Member>,
    /// Cheapest first; empty when no mix meets the load.
    mixes: Vec<Mix>,
    more: [FrontId; 4],
    fewer: [FrontId; 4],
}

/// All fronts met so far.
#[derive(Debug)]
pub(super) struct Mixes {
    fronts: Vec<Front>,
    /// Price and uses of the cheapest mix of every front, in one row each; the search reads little else.
    cheapest: Vec<i64>,
    row: usize,
    known: BTreeMap<(u32, Counts), FrontId>,
    /// Fronts with customers that stay apart, by the front of the same load without and these customers.
    known_apart: BTreeMap<(FrontId, Vec<Member>), FrontId>,
    /// One of these for each shape of them: those of one shape have the same mixes.
    known_shapes: BTreeMap<(FrontId, Shape), FrontId>,
    /// Whether every front so far lists all unbeaten mixes.
    pub(super) are_complete: bool,
    /// Whether it stayed unknown for some mix if it holds customers that stay apart; the mix was left out.
    pub(super) has_doubts: bool,
}

impl Mixes {
    /// A store whose front number `c` is the empty load of stock class `c`.
    pub(super) fn new(case: &Case) -> Self {
        let mut mixes = Self {
            fronts: Vec::new(),
            cheapest: Vec::new(),
            row: 1 + case.resources.len(),
            known: BTreeMap::new(),
            known_apart: BTreeMap::new(),
            known_shapes: BTreeMap::new(),
            are_complete: true,
            has_doubts: false,
        };
        for class in 0..case.classes.len() {
            mixes.front(case, class as u32, [0; 4]);
        }
        mixes
    }

    /// The front of a load.
    pub(super) fn front(&mut self, case: &Case, class: u32, counts: Counts) -> FrontId {
        if let Some(&id) = self.known.get(&(class, counts)) {
            return id;
        }
        let as_singles = self.as_singles(case, class, counts).map(Found::all);
        let found = as_singles.unwrap_or_else(|| mixes_for(case, class, counts, &[]));
        let id = self.add(class, counts, Vec::new(), found);
        self.known.insert((class, counts), id);
        id
    }

    fn add(&mut self, class: u32, counts: Counts, members: Vec<Member>, found: Found) -> FrontId {
        let Found { mixes, is_complete, has_doubts } = found;
        let id = self.fronts.len() as FrontId;
        self.are_complete &= is_complete;
        self.has_doubts |= has_doubts;
        match mixes.first() {
            Some(mix) => {
                self.cheapest.push(mix.price);
                self.cheapest.extend(&mix.uses);
            }
            None => self.cheapest.resize(self.cheapest.len() + self.row, IMPOSSIBLE),
        }
        self.fronts.push(Front { class, counts, members, mixes, more: [UNKNOWN; 4], fewer: [UNKNOWN; 4] });
        id
    }

    /// The front of a load with customers that must stay apart from others.
    fn load(&mut self, case: &Case, class: u32, counts: Counts, members: Vec<Member>) -> FrontId {
        let without = self.front(case, class, counts);
        if members.is_empty() {
            return without;
        }
        let key = (without, members);
        if let Some(&id) = self.known_apart.get(&key) {
            return id;
        }
        let members = key.1.clone();
        let shape = apart::shape(case, &members);
        let like =
            if shape.is_empty() { Some(without) } else { self.known_shapes.get(&(without, shape.clone())).copied() };
        let found = match like {
            Some(like) => Found::all(self.mixes(like).to_vec()),
            None => self.mixes_apart(case, without, &members),
        };
        let id = self.add(class, counts, members, found);
        self.known_shapes.entry((without, shape)).or_insert(id);
        self.known_apart.insert(key, id);
        id
    }

    /// The mixes for a load some of whose customers stay apart, given the front of the load without that. Mostly they fit apart
    /// into every mix that holds them at all, and there can be no others then.
    fn mixes_apart(&self, case: &Case, without: FrontId, members: &[Member]) -> Found {
        let Front { class, counts, .. } = self.fronts[without as usize];
        let models = &case.families[case.classes[class as usize].family as usize].models;
        let holds = |mix: &Mix| {
            let bins = bins(models.iter().map(|model| model.ports).zip(mix.counts.iter().copied()));
            matches!(apart::seat(case, &bins, counts, members), Seating::Yes(_))
        };
        let mixes = self.mixes(without);
        if mixes.iter().all(holds) { Found::all(mixes.to_vec()) } else { mixes_for(case, class, counts, members) }
    }

    /// The mixes for the same number of ports asked for one by one, if the customers fit into every one of them: there
    /// can be no others then, and most loads are met so without a search.
    fn as_singles(&mut self, case: &Case, class: u32, counts: Counts) -> Option<Vec<Mix>> {
        if counts[1..] == [0; 3] {
            return None;
        }
        let singles = u16::try_from(pack::ports(counts)).ok()?;
        let id = self.front(case, class, [singles, 0, 0, 0]);
        let models = &case.families[case.classes[class as usize].family as usize].models;
        let holds = |mix: &Mix| {
            let bins: Vec<(u32, u32)> = models.iter().zip(&mix.counts).map(|(model, &n)| (model.ports, n)).collect();
            pack::fits(&bins, counts)
        };
        let mixes = self.mixes(id);
        (!mixes.is_empty() && mixes.iter().all(holds)).then(|| mixes.to_vec())
    }

    /// The front with one customer more.
    pub(super) fn more(&mut self, case: &Case, id: FrontId, what: VariantCase) -> FrontId {
        let Some(size) = usize::from(what.ports).checked_sub(1) else { return id };
        let front = &self.fronts[id as usize];
        if front.more[size] != UNKNOWN && !what.is_apart {
            return front.more[size];
        }
        let (mut counts, mut members) = (front.counts, front.members.clone());
        counts[size] = counts[size].saturating_add(1);
        if what.is_apart {
            let member = (what.customer, what.ports);
            members.insert(members.partition_point(|it| *it < member), member);
        }
        let next = self.load(case, front.class, counts, members);
        if !what.is_apart {
            self.fronts[id as usize].more[size] = next;
        }
        next
    }

    /// The front with one customer fewer.
    pub(super) fn fewer(&mut self, case: &Case, id: FrontId, what: VariantCase) -> FrontId {
        let Some(size) = usize::from(what.ports).checked_sub(1) else { return id };
        let front = &self.fronts[id as usize];
        if front.fewer[size] != UNKNOWN && !what.is_apart {
            return front.fewer[size];
        }
        let (mut counts, mut members) = (front.counts, front.members.clone());
        counts[size] = counts[size].saturating_sub(1);
        if what.is_apart {
            members.retain(|member| *member != (what.customer, what.ports));
        }
        let next = self.load(case, front.class, counts, members);
        if !what.is_apart {
            self.fronts[id as usize].fewer[size] = next;
        }
        next
    }

    /// Mixes of a front, cheapest first.
    pub(super) fn mixes(&self, id: FrontId) -> &[Mix] {
        &self.fronts[id as usize].mixes
    }

    /// Price and uses of the cheapest mix; [`IMPOSSIBLE`] when there is none.
    pub(super) fn cheapest(&self, id: FrontId) -> (i64, &[i64]) {
        let row = &self.cheapest[id as usize * self.row..][..self.row];
        (row[0], &row[1..])
    }

    /// The load of a front.
    pub(super) fn counts(&self, id: FrontId) -> Counts {
        self.fronts[id as usize].counts
    }

    /// Those of the load that must stay apart from others.
    pub(super) fn members(&self, id: FrontId) -> &[Member] {
        &self.fronts[id as usize].members
    }

    /// Cheapest choice of one mix per front that stays within what is left of each resource; `None` if there is none.
    pub(super) fn choose(&self, fronts: &[FrontId], left: &[i64]) -> Option<(i64, Vec<usize>)> {
        let mut best = None;
        self.choose_from(fronts, &mut left.to_vec(), 0, &mut Vec::new(), &mut best);
        best
    }

    fn choose_from(
        &self,
        fronts: &[FrontId],
        left: &mut [i64],
        price: i64,
        chosen: &mut Vec<usize>,
        best: &mut Option<(i64, Vec<usize>)>,
    ) {
        let Some((&front, rest)) = fronts.split_first() else {
            *best = Some((price, chosen.clone()));
            return;
        };
        let floor: i64 = rest.iter().filter_map(|&id| self.mixes(id).first()).map(|mix| mix.price).sum();
        for (at, mix) in self.mixes(front).iter().enumerate() {
            if best.as_ref().is_some_and(|(known, _)| price + mix.price + floor >= *known) {
                return;
            }
            if mix.uses.iter().zip(left.iter()).all(|(uses, left)| uses <= left) {
                mix.uses.iter().zip(left.iter_mut()).for_each(|(uses, left)| *left -= uses);
                chosen.push(at);
                self.choose_from(rest, left, price + mix.price, chosen, best);
                chosen.pop();
                mix.uses.iter().zip(left.iter_mut()).for_each(|(uses, left)| *left += uses);
            }
        }
    }
}

/// Mixes found for a load.
struct Found {
    mixes: Vec<Mix>,
    /// Whether these are all unbeaten ones.
    is_complete: bool,
    has_doubts: bool,
}

impl Found {
    /// All there are.
    fn all(mixes: Vec<Mix>) -> Self {
        Self { mixes, is_complete: true, has_doubts: false }
    }
}

/// Port counts of controllers one by one, given how many there are of each.
pub(super) fn bins(models: impl Iterator<Item = (u32, u32)>) -> Vec<u32> {
    models.flat_map(|(ports, count)| std::iter::repeat_n(ports, count as usize)).collect()
}

/// Searches the mixes for a load, some of whose customers stay apart.
fn mixes_for(case: &Case, class: u32, counts: Counts, members: &[Member]) -> Found {
    let class = &case.classes[class as usize];
    let family = &case.families[class.family as usize];
    let holds = |size: u32| family.models.iter().any(|model| model.ports >= size);
    if counts.iter().zip(1..).any(|(&count, size)| count > 0 && !holds(size)) {
        return Found::all(Vec::new());
    }
    let needed = family.ports_needed(pack::ports(counts));
    let mut order: Vec<usize> = (0..family.models.len()).collect();
    let per_port = |model: &super::case::ModelCase| (i128::from(model.price) << 20) / i128::from(model.ports);
    order.sort_by_key(|&model| (per_port(&family.models[model]), std::cmp::Reverse(family.models[model].ports), model));
    let mut search = Search {
        case,
        members,
        most_of_a_group: apart::most_of_a_group(&apart::shape(case, members)),
        has_doubts: Cell::new(false),
        family,
        stock: &class.stock,
        order,
        counts,
        needed,
        taken: vec![0; family.models.len()],
        found: Vec::new(),
        is_complete: true,
        largest_limits: &case.largest_limits,
    };
    search.take_large_numbers();
    search.extend(0);
    let has_doubts = search.has_doubts.get();
    Found { mixes: search.found, is_complete: search.is_complete && !has_doubts, has_doubts }
}

/// Enumeration of the smallest mixes that meet a load.
struct Search<'a> {
    case: &'a Case,
    members: &'a [Member],
    /// Of one group of them: fewer controllers never do.
    most_of_a_group: usize,
    has_doubts: Cell<bool>,
    family: &'a FamilyCase,
    stock: &'a [u32],
    /// Models, cheapest ports first.
    order: Vec<usize>,
    counts: Counts,
    needed: u64,
    taken: Vec<u32>,
    found: Vec<Mix>,
    is_complete: bool,
    largest_limits: &'a [i64],
}

impl Search<'_> {
    /// Starts with whole numbers of the model with the cheapest ports where the load is beyond the searched range.
    fn take_large_numbers(&mut self) {
        let models = &self.family.models;
        let per_port = |model: &usize| (i128::from(models[*model].price) << 20) / i128::from(models[*model].ports);
        let holds_all = |model: &usize| (0..4).all(|at| self.counts[at] == 0 || models[*model].ports > at as u32);
        let cheapest = (0..models.len()).filter(holds_all).min_by_key(per_port);
        if let Some(model) = cheapest.filter(|_| self.needed > SEARCHED_PORTS) {
            let base = (self.needed - SEARCHED_PORTS) / u64::from(models[model].ports);
            self.taken[model] = u32::try_from(base).unwrap_or(u32::MAX);
            self.is_complete = base == 0;
        }
    }

    fn meets_load(&self) -> bool {
        let models = self.family.models.iter();
        let installed: u64 =
            models.clone().zip(&self.taken).map(|(model, &n)| u64::from(model.ports) * u64::from(n)).sum();
        installed >= self.needed && {
            let bins: Vec<(u32, u32)> = models.zip(&self.taken).map(|(model, &n)| (model.ports, n)).collect();
            pack::fits(&bins, self.counts) && self.holds_apart(&bins)
        }
    }

    /// Whether those that must stay apart can; where nobody knows, the mix is left out.
    fn holds_apart(&self, mix: &[(u32, u32)]) -> bool {
        let n_bins: usize = mix.iter().map(|it| it.1 as usize).sum();
        if self.members.is_empty() || n_bins < self.most_of_a_group {
            return self.members.is_empty();
        }
        let seating = apart::seat(self.case, &bins(mix.iter().copied()), self.counts, self.members);
        self.has_doubts.set(self.has_doubts.get() || seating == Seating::Unknown);
        matches!(seating, Seating::Yes(_))
    }

    /// Tries every number of the models from `at` on, from as many as meet the load downwards: good mixes come early
    /// and spare the search of others.
    fn extend(&mut self, at: usize) {
        if self.meets_load() {
            self.keep();
            return;
        }
        if self.is_hopeless() {
            return;
        }
        let Some(&model) = self.order.get(at) else { return };
        let before = self.taken[model];
        let most = before.saturating_add(self.enough_alone(self.family.models[model].ports));
        while self.taken[model] < most && !self.meets_load() {
            self.taken[model] += 1;
        }
        loop {
            self.extend(at + 1);
            if self.taken[model] == before {
                break;
            }
            self.taken[model] -= 1;
        }
    }

    /// So many of a model hold every customer that fits it, and all ports needed.
    fn enough_alone(&self, ports: u32) -> u32 {
        let for_customers: u32 = (1..=4u32)
            .filter(|&size| size <= ports)
            .map(|size| u32::from(self.counts[size as usize - 1]).div_ceil(ports / size))
            .sum();
        // Each of those that stay apart on one of its own, as many more hold everybody else.
        let for_customers = for_customers + if self.members.len() > 1 { self.members.len() as u32 } else { 0 };
        for_customers.max(u32::try_from(self.needed.div_ceil(u64::from(ports))).unwrap_or(u32::MAX))
    }

    fn price(&self) -> i64 {
        let bought = self.taken.iter().zip(self.stock).map(|(taken, there)| taken.saturating_sub(*there));
        self.family.models.iter().zip(bought).map(|(model, n)| model.price.saturating_mul(i64::from(n))).sum()
    }

    /// Amount of one limited resource that the mix takes.
    fn uses(&self, resource: usize) -> i64 {
        let amounts = self.family.models.iter().zip(&self.taken);
        amounts.map(|(m, &n)| m.uses[resource].saturating_mul(i64::from(n))).fold(0, i64::saturating_add)
    }

    /// More models cannot help: the mix is beyond the limits of every site, or a mix already found beats whatever it
    /// becomes, counting the ports still needed at the best rate of any model.
    fn is_hopeless(&self) -> bool {
        let models = self.family.models.iter();
        let installed: u64 =
            models.clone().zip(&self.taken).map(|(model, &n)| u64::from(model.ports) * u64::from(n)).sum();
        let missing = i64::try_from(self.needed.saturating_sub(installed)).unwrap_or(i64::MAX);
        let least = |so_far: i64, per_model: &dyn Fn(usize) -> i64| {
            let rates = models.clone().enumerate();
            let rest = rates.map(|(at, model)| per_model(at).saturating_mul(missing) / i64::from(model.ports)).min();
            so_far.saturating_add(rest.unwrap_or(0))
        };
        let prices = |at: usize| if self.stock[at] > self.taken[at] { 0 } else { self.family.models[at].price };
        let price = least(self.price(), &prices);
        let uses: Vec<i64> = (0..self.largest_limits.len())
            .map(|resource| least(self.uses(resource), &|at| self.family.models[at].uses[resource]))
            .collect();
        uses.iter().zip(self.largest_limits).any(|(uses, limit)| uses > limit)
            || self.found.iter().any(|mix| mix.price <= price && mix.uses.iter().zip(&uses).all(|(a, b)| a <= b))
    }

    /// Keeps the mix unless another one is at least as good in price and in every resource.
    fn keep(&mut self) {
        let uses = (0..self.largest_limits.len()).map(|resource| self.uses(resource)).collect();
        let new = Mix { price: self.price(), uses, counts: self.taken.clone() };
        let beats = |a: &Mix, b: &Mix| a.price <= b.price && a.uses.iter().zip(&b.uses).all(|(a, b)| a <= b);
        if self.found.iter().any(|mix| beats(mix, &new)) {
            return;
        }
        self.found.retain(|mix| !beats(&new, mix));
        let place = self.found.partition_point(|mix| mix.price <= new.price);
        self.found.insert(place, new);
        self.is_complete &= self.found.len() <= MAX_MIXES;
        self.found.truncate(MAX_MIXES);
    }
}
