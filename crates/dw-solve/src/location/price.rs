//! An independent judge of assignments: it shares no code with the solver and finds the least cost of equipment itself.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::problem::{Choice, Family, MAX_AMOUNT, MAX_PORTS, Model, Problem, Variant};

/// What a plan costs.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Cost {
    /// All arcs.
    pub arcs: i64,
    /// Fixed costs of the sites in use.
    pub fixed: i64,
    /// Models bought; those already there are free.
    pub models: i64,
}

impl Cost {
    /// Everything together.
    pub fn total(&self) -> i64 {
        self.arcs.saturating_add(self.fixed).saturating_add(self.models)
    }
}

/// Why a plan is not one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Violation {
    /// The list has another length than the list of customers.
    Length,
    /// The customer has no such variant, or that has no arc to its site.
    NoArc {
        /// The customer.
        customer: usize,
        /// The site it is assigned to.
        site: usize,
    },
    /// No mix of models holds the customers of a family at a site within the limits.
    NoRoom {
        /// The site.
        site: usize,
    },
    /// The customers and models at the site take more of a resource than there is.
    Limit {
        /// The site.
        site: usize,
        /// The resource.
        resource: usize,
    },
    /// There are fewer ports than those in use and the spare ones.
    Spare {
        /// The site.
        site: usize,
        /// The family.
        family: usize,
    },
    /// The customer has no seat, or one that does not suit it or does not exist.
    Seat {
        /// The customer.
        customer: usize,
    },
    /// The customer sits on a port that another one has.
    Taken {
        /// The customer.
        customer: usize,
    },
    /// The customer shares a model with one that it must stay apart from.
    Shared {
        /// The customer.
        customer: usize,
    },
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length => write!(f, "the plan does not have one entry per customer"),
            Self::NoArc { customer, site } => write!(f, "site {site} cannot serve customer {customer}"),
            Self::NoRoom { site } => write!(f, "no equipment within the limits serves the customers of site {site}"),
            Self::Limit { site, resource } => write!(f, "site {site} exceeds its limit of resource {resource}"),
            Self::Spare { site, family } => write!(f, "site {site} lacks spare ports of family {family}"),
            Self::Seat { customer } => write!(f, "customer {customer} has no seat that suits it"),
            Self::Taken { customer } => write!(f, "customer {customer} sits on a port in use"),
            Self::Shared { customer } => write!(f, "customer {customer} shares a controller it must not share"),
        }
    }
}

impl std::error::Error for Violation {}

/// Least cost of an assignment, one variant and site per customer; `None` entries are not served and cost nothing.
///
/// Equipment is chosen by a dynamic programme over models that keeps every combination not beaten in price, in any
/// resource or in any count of ports that matters for packing.
pub fn price(problem: &Problem, assignment: &[Option<Choice>]) -> Result<Cost, Violation> {
    let (mut cost, by_site) = arcs_and_fixed(problem, assignment)?;
    for (site, served) in by_site {
        let variants: Vec<&Variant> = served.iter().map(|it| it.1).collect();
        let mut combined = vec![Label::new(problem, site, &variants)];
        if !combined[0].is_within(problem, site) {
            return Err(Violation::NoRoom { site });
        }
        for (family, kind) in problem.families.iter().enumerate() {
            let here = served.iter().filter(|(_, variant)| variant.family == family && variant.ports > 0);
            let wants: Vec<Want> =
                here.map(|(customer, variant)| Want::new(problem, *customer, variant.ports)).collect();
            if !wants.is_empty() {
                combined = equip(problem, site, kind, &wants, &combined);
            }
        }
        let cheapest = combined.iter().map(|label| label.price).min();
        cost.models += cheapest.ok_or(Violation::NoRoom { site })?;
    }
    Ok(cost)
}

/// The ports a customer wants on one controller, and the groups of which nobody else may be there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Want {
    ports: u32,
    groups: Vec<usize>,
}

impl Want {
    fn new(problem: &Problem, customer: usize, ports: u32) -> Self {
        let groups = (0..problem.apart.len()).filter(|&group| problem.apart[group].contains(&customer)).collect();
        Self { ports, groups }
    }
}

/// Customers served from each site, with their variants.
pub(super) type BySite<'p> = BTreeMap<usize, Vec<(usize, &'p Variant)>>;

/// Cost of the arcs and sites in use, and the customers served from each site with their variants.
pub(super) fn arcs_and_fixed<'p>(
    problem: &'p Problem,
    assignment: &[Option<Choice>],
) -> Result<(Cost, BySite<'p>), Violation> {
    if assignment.len() != problem.customers.len() {
        return Err(Violation::Length);
    }
    let mut cost = Cost::default();
    let mut by_site: BySite<'_> = BTreeMap::new();
    for (customer, choice) in assignment.iter().enumerate() {
        let Some(Choice { variant, site }) = *choice else { continue };
        let violation = Violation::NoArc { customer, site };
        let what = problem.customers[customer].variants.get(variant).ok_or(violation)?;
        let is_sound = site < problem.sites.len()
            && what.ports <= MAX_PORTS
            && (what.ports == 0 || what.family < problem.families.len());
        let arcs = what
            .arcs
            .iter()
            .filter(|arc| is_sound && arc.site == site && (-MAX_AMOUNT..=MAX_AMOUNT).contains(&arc.cost));
        let cheapest = arcs.map(|arc| arc.cost).min().ok_or(violation)?;
        cost.arcs = cost.arcs.saturating_add(cheapest);
        by_site.entry(site).or_default().push((customer, what));
    }
    let fixed = by_site.keys().map(|&site| problem.sites[site].fixed.max(0));
    cost.fixed = fixed.fold(0, i64::saturating_add);
    Ok((cost, by_site))
}

/// Equipment bought so far at a site.
#[derive(Debug, Clone)]
struct Label {
    price: i64,
    /// Amount of each resource taken, customers included.
    taken: Vec<i64>,
    /// Controllers of the family in hand, as port counts.
    controllers: Vec<u32>,
    /// Places the controllers offer for customers of 1, 2, 3 and 4 ports.
    places: [u64; 4],
}

impl Label {
    /// The customers of a site without equipment.
    fn new(problem: &Problem, site: usize, served: &[&Variant]) -> Self {
        let mut taken = vec![0; problem.sites[site].limits.len()];
        for variant in served {
            add_uses(&mut taken, &variant.uses);
        }
        Self { price: 0, taken, controllers: Vec::new(), places: [0; 4] }
    }

    fn add(&mut self, ports: u32, price: i64, uses: &[i64]) {
        self.controllers.push(ports);
        self.price = self.price.saturating_add(price.max(0));
        self.places.iter_mut().zip(1..).for_each(|(places, size)| *places += u64::from(ports / size));
        add_uses(&mut self.taken, uses);
    }

    fn is_within(&self, problem: &Problem, site: usize) -> bool {
        self.taken.iter().zip(&problem.sites[site].limits).all(|(taken, limit)| taken <= limit)
    }

    /// What the label grows to at least: the ports still needed at the best rate of any model.
    fn floor(&self, kind: &Family, needed: u64) -> Self {
        let missing = i128::from(needed.saturating_sub(self.places[0]));
        let models = kind.models.iter().filter(|model| is_usable(model));
        let least = |of_model: &dyn Fn(&Model) -> i64| {
            let rest =
                models.clone().map(|model| i128::from(of_model(model).max(0)) * missing / i128::from(model.ports));
            i64::try_from(rest.min().unwrap_or(0)).unwrap_or(i64::MAX)
        };
        let mut floor = self.clone();
        if kind.already.is_empty() {
            floor.price = floor.price.saturating_add(least(&|model| model.price));
        }
        for (resource, taken) in floor.taken.iter_mut().enumerate() {
            *taken = taken.saturating_add(least(&|model| model.uses.get(resource).copied().unwrap_or(0)));
        }
        floor
    }

    /// No dearer, and takes no more of anything.
    fn is_no_worse(&self, other: &Self) -> bool {
        self.price <= other.price && self.taken.iter().zip(&other.taken).all(|(a, b)| a <= b)
    }

    /// Offers as many places, as far as they are needed.
    fn is_as_strong(&self, other: &Self, needed: u64) -> bool {
        self.places.iter().zip(other.places).all(|(a, b)| *a >= b.min(needed))
    }
}

/// Adds amounts; negative ones count as 0, missing ones as none.
pub(super) fn add_uses(taken: &mut [i64], uses: &[i64]) {
    for (taken, uses) in taken.iter_mut().zip(uses) {
        *taken = taken.saturating_add((*uses).max(0));
    }
}

/// Every unbeaten way to add the controllers of one family that hold what customers want.
fn equip(problem: &Problem, site: usize, kind: &Family, wants: &[Want], from: &[Label]) -> Vec<Label> {
    let sizes: Vec<u32> = wants.iter().map(|want| want.ports).collect();
    let used: u64 = sizes.iter().map(|&size| u64::from(size)).sum();
    let (wanted, of) = kind.spare.ratio();
    let needed = (used * wanted).div_ceil(of);
    let in_group = |group: usize| wants.iter().filter(|want| want.groups.contains(&group)).count();
    let are_apart = (0..problem.apart.len()).any(|group| in_group(group) > 1);
    // With a customer of 3 ports the numbers of places do not decide whether the customers fit, nor where some stay apart.
    let is_intricate = are_apart || sizes.contains(&3);
    let beats = |a: &Label, b: &Label| {
        a.is_no_worse(b) && if is_intricate { a.controllers == b.controllers } else { a.is_as_strong(b, needed) }
    };
    let mut held: Vec<u64> = vec![0; 5];
    for &size in &sizes {
        held[size as usize] += 1;
    }
    let has_places = |label: &Label| {
        label.places[3] >= held[4] && label.places[1] >= 2 * held[4] + held[3] + held[2] && label.places[0] >= used
    };
    let holds_all = |controllers: &[u32]| holds(controllers, &sizes) && (!are_apart || holds_apart(controllers, wants));
    let is_enough = |label: &Label| has_places(label) && label.places[0] >= needed && holds_all(&label.controllers);
    let reset = |label: &Label| Label { controllers: Vec::new(), places: [0; 4], ..label.clone() };
    let mut open: Vec<Label> = from.iter().map(reset).collect();
    let mut done: Vec<Label> = Vec::new();
    let mut models: Vec<usize> = (0..kind.models.len()).filter(|&model| is_usable(&kind.models[model])).collect();
    models.sort_by_key(|&model| std::cmp::Reverse(kind.models[model].ports));
    for model in models {
        let what = &kind.models[model];
        let there = kind.already.iter().filter(|stock| stock.site == site && stock.model == model);
        let there: u64 = there.map(|stock| u64::from(stock.count)).sum();
        let mut next: Vec<Label> = Vec::new();
        for mut label in open {
            // More than one controller per port is never needed.
            for n_added in 1..=needed + 1 {
                if is_enough(&label) {
                    keep(&mut done, label, Label::is_no_worse);
                    break;
                }
                keep(&mut next, label.clone(), beats);
                label.add(what.ports, if n_added > there { what.price } else { 0 }, &what.uses);
                let floor = label.floor(kind, needed);
                if !floor.is_within(problem, site) || done.iter().any(|known| known.is_no_worse(&floor)) {
                    break;
                }
            }
        }
        open = next;
    }
    done
}

/// Whether a model has ports and no amount beyond [`MAX_AMOUNT`].
fn is_usable(model: &Model) -> bool {
    model.ports > 0 && model.price <= MAX_AMOUNT && model.uses.iter().all(|&amount| amount <= MAX_AMOUNT)
}

/// Adds a label unless another one beats it; drops those it beats.
fn keep(labels: &mut Vec<Label>, new: Label, beats: impl Fn(&Label, &Label) -> bool) {
    if !labels.iter().any(|label| beats(label, &new)) {
        labels.retain(|label| !beats(&new, label));
        labels.push(new);
    }
}

/// Whether customers of the given sizes fit into the controllers, by trying.
fn holds(controllers: &[u32], sizes: &[u32]) -> bool {
    let mut sorted = sizes.to_vec();
    sorted.sort_unstable_by(|a, b| b.cmp(a));
    let mut left = controllers.to_vec();
    left.sort_unstable_by(|a, b| b.cmp(a));
    let mut first_fit = left.clone();
    let fits_first = sorted.iter().all(|&size| {
        first_fit.iter_mut().find(|left| **left >= size).is_some_and(|left| {
            *left -= size;
            true
        })
    });
    // For sizes that divide each other the first controller with room is always a right one.
    if fits_first || !sizes.contains(&3) {
        return fits_first;
    }
    let mut dead = BTreeSet::new();
    holds_rest(&mut left, &sorted, &mut dead)
}

/// Places the first customer in each kind of remaining room in turn; `dead` remembers rooms that failed.
fn holds_rest(left: &mut [u32], sizes: &[u32], dead: &mut BTreeSet<(usize, Vec<u32>)>) -> bool {
    let Some((&size, rest)) = sizes.split_first() else { return true };
    let mut rooms = left.to_vec();
    rooms.sort_unstable();
    if dead.contains(&(sizes.len(), rooms.clone())) {
        return false;
    }
    let mut tried = BTreeSet::new();
    for at in 0..left.len() {
        if left[at] >= size && tried.insert(left[at]) {
            left[at] -= size;
            let fits = holds_rest(left, rest, dead);
            left[at] += size;
            if fits {
                return true;
            }
        }
    }
    dead.insert((sizes.len(), rooms));
    false
}

/// Whether customers fit into the controllers so that those of one group sit on different ones, by trying.
fn holds_apart(controllers: &[u32], wants: &[Want]) -> bool {
    let mut wants = wants.to_vec();
    wants.sort_by(|a, b| (b.groups.len(), b.ports, &b.groups).cmp(&(a.groups.len(), a.ports, &a.groups)));
    let mut left: Vec<Want> = controllers.iter().map(|&ports| Want { ports, groups: Vec::new() }).collect();
    holds_wants(&mut left, &wants, &mut BTreeSet::new())
}

/// Places the first customer on each kind of controller in turn; `left` is what is free there and which groups are on it.
fn holds_wants(left: &mut [Want], wants: &[Want], dead: &mut BTreeSet<(usize, Vec<Want>)>) -> bool {
    let Some((want, rest)) = wants.split_first() else { return true };
    let mut state = left.to_vec();
    state.sort();
    if dead.contains(&(wants.len(), state.clone())) {
        return false;
    }
    let mut tried = BTreeSet::new();
    for at in 0..left.len() {
        let is_free = left[at].ports >= want.ports && left[at].groups.iter().all(|it| !want.groups.contains(it));
        if is_free && tried.insert(left[at].clone()) {
            let before = left[at].clone();
            left[at].ports -= want.ports;
            left[at].groups.extend(&want.groups);
            left[at].groups.sort_unstable();
            let fits = holds_wants(left, rest, dead);
            left[at] = before;
            if fits {
                return true;
            }
        }
    }
    dead.insert((wants.len(), state));
    false
}
