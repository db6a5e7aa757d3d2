//! An assignment under change, with the cost of every site kept up to date.

use super::apart::{self, Seating};
use super::case::{Case, NOWHERE, Reach, Spot};
use super::improve::Pair;
use super::mixes::{self, FrontId, Mixes};
use super::pack;
use super::plan::{Install, Plan, Seat};

/// Cost of what cannot be done; far above any real cost and far below overflow.
pub(super) const IMPOSSIBLE: i64 = i64::MAX / 8;

/// Most customers at one site, so that numbers of customers fit 16 bits.
const MAX_MEMBERS: usize = 65_000;

/// Who is served from where and in which variant, and what it costs.
#[derive(Debug)]
pub(super) struct State<'a> {
    pub(super) case: &'a Case,
    pub(super) mixes: Mixes,
    /// Site of each customer, or [`NOWHERE`].
    pub(super) assigned: Vec<u32>,
    /// Variant of each customer, or [`NOWHERE`].
    pub(super) variant: Vec<u32>,
    /// Cost of the customer's arc, 0 when it is not served.
    pub(super) arc_cost: Vec<i64>,
    /// Front of each site and family.
    fronts: Vec<FrontId>,
    /// What the customers at each site take of each limited resource.
    taken: Vec<i64>,
    /// Customers at each site, in no particular order.
    pub(super) members: Vec<Vec<u32>>,
    /// Place of each customer in its site's list.
    place: Vec<u32>,
    /// Cost of each site: fixed and models.
    pub(super) site_cost: Vec<i64>,
    /// Cost of all arcs and sites.
    pub(super) cost: i64,
    pub(super) n_unserved: usize,
    /// Customers taken and put since the journal was cleared, with how they were served before.
    pub(super) journal: Vec<(u32, Option<Reach>)>,
    scratch: Vec<FrontId>,
}

impl<'a> State<'a> {
    /// Nobody is served yet.
    pub(super) fn new(case: &'a Case) -> Self {
        Self::with(case, Mixes::new(case))
    }

    /// The same, with mixes that another state has found already.
    pub(super) fn with(case: &'a Case, mixes: Mixes) -> Self {
        let n_sites = case.n_sites();
        let fronts: Vec<FrontId> =
            (0..n_sites).flat_map(|site| (0..case.n_families()).map(move |family| case.class(site, family))).collect();
        Self {
            case,
            mixes,
            assigned: vec![NOWHERE; case.n_customers()],
            variant: vec![NOWHERE; case.n_customers()],
            arc_cost: vec![0; case.n_customers()],
            fronts,
            taken: vec![0; n_sites * case.resources.len()],
            members: vec![Vec::new(); n_sites],
            place: vec![0; case.n_customers()],
            site_cost: vec![0; n_sites],
            cost: 0,
            n_unserved: case.n_customers(),
            journal: Vec::new(),
            scratch: Vec::new(),
        }
    }

    fn site_fronts(&self, site: usize) -> &[FrontId] {
        let n_families = self.case.n_families();
        &self.fronts[site * n_families..][..n_families]
    }

    fn site_taken(&self, site: usize) -> &[i64] {
        let n_resources = self.case.resources.len();
        &self.taken[site * n_resources..][..n_resources]
    }

    /// Cost of a site once the variant `add` is there and `remove` is not; [`IMPOSSIBLE`] when that does not fit.
    pub(super) fn cost_with(&mut self, site: usize, add: Option<u32>, remove: Option<u32>) -> i64 {
        let n_after = self.members[site].len() + usize::from(add.is_some()) - usize::from(remove.is_some());
        if n_after == 0 {
            return 0;
        }
        if n_after > MAX_MEMBERS {
            return IMPOSSIBLE;
        }
        let case = self.case;
        let mut fronts = std::mem::take(&mut self.scratch);
        fronts.clear();
        fronts.extend_from_slice(self.site_fronts(site));
        // Taking away first keeps the loads that are looked up small.
        let with_ports = |variant: Option<u32>| variant.map(|at| case.variants[at as usize]).filter(|it| it.ports > 0);
        if let Some(variant) = with_ports(remove) {
            let front = &mut fronts[variant.family as usize];
            *front = self.mixes.fewer(case, *front, variant);
        }
        if let Some(variant) = with_ports(add) {
            let front = &mut fronts[variant.family as usize];
            *front = self.mixes.more(case, *front, variant);
        }
        let cost = self.cost_of(site, &fronts, add, remove);
        self.scratch = fronts;
        cost
    }

    /// Cost of a site with the given fronts.
    fn cost_of(&self, site: usize, fronts: &[FrontId], add: Option<u32>, remove: Option<u32>) -> i64 {
        let amount = |variant: Option<u32>, resource: usize| match variant {
            Some(variant) if self.case.variants[variant as usize].has_uses => self.case.uses(variant)[resource],
            _ => 0,
        };
        let taken = self.site_taken(site);
        let taken = |resource: usize| taken[resource] + amount(add, resource) - amount(remove, resource);
        cost_in_use(self.case, &self.mixes, site, fronts, taken)
    }

    /// Front of a site and family.
    pub(super) fn front(&self, site: usize, family: usize) -> FrontId {
        self.fronts[site * self.case.n_families() + family]
    }

    /// The loads of all sites.
    pub(super) fn loads(&self) -> Loads {
        Loads { fronts: self.fronts.clone(), taken: self.taken.clone() }
    }

    /// Cost of one of two sites if the family had the given load there; customers that differ take no resources.
    pub(super) fn cost_if(&mut self, loads: &Pair, side: usize) -> i64 {
        if loads.n[side] == 0 {
            return 0;
        }
        let site = loads.sites[side];
        let mut fronts = std::mem::take(&mut self.scratch);
        fronts.clear();
        fronts.extend_from_slice(self.site_fronts(site));
        fronts[loads.family] = loads.fronts[side];
        let cost = self.cost_of(site, &fronts, None, None);
        self.scratch = fronts;
        cost
    }

    /// Serves a customer by one of its arcs; the caller knows that it fits and what the site then costs.
    pub(super) fn put(&mut self, customer: usize, arc: Reach, site_cost: i64) {
        let site = arc.to as usize;
        self.journal.push((customer as u32, None));
        self.assigned[customer] = arc.to;
        self.variant[customer] = arc.variant;
        self.arc_cost[customer] = arc.cost;
        self.place[customer] = self.members[site].len() as u32;
        self.members[site].push(customer as u32);
        self.change_load(arc.variant, site, true);
        self.cost += arc.cost + site_cost - self.site_cost[site];
        self.site_cost[site] = site_cost;
        self.n_unserved -= 1;
    }

    /// Serves a customer by one of its arcs; the caller knows that it fits.
    pub(super) fn serve(&mut self, customer: usize, arc: Reach) {
        let site_cost = self.cost_with(arc.to as usize, Some(arc.variant), None);
        self.put(customer, arc, site_cost);
    }

    /// Takes a customer away from its site; returns the arc that served it.
    pub(super) fn take(&mut self, customer: usize) -> Reach {
        let was = self.arc(customer);
        let site = was.to as usize;
        self.journal.push((customer as u32, Some(was)));
        let site_cost = self.cost_with(site, None, Some(was.variant));
        let place = self.place[customer] as usize;
        self.members[site].swap_remove(place);
        if let Some(&moved) = self.members[site].get(place) {
            self.place[moved as usize] = place as u32;
        }
        self.change_load(was.variant, site, false);
        self.cost += site_cost - self.site_cost[site] - was.cost;
        self.site_cost[site] = site_cost;
        self.assigned[customer] = NOWHERE;
        self.variant[customer] = NOWHERE;
        self.arc_cost[customer] = 0;
        self.n_unserved += 1;
        was
    }

    /// Takes back everything since the journal had so many entries.
    pub(super) fn undo_to(&mut self, n_entries: usize) {
        let mut undone = self.journal.split_off(n_entries);
        while let Some((customer, arc)) = undone.pop() {
            match arc {
                None => drop(self.take(customer as usize)),
                Some(arc) => self.serve(customer as usize, arc),
            }
        }
        self.journal.truncate(n_entries);
    }

    /// Serves a customer that is served already by another of its arcs.
    pub(super) fn shift(&mut self, customer: usize, arc: Reach) {
        self.take(customer);
        self.serve(customer, arc);
    }

    /// The arc that serves a customer; it leads to [`NOWHERE`] when none does.
    pub(super) fn arc(&self, customer: usize) -> Reach {
        Reach { to: self.assigned[customer], variant: self.variant[customer], cost: self.arc_cost[customer] }
    }

    /// How each customer is served.
    pub(super) fn spots(&self) -> Vec<Spot> {
        let spots = self.assigned.iter().zip(&self.variant);
        spots.map(|(&site, &variant)| Spot { site, variant }).collect()
    }

    fn change_load(&mut self, variant: u32, site: usize, adds: bool) {
        let case = self.case;
        let what = case.variants[variant as usize];
        if what.ports > 0 {
            let at = site * case.n_families() + what.family as usize;
            let front = self.fronts[at];
            self.fronts[at] =
                if adds { self.mixes.more(case, front, what) } else { self.mixes.fewer(case, front, what) };
        }
        if what.has_uses {
            let n_resources = case.resources.len();
            for (taken, uses) in self.taken[site * n_resources..].iter_mut().zip(case.uses(variant)) {
                *taken += if adds { *uses } else { -*uses };
            }
        }
    }

    /// Serves the customers as given, as far as arcs and limits allow; the others stay unserved.
    pub(super) fn load(&mut self, spots: &[Spot]) {
        for (customer, &spot) in spots.iter().enumerate().take(self.case.n_customers()) {
            let now = self.arc(customer);
            if spot == Spot::NONE || spot == (Spot { site: now.to, variant: now.variant }) {
                continue;
            }
            if now.to != NOWHERE {
                self.take(customer);
            }
            let Some(cost) = self.case.arc_cost(spot.variant, spot.site as usize) else { continue };
            let site_cost = self.cost_with(spot.site as usize, Some(spot.variant), None);
            if site_cost < IMPOSSIBLE {
                self.put(customer, Reach { to: spot.site, variant: spot.variant, cost }, site_cost);
            }
        }
    }

    /// The complete plan: models per site and a seat for every customer.
    pub(super) fn plan(&self) -> Plan {
        let spots = self.spots();
        let mut plan = Plan {
            assignment: spots.iter().enumerate().map(|(customer, &spot)| self.case.choice(customer, spot)).collect(),
            models: Vec::new(),
            seats: vec![None; self.assigned.len()],
        };
        for site in (0..self.case.n_sites()).filter(|&site| !self.members[site].is_empty()) {
            let left: Vec<i64> = (self.case.limits(site).iter().zip(self.site_taken(site)))
                .map(|(limit, taken)| limit.saturating_sub(*taken))
                .collect();
            let fronts = self.site_fronts(site);
            let Some((_, chosen)) = self.mixes.choose(fronts, &left) else { continue };
            for (family, (&front, at)) in fronts.iter().zip(chosen).enumerate() {
                let counts = &self.mixes.mixes(front)[at].counts;
                self.seat(&mut plan, site, family, counts, front);
            }
        }
        plan.models.sort_unstable();
        plan
    }

    /// Adds the models of one site and family to the plan and gives its customers their ports.
    fn seat(&self, plan: &mut Plan, site: usize, family: usize, counts: &[u32], front: FrontId) {
        let models = &self.case.families[family].models;
        let mut bins: Vec<(usize, u32)> = Vec::new();
        for (model, &count) in models.iter().zip(counts).filter(|(_, count)| **count > 0) {
            plan.models.push(Install { site, family, model: model.number, count });
            bins.extend((0..count).map(|number| (model.number, number)));
        }
        let mut left = mixes::bins(models.iter().map(|model| model.ports).zip(counts.iter().copied()));
        let mut load = self.mixes.counts(front);
        let seating = apart::seat(self.case, &left, load, self.mixes.members(front));
        let Seating::Yes(apart) = seating else { return };
        for &((_, ports), bin) in &apart {
            left[bin] -= u32::from(ports);
            load[usize::from(ports) - 1] -= 1;
        }
        let Some(packed) = pack::pack(&left, load) else { return };
        let mut waiting: [Vec<usize>; 4] = Default::default();
        for &customer in &self.members[site] {
            let what = self.case.variants[self.variant[customer as usize] as usize];
            let sits = apart.iter().any(|((member, _), _)| *member == customer);
            if what.ports > 0 && what.family as usize == family && !sits {
                waiting[usize::from(what.ports) - 1].push(customer as usize);
            }
        }
        let mut waiting = waiting.map(|mut customers| {
            customers.sort_unstable();
            customers.into_iter()
        });
        for (bin, (&(model, number), content)) in bins.iter().zip(&packed).enumerate() {
            let mut first_port = 0;
            // Larger customers take the first ports of a controller.
            for size in (1..=4_u8).rev() {
                let at = usize::from(size) - 1;
                let here = apart.iter().filter(|it| it.1 == bin && it.0.1 == size).map(|it| it.0.0 as usize);
                let others = waiting[at].by_ref().take(usize::from(content[at]));
                for customer in here.chain(others) {
                    plan.seats[customer] = Some(Seat { site, family, model, number, first_port });
                    first_port += u32::from(size);
                }
            }
        }
    }
}

/// Loads of all sites: what decides what more they can serve.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Loads {
    /// By site and family.
    pub(super) fronts: Vec<FrontId>,
    /// What customers take, by site and limited resource.
    pub(super) taken: Vec<i64>,
}

/// Cost of a site in use with the given fronts; `taken` is what its customers take of each limited resource.
/// [`IMPOSSIBLE`] when no mixes stay within the limits.
pub(super) fn cost_in_use(
    case: &Case,
    mixes: &Mixes,
    site: usize,
    fronts: &[FrontId],
    taken: impl Fn(usize) -> i64,
) -> i64 {
    let mut price = case.fixed[site];
    for &front in fronts {
        price += mixes.cheapest(front).0;
        if price >= IMPOSSIBLE {
            return IMPOSSIBLE;
        }
    }
    if !case.is_limited[site] {
        return price;
    }
    let mut fits = true;
    for (resource, &limit) in case.limits(site).iter().enumerate() {
        let left = limit - taken(resource);
        if left < 0 {
            return IMPOSSIBLE;
        }
        let models: i64 = fronts.iter().map(|&front| mixes.cheapest(front).1[resource]).sum();
        fits &= models <= left;
    }
    if fits {
        return price;
    }
    let left: Vec<i64> = case.limits(site).iter().enumerate().map(|(r, &limit)| limit - taken(r)).collect();
    mixes.choose(fronts, &left).map_or(IMPOSSIBLE, |(price, _)| case.fixed[site] + price)
}
