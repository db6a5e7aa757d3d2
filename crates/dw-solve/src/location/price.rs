//! An independent judge of plans: it shares no code with the solver.
//!
//! [`price()`] takes only an assignment and finds the least cost of equipment itself; [`check`] takes a complete plan
//! and verifies every seat, limit and figure as it stands.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::plan::Plan;
use super::problem::{Family, MAX_SPARE_PERCENT, Problem};

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
    /// The customer has no arc to its site.
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
        }
    }
}

impl std::error::Error for Violation {}

/// Least cost of an assignment, one site per customer; `None` entries are not served and cost nothing.
///
/// Equipment is chosen by a dynamic programme over models that keeps every combination not beaten in price, in any
/// resource or in any count of ports that matters for packing.
pub fn price(problem: &Problem, assignment: &[Option<usize>]) -> Result<Cost, Violation> {
    let (mut cost, by_site) = arcs_and_fixed(problem, assignment)?;
    for (site, customers) in by_site {
        let mut combined = vec![Label::empty(problem, site, &customers)];
        if !combined[0].is_within(problem, site) {
            return Err(Violation::NoRoom { site });
        }
        for (family, kind) in problem.families.iter().enumerate() {
            let sizes: Vec<u32> = (customers.iter())
                .map(|&customer| &problem.customers[customer])
                .filter(|customer| customer.family == family && customer.ports > 0)
                .map(|customer| customer.ports)
                .collect();
            if !sizes.is_empty() {
                combined = equip(problem, site, kind, family, &sizes, &combined);
            }
        }
        let cheapest = combined.iter().map(|label| label.price).min();
        cost.models += cheapest.ok_or(Violation::NoRoom { site })?;
    }
    Ok(cost)
}

/// Cost of the arcs and sites in use, and the customers of each site.
fn arcs_and_fixed(
    problem: &Problem,
    assignment: &[Option<usize>],
) -> Result<(Cost, BTreeMap<usize, Vec<usize>>), Violation> {
    if assignment.len() != problem.customers.len() {
        return Err(Violation::Length);
    }
    let mut cost = Cost::default();
    let mut by_site: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (customer, site) in assignment.iter().enumerate() {
        let Some(site) = *site else { continue };
        let arcs = problem.customers[customer].arcs.iter().filter(|arc| arc.site == site && site < problem.sites.len());
        let cheapest = arcs.map(|arc| arc.cost).min().ok_or(Violation::NoArc { customer, site })?;
        cost.arcs += cheapest;
        by_site.entry(site).or_default().push(customer);
    }
    cost.fixed = by_site.keys().map(|&site| problem.sites[site].fixed.max(0)).sum();
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
}

impl Label {
    fn empty(problem: &Problem, site: usize, customers: &[usize]) -> Self {
        let mut taken = vec![0; problem.sites[site].limits.len()];
        for &customer in customers {
            add_uses(&mut taken, &problem.customers[customer].uses);
        }
        Self { price: 0, taken, controllers: Vec::new() }
    }

    fn is_within(&self, problem: &Problem, site: usize) -> bool {
        self.taken.iter().zip(&problem.sites[site].limits).all(|(taken, limit)| taken <= limit)
    }

    /// Ports in all, and places for customers of 2, 3 and 4 ports.
    fn strength(&self, needed: u64) -> [u64; 4] {
        let places = |size: u32| self.controllers.iter().map(|ports| u64::from(ports / size)).sum::<u64>();
        [places(1).min(needed), places(2).min(needed), places(3).min(needed), places(4).min(needed)]
    }

    fn beats(&self, other: &Self, needed: u64, exact: bool) -> bool {
        self.price <= other.price
            && self.taken.iter().zip(&other.taken).all(|(a, b)| a <= b)
            && if exact {
                self.controllers == other.controllers
            } else {
                self.strength(needed).iter().zip(other.strength(needed)).all(|(a, b)| *a >= b)
            }
    }
}

/// Adds amounts; negative ones count as 0, missing ones as none.
fn add_uses(taken: &mut [i64], uses: &[i64]) {
    for (taken, uses) in taken.iter_mut().zip(uses) {
        *taken = taken.saturating_add((*uses).max(0));
    }
}

/// Every unbeaten way to add the controllers of one family that hold customers of the given sizes.
fn equip(problem: &Problem, site: usize, kind: &Family, family: usize, sizes: &[u32], from: &[Label]) -> Vec<Label> {
    let used: u64 = sizes.iter().map(|&size| u64::from(size)).sum();
    let needed = (used * (100 + u64::from(kind.spare_percent.min(MAX_SPARE_PERCENT)))).div_ceil(100);
    // With a customer of 3 ports the counts of places do not decide whether the customers fit.
    let exact = sizes.contains(&3);
    let is_enough = |label: &Label| {
        label.controllers.iter().map(|&ports| u64::from(ports)).sum::<u64>() >= needed
            && holds(&label.controllers, sizes)
    };
    let mut open: Vec<Label> = from.iter().map(|label| Label { controllers: Vec::new(), ..label.clone() }).collect();
    let mut done: Vec<Label> = Vec::new();
    for (model, what) in kind.models.iter().enumerate().filter(|(_, what)| what.ports > 0) {
        let there = kind.already.iter().filter(|stock| stock.site == site && stock.model == model);
        let there: u64 = there.map(|stock| u64::from(stock.count)).sum();
        let mut next: Vec<Label> = Vec::new();
        for label in &open {
            let mut label = label.clone();
            let mut n_added = 0;
            loop {
                if is_enough(&label) {
                    keep(&mut done, label, needed, false);
                    break;
                }
                keep(&mut next, label.clone(), needed, exact);
                if n_added > needed.max(sizes.len() as u64) {
                    break;
                }
                n_added += 1;
                label.controllers.push(what.ports);
                label.price = label.price.saturating_add(if n_added > there { what.price.max(0) } else { 0 });
                add_uses(&mut label.taken, &what.uses);
                let is_dearer = problem.sites[site].limits.iter().all(|&limit| limit == i64::MAX)
                    && done.iter().any(|known| known.price <= label.price);
                if !label.is_within(problem, site) || is_dearer {
                    break;
                }
            }
        }
        open = next;
    }
    debug_assert!(family < problem.families.len());
    done
}

/// Adds a label unless another one is at least as good; drops those it beats.
fn keep(labels: &mut Vec<Label>, new: Label, needed: u64, exact: bool) {
    // Finished labels are compared by price and resources only: all of them are enough.
    let needed = if exact || !labels.is_empty() { needed } else { 0 };
    if labels.iter().any(|label| label.beats(&new, needed, exact)) {
        return;
    }
    labels.retain(|label| !new.beats(label, needed, exact));
    labels.push(new);
}

/// Whether customers of the given sizes fit into the controllers, by trying.
fn holds(controllers: &[u32], sizes: &[u32]) -> bool {
    let mut sorted = sizes.to_vec();
    sorted.sort_unstable_by(|a, b| b.cmp(a));
    let mut left = controllers.to_vec();
    left.sort_unstable_by(|a, b| b.cmp(a));
    if !sizes.contains(&3) {
        // Sizes that divide each other: the first controller with room is always a right one.
        return sorted.iter().all(|&size| {
            left.iter_mut().find(|left| **left >= size).is_some_and(|left| {
                *left -= size;
                true
            })
        });
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

/// Verifies a complete plan as it stands and adds up its cost.
///
/// Every served customer with ports has a seat on a model that the plan lists, no port is used twice, ports in use and
/// spare ones are there, and no limit is exceeded.
pub fn check(problem: &Problem, plan: &Plan) -> Result<Cost, Violation> {
    let (mut cost, by_site) = arcs_and_fixed(problem, &plan.assignment)?;
    if plan.seats.len() != plan.assignment.len() {
        return Err(Violation::Length);
    }
    let mut counts: BTreeMap<(usize, usize, usize), u64> = BTreeMap::new();
    for install in &plan.models {
        *counts.entry((install.site, install.family, install.model)).or_default() += u64::from(install.count);
    }
    check_seats(problem, plan, &counts)?;
    let mut installed: BTreeMap<(usize, usize), u64> = BTreeMap::new();
    let mut taken: BTreeMap<usize, Vec<i64>> = BTreeMap::new();
    for (&(site, family, model), &count) in &counts {
        let kind = &problem.families[family];
        let what = &kind.models[model];
        let there = kind.already.iter().filter(|stock| stock.site == site && stock.model == model);
        let there: u64 = there.map(|stock| u64::from(stock.count)).sum();
        let bought = i64::try_from(count.saturating_sub(there)).unwrap_or(i64::MAX);
        cost.models = cost.models.saturating_add(what.price.max(0).saturating_mul(bought));
        *installed.entry((site, family)).or_default() += u64::from(what.ports) * count;
        let taken = taken.entry(site).or_insert_with(|| vec![0; problem.sites[site].limits.len()]);
        for _ in 0..count {
            add_uses(taken, &what.uses);
        }
    }
    for (&site, customers) in &by_site {
        let taken = taken.entry(site).or_insert_with(|| vec![0; problem.sites[site].limits.len()]);
        let mut used = vec![0u64; problem.families.len()];
        for customer in customers.iter().map(|&customer| &problem.customers[customer]) {
            add_uses(taken, &customer.uses);
            if customer.ports > 0 {
                used[customer.family] += u64::from(customer.ports);
            }
        }
        for (family, used) in used.into_iter().enumerate() {
            let there = installed.get(&(site, family)).copied().unwrap_or(0);
            let spare = problem.families[family].spare_percent.min(MAX_SPARE_PERCENT);
            if 100 * there < used * (100 + u64::from(spare)) {
                return Err(Violation::Spare { site, family });
            }
        }
    }
    for (&site, taken) in &taken {
        let exceeded = taken.iter().zip(&problem.sites[site].limits).position(|(taken, limit)| taken > limit);
        if let Some(resource) = exceeded {
            return Err(Violation::Limit { site, resource });
        }
    }
    Ok(cost)
}

/// Verifies that every seat exists, suits its customer and is used once.
fn check_seats(problem: &Problem, plan: &Plan, counts: &BTreeMap<(usize, usize, usize), u64>) -> Result<(), Violation> {
    for &(site, family, model) in counts.keys() {
        let exists = problem.families.get(family).is_some_and(|family| model < family.models.len());
        if site >= problem.sites.len() || !exists {
            return Err(Violation::NoRoom { site });
        }
    }
    let mut in_use = BTreeSet::new();
    for (customer, what) in problem.customers.iter().enumerate() {
        let site = plan.assignment[customer].filter(|_| what.ports > 0);
        let (Some(site), Some(seat)) = (site, plan.seats[customer]) else {
            if site.is_some() || plan.seats[customer].is_some() {
                return Err(Violation::Seat { customer });
            }
            continue;
        };
        let count = counts.get(&(seat.site, seat.family, seat.model)).copied().unwrap_or(0);
        let suits = seat.site == site && seat.family == what.family && u64::from(seat.number) < count;
        let ports = if suits { problem.families[seat.family].models[seat.model].ports } else { 0 };
        if seat.first_port.saturating_add(what.ports) > ports {
            return Err(Violation::Seat { customer });
        }
        for port in seat.first_port..seat.first_port + what.ports {
            if !in_use.insert((seat.site, seat.family, seat.model, seat.number, port)) {
                return Err(Violation::Taken { customer });
            }
        }
    }
    Ok(())
}
