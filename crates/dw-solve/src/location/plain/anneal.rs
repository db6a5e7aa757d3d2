//! Search for problems without ports: simulated annealing over single moves, swaps, closings and openings, with limits
//! that may be exceeded at a price. While it cools, pairs of sites share out their customers anew, each time as well as
//! can be: that is a knapsack, and finds what no chain of single moves finds where sites are filled to the last unit.
//!
//! Where capacity is tight the good plans lie apart, and a search that keeps every limit at every step does not get from
//! one to the next. Here what exceeds a limit costs a price per unit, which rises while the plan breaks limits and falls
//! while it keeps them; only plans that keep all limits count as found.
//!
//! Source: S. Kirkpatrick, C. D. Gelatt, M. P. Vecchi, "Optimization by simulated annealing", Science 220 (1983)
//! 671–680; the moving price follows F. Glover's strategic oscillation, Computers & OR 13 (1986) 533–549.

use super::sack::{self, Item, Window};
use crate::location::case::{Case, NOWHERE};
use crate::random::Random;

/// Moves between two changes of the price and the temperature.
pub(super) const MOVES_PER_ROUND: u64 = 1_000;

/// Rounds between two reports.
const ROUNDS_PER_REPORT: u64 = 20;

/// First and last temperature, as shares of the average cost of a customer. *Common practice*; chosen by trial.
const HOT: f64 = 0.1;
const COLD: f64 = 0.000_2;

/// The first part of a cooling without sharing out, one in so many rounds; and pairs of sites shared out in each later
/// round. *Common practice*; chosen by trial.
const HOT_PART: u64 = 3;
const PAIRS_PER_ROUND: u32 = 40;

/// Largest change of the price of a unit against its first value, either way.
const PRICE_RANGE: f64 = 100.0;

/// An annealing search.
#[derive(Debug)]
pub(super) struct Annealing<'a> {
    case: &'a Case,
    /// Arc costs by customer and site; infinite where there is none.
    arc: Vec<f64>,
    limit: Vec<f64>,
    uses: Vec<f64>,
    site: Vec<u32>,
    /// What is taken of each resource, site by site.
    load: Vec<f64>,
    members: Vec<Vec<u32>>,
    place: Vec<u32>,
    /// Cost without what limits are exceeded by; a whole number, as all amounts are.
    cost: f64,
    /// What all limits are exceeded by.
    excess: f64,
    price: f64,
    first_price: f64,
    temperature: f64,
    hot: f64,
    /// Sites that may be used.
    is_allowed: Vec<bool>,
    /// Allowed sites of each customer, cheapest first.
    near: Vec<Vec<u32>>,
    random: Random,
    /// Best plan that keeps the limits.
    best: Vec<u32>,
    best_cost: f64,
    /// Cost of the best such plan of the present cooling.
    cooled_cost: f64,
    journal: Vec<(u32, u32)>,
    /// What each site earns at the multipliers of the bound: which are worth opening, and which closing.
    worth: Vec<i64>,
}

impl<'a> Annealing<'a> {
    /// Starts from a plan (site of each customer) where there is one, else from a suggestion that need not keep limits;
    /// `worth` is what each site earns at the multipliers of the bound.
    pub(super) fn new(
        case: &'a Case,
        start: Option<&[u32]>,
        suggestion: &[u32],
        worth: Vec<i64>,
        random: Random,
    ) -> Self {
        let (n_sites, n_customers, n_resources) = (case.n_sites(), case.n_customers(), case.resources.len());
        let mut arc = vec![f64::INFINITY; n_customers * n_sites];
        for customer in 0..n_customers {
            for reach in case.arcs(customer) {
                arc[customer * n_sites + reach.to as usize] = reach.cost as f64;
            }
        }
        let finite = |limit: &i64| if *limit == i64::MAX { f64::INFINITY } else { *limit as f64 };
        let limit: Vec<f64> = (0..n_sites).flat_map(|site| case.limits(site)).map(finite).collect();
        let uses: Vec<f64> = (0..n_customers)
            .flat_map(|customer| case.uses(case.arcs(customer)[0].variant))
            .map(|&amount| amount as f64)
            .collect();
        let mut search = Self {
            case,
            arc,
            limit,
            uses,
            site: vec![NOWHERE; n_customers],
            load: vec![0.0; n_sites * n_resources],
            members: vec![Vec::new(); n_sites],
            place: vec![0; n_customers],
            cost: 0.0,
            excess: 0.0,
            price: 0.0,
            first_price: 0.0,
            temperature: 0.0,
            hot: 0.0,
            is_allowed: Vec::new(),
            near: vec![Vec::new(); n_customers],
            random,
            best: Vec::new(),
            best_cost: f64::INFINITY,
            cooled_cost: f64::INFINITY,
            journal: Vec::new(),
            worth,
        };
        let plan = start.unwrap_or(suggestion);
        for customer in 0..n_customers {
            let arcs = case.arcs(customer);
            let wanted = plan.get(customer).copied().unwrap_or(NOWHERE);
            let site = if arcs.iter().any(|arc| arc.to == wanted) { wanted } else { arcs[0].to };
            search.put(customer, site as usize);
        }
        search.best.clone_from(&search.site);
        search.note();
        let per_customer = (search.cost / n_customers.max(1) as f64).abs().max(1.0);
        let mean_use = search.uses.iter().sum::<f64>() / search.uses.len().max(1) as f64;
        search.first_price = per_customer / mean_use.max(f64::MIN_POSITIVE);
        search.price = search.first_price;
        search.hot = HOT * per_customer;
        search
    }

    /// Cost of the best plan so far that keeps the limits; `None` when there is none yet.
    pub(super) fn cost(&self) -> Option<i64> {
        self.best_cost.is_finite().then_some(self.best_cost as i64)
    }

    /// The best plan that keeps the limits.
    pub(super) fn into_best(self) -> Option<Vec<u32>> {
        self.best_cost.is_finite().then_some(self.best)
    }

    /// One cooling of so many rounds from the best plan so far; `tell` hears of its cost and may stop it.
    pub(super) fn cool_best(&mut self, n_rounds: u64, tell: impl FnMut(Option<i64>) -> bool) {
        self.allow(&vec![true; self.case.n_sites()]);
        for customer in 0..self.site.len() {
            self.move_to(customer, self.best[customer]);
        }
        self.cool(n_rounds, 1.0, tell);
    }

    /// One cooling from a suggestion, with the given sites only; it begins less hot. Gives the cost of the best plan met
    /// that keeps the limits, infinite where there was none.
    pub(super) fn cool_from(&mut self, plan: &[u32], is_allowed: &[bool], n_rounds: u64) -> f64 {
        self.allow(is_allowed);
        for (customer, &site) in plan.iter().enumerate() {
            let usable = |site: u32| site != NOWHERE && is_allowed[site as usize];
            let cheapest = || self.case.arcs(customer).iter().map(|reach| reach.to).find(|&site| usable(site));
            let to = if usable(site) { Some(site) } else { cheapest() };
            self.move_to(customer, to.unwrap_or(self.site[customer]));
        }
        self.cooled_cost = f64::INFINITY;
        self.note();
        self.cool(n_rounds, 0.3, |_| false);
        self.cooled_cost
    }

    fn allow(&mut self, is_allowed: &[bool]) {
        self.is_allowed.clear();
        self.is_allowed.extend_from_slice(is_allowed);
        for (customer, near) in self.near.iter_mut().enumerate() {
            near.clear();
            near.extend(self.case.arcs(customer).iter().map(|arc| arc.to).filter(|&site| is_allowed[site as usize]));
        }
    }

    fn move_to(&mut self, customer: usize, site: u32) {
        if self.site[customer] != site && site != NOWHERE {
            self.take(customer);
            self.put(customer, site as usize);
        }
    }

    fn cool(&mut self, n_rounds: u64, heat: f64, mut tell: impl FnMut(Option<i64>) -> bool) {
        for round in 0..n_rounds {
            self.temperature = heat * self.hot * libm::pow(COLD / HOT, round as f64 / n_rounds as f64);
            for _ in 0..MOVES_PER_ROUND {
                match self.random.below(100) {
                    0 => self.close(),
                    1 => self.open(),
                    2..40 => self.shift(),
                    _ => self.swap(),
                }
            }
            if self.case.resources.len() == 1 && round * HOT_PART >= n_rounds {
                (0..PAIRS_PER_ROUND).for_each(|_| self.share());
            }
            let factor = if self.excess > 0.0 { 1.05 } else { 0.96 };
            self.price = (self.price * factor).clamp(self.first_price / PRICE_RANGE, self.first_price * PRICE_RANGE);
            if round % ROUNDS_PER_REPORT == 0 && tell(self.cost()) {
                return;
            }
        }
    }

    fn fixed(&self, site: usize) -> f64 {
        self.case.fixed[site] as f64
    }

    fn arc(&self, customer: usize, site: usize) -> f64 {
        self.arc[customer * self.case.n_sites() + site]
    }

    fn put(&mut self, customer: usize, site: usize) {
        if self.members[site].is_empty() {
            self.cost += self.fixed(site);
        }
        self.cost += self.arc(customer, site);
        self.excess += self.growth(site, Some(customer), None);
        self.site[customer] = site as u32;
        self.place[customer] = self.members[site].len() as u32;
        self.members[site].push(customer as u32);
        let n = self.case.resources.len();
        for resource in 0..n {
            self.load[site * n + resource] += self.uses[customer * n + resource];
        }
    }

    fn take(&mut self, customer: usize) {
        let site = self.site[customer] as usize;
        let place = self.place[customer] as usize;
        self.members[site].swap_remove(place);
        if let Some(&moved) = self.members[site].get(place) {
            self.place[moved as usize] = place as u32;
        }
        self.cost -= self.arc(customer, site);
        self.excess += self.growth(site, None, Some(customer));
        if self.members[site].is_empty() {
            self.cost -= self.fixed(site);
        }
        let n = self.case.resources.len();
        for resource in 0..n {
            self.load[site * n + resource] -= self.uses[customer * n + resource];
        }
    }

    /// Growth of what a site exceeds its limits by, once `add` is there and `remove` is not.
    fn growth(&self, site: usize, add: Option<usize>, remove: Option<usize>) -> f64 {
        let n = self.case.resources.len();
        (0..n)
            .map(|resource| {
                let of = |customer: Option<usize>| customer.map_or(0.0, |customer| self.uses[customer * n + resource]);
                let at = site * n + resource;
                let before = self.load[at] - self.limit[at];
                (before + of(add) - of(remove)).max(0.0) - before.max(0.0)
            })
            .sum()
    }

    /// Whether a change is taken at this temperature.
    fn accepts(&mut self, change: f64) -> bool {
        change <= 0.0 || change < -self.temperature * libm::log(1.0 - self.random.unit())
    }

    /// Keeps the plan if it is the best that keeps the limits.
    fn note(&mut self) {
        if self.excess > 0.0 {
            return;
        }
        self.cooled_cost = self.cooled_cost.min(self.cost);
        if self.cost < self.best_cost - 0.5 {
            self.best_cost = self.cost;
            self.best.clone_from(&self.site);
        }
    }

    /// An allowed site for a customer other than its own: one of the few cheapest, or any.
    fn other_site(&mut self, customer: usize) -> Option<usize> {
        let n_near = self.near[customer].len();
        let among = if self.random.below(3) == 0 { n_near } else { n_near.min(6) };
        let at = self.random.below(among);
        let site = *self.near[customer].get(at)?;
        (site != self.site[customer]).then_some(site as usize)
    }

    /// One customer to another site, mostly one in use.
    fn shift(&mut self) {
        let customer = self.random.below(self.site.len());
        let Some(to) = self.other_site(customer) else { return };
        let from = self.site[customer] as usize;
        let mut change = self.arc(customer, to) - self.arc(customer, from);
        if self.members[to].is_empty() {
            change += self.fixed(to);
        }
        if self.members[from].len() == 1 {
            change -= self.fixed(from);
        }
        change += self.price * (self.growth(to, Some(customer), None) + self.growth(from, None, Some(customer)));
        if self.accepts(change) {
            self.take(customer);
            self.put(customer, to);
            self.note();
        }
    }

    /// Two customers change places.
    fn swap(&mut self) {
        let a = self.random.below(self.site.len());
        let Some(there) = self.other_site(a).filter(|&site| !self.members[site].is_empty()) else { return };
        let here = self.site[a] as usize;
        let b = self.members[there][self.random.below(self.members[there].len())] as usize;
        let change = self.arc(a, there) - self.arc(a, here) + self.arc(b, here) - self.arc(b, there);
        if !change.is_finite() {
            return;
        }
        let change = change + self.price * (self.growth(there, Some(a), Some(b)) + self.growth(here, Some(b), Some(a)));
        if self.accepts(change) {
            self.take(a);
            self.take(b);
            self.put(a, there);
            self.put(b, here);
            self.note();
        }
    }

    /// Customers of two sites that either can serve are shared out between them anew, at least cost within the limits, if
    /// that costs less than what is, prices for excess included. For a single resource.
    ///
    /// ```text
    /// most  Σ (cost there − cost here) x   with  all that is asked − room there ≤ Σ use x ≤ room here,  x = 1: is here
    /// ```
    fn share(&mut self) {
        let customer = self.random.below(self.site.len());
        let Some(there) = self.other_site(customer).filter(|&site| !self.members[site].is_empty()) else { return };
        let here = self.site[customer] as usize;
        let is_here = |search: &Self, customer: u32| search.site[customer as usize] as usize == here;
        let saving =
            |search: &Self, customer: u32| search.arc(customer as usize, there) - search.arc(customer as usize, here);
        let both = self.members[here].iter().chain(&self.members[there]).copied();
        let mut movable: Vec<u32> = both.filter(|&customer| saving(self, customer).is_finite()).collect();
        // The order of members depends on what went before; that of a plan's numbers does not.
        movable.sort_unstable();
        let mut items = Vec::with_capacity(movable.len());
        let (mut saved, mut asked_here, mut asked) = (0, 0.0, 0.0);
        for &customer in &movable {
            let (value, weight) = (saving(self, customer) as i64, self.uses[customer as usize]);
            asked += weight;
            if is_here(self, customer) {
                saved += value;
                asked_here += weight;
            }
            items.push(Item { value, weight: weight as i64 });
        }
        let room_here = self.limit[here] - self.load[here] + asked_here;
        let room_there = self.limit[there] - self.load[there] + (asked - asked_here);
        let window = Window { low: (asked - room_there).max(0.0) as i64, high: room_here.min(asked) as i64 };
        let over = |site: usize| (self.load[site] - self.limit[site]).max(0.0);
        let relief = self.price * (over(here) + over(there));
        let Some(taken) = sack::choose(&items, window, saved - relief as i64).taken else { return };
        let mut taken = taken.into_iter().peekable();
        for (at, &customer) in movable.iter().enumerate() {
            let to = if taken.next_if_eq(&at).is_some() { here } else { there };
            self.move_to(customer as usize, to as u32);
        }
        self.note();
    }

    /// Everybody of a site goes elsewhere.
    fn close(&mut self) {
        let site = [(); 2].map(|()| self.site[self.random.below(self.site.len())] as usize);
        let site = if self.worth[site[0]] <= self.worth[site[1]] { site[0] } else { site[1] };
        let before = (self.cost, self.excess);
        self.journal.clear();
        let mut members = self.members[site].clone();
        members.sort_unstable_by(|a, b| {
            let n = self.case.resources.len();
            let first = |customer: u32| self.uses.get(customer as usize * n).copied().unwrap_or(0.0);
            first(*b).total_cmp(&first(*a)).then(a.cmp(b))
        });
        for customer in members {
            let customer = customer as usize;
            let cheapest = (self.case.arcs(customer).iter())
                .map(|reach| reach.to as usize)
                .filter(|&to| to != site && self.is_allowed[to] && !self.members[to].is_empty())
                .map(|to| (self.arc(customer, to) + self.price * self.growth(to, Some(customer), None), to))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, to)) = cheapest else { break };
            self.journal.push((customer as u32, site as u32));
            self.take(customer);
            self.put(customer, to);
        }
        self.settle(before);
    }

    /// A closed site opens for the customers that gain most by it.
    fn open(&mut self) {
        let mut closed = None;
        for _ in 0..3 {
            let customer = self.random.below(self.site.len());
            let site = self.other_site(customer).filter(|&site| self.members[site].is_empty());
            closed = closed.max(site.map(|site| (self.worth[site], site)));
        }
        let Some((_, site)) = closed else { return };
        let before = (self.cost, self.excess);
        self.journal.clear();
        let mut gains: Vec<(f64, u32)> = (self.case.site_arcs(site).iter())
            .map(|reach| {
                let customer = reach.to as usize;
                let from = self.site[customer] as usize;
                let relief = self.price * self.growth(from, None, Some(customer));
                (self.arc(customer, site) - self.arc(customer, from) + relief, reach.to)
            })
            .filter(|(change, _)| *change < 0.0)
            .collect();
        gains.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, customer) in gains {
            let customer = customer as usize;
            if self.growth(site, Some(customer), None) > 0.0 {
                continue;
            }
            let from = self.site[customer];
            self.journal.push((customer as u32, from));
            self.take(customer);
            self.put(customer, site);
        }
        // Often worth it only when another site closes for it.
        if self.random.below(2) == 0 && !self.journal.is_empty() {
            let at = self.random.below(self.journal.len());
            let emptied = self.journal[at].1 as usize;
            for customer in self.members[emptied].clone() {
                if self.arc(customer as usize, site).is_finite() {
                    self.journal.push((customer, emptied as u32));
                    self.take(customer as usize);
                    self.put(customer as usize, site);
                }
            }
        }
        self.settle(before);
    }

    /// Keeps what the journal did or takes it back.
    fn settle(&mut self, before: (f64, f64)) {
        if self.accepts(self.cost - before.0 + self.price * (self.excess - before.1)) {
            self.note();
            return;
        }
        while let Some((customer, site)) = self.journal.pop() {
            self.take(customer as usize);
            self.put(customer as usize, site as usize);
        }
    }
}
