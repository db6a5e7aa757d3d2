//! The proven lower bound: Lagrangian relaxation of "every customer is served once".
//!
//! With a multiplier per customer the sites fall apart. A site earns the multipliers of the customers it takes, less
//! their arcs, its fixed cost and the least price of ports for them:
//!
//! ```text
//! bound(u) = Σ u_i − Σ_j max(0, max over sets S of Σ_{i∈S} (u_i − c_ij) − fixed_j − Σ_f price_f(ports of S))
//! ```
//!
//! where S holds variants of customers, c_ij is the arc of a variant, and the ports are those of its family. Any
//! multipliers give a valid bound. Packing and shared limits are left out of the inner problem (the price of ports is
//! the least for their number, each family is limited on its own), and a site may take a customer in several variants,
//! which can only lower the bound; `tighten` looks closer where that earns a site too much. Multipliers are whole
//! numbers of 1/64 of the cost unit, so every value is exact; rounding up to the cost unit is valid because plans cost
//! whole numbers.
//!
//! Sources: J. E. Beasley, "Lagrangean heuristics for location problems", EJOR 65 (1993) 383–399 (relaxation and step
//! rule); P. M. Camerini, L. Fratta, F. Maffioli, Mathematical Programming Study 3 (1975) 26–34 (deflected steps).

mod settled;
mod tighten;

pub(super) use self::settled::Settlement;
use self::tighten::Charge;
use super::ascent::{FINE, Relaxed};
use super::case::{Case, FamilyCase, Reach};

/// The relaxation: what each site can earn at given multipliers.
#[derive(Debug)]
pub(super) struct Relaxation<'a> {
    case: &'a Case,
    /// Least price of so many ports, by stock class, in fine units.
    port_prices: Vec<Vec<i64>>,
    /// Most ports in use at a site, by site and family.
    most_ports: Vec<u32>,
    /// Customers worth taking, by family and port count: gain and variant.
    worthwhile: Vec<Vec<(i64, u32)>>,
    /// Variants without ports worth taking.
    loose: Vec<u32>,
    /// Part of its gain that a customer yields at the site in hand whatever its variant, by customer.
    tolls: Vec<i64>,
    /// Customers with a toll.
    tolled: Vec<u32>,
    /// What customers and ports pay for a limit of the site in hand.
    charge: Option<Charge>,
    /// Price of a port of the dearest family, by which handicaps are measured.
    usual_price: i64,
    /// What a port of each family, and going without, is made dearer by when plans are built; all 0 for a bound.
    handicaps: Vec<i64>,
    /// How often the site in hand takes a customer, by customer; all 0 between sites.
    n_taken: Vec<u32>,
    /// An offer under comparison.
    other: Offer,
    /// What is settled about the sites; `None` for the whole problem.
    pub(super) settlement: Option<Settlement>,
    /// Sites open at the multipliers last tried, when something is settled.
    pub(super) n_open: usize,
    /// Best gain for so many ports, and how many customers of each port count make it.
    gains: Vec<i64>,
    picks: [Vec<u16>; 4],
}

/// What a site would do at given multipliers.
#[derive(Debug, Default)]
pub(super) struct Offer {
    /// Earnings after all costs, in fine units; not positive when the site stays closed.
    pub(super) value: i64,
    /// Variants of the customers it would take.
    pub(super) variants: Vec<u32>,
    /// Customers that yield a toll and count as taken once.
    tolled: Vec<u32>,
}

impl<'a> Relaxation<'a> {
    pub(super) fn new(case: &'a Case) -> Self {
        let n_families = case.n_families();
        let mut most_ports = vec![0; case.n_sites() * n_families];
        let mut largest = vec![0u32; case.classes.len()];
        for site in 0..case.n_sites() {
            let mut asked = vec![0u64; n_families];
            for arc in case.site_arcs(site) {
                let variant = case.variants[arc.variant as usize];
                if variant.ports > 0 {
                    asked[variant.family as usize] += u64::from(variant.ports);
                }
            }
            for family in 0..n_families {
                let most = most_ports_in_use(case, site, family).min(asked[family]).min(u64::from(u16::MAX)) as u32;
                most_ports[site * n_families + family] = most;
                let class = case.class(site, family) as usize;
                largest[class] = largest[class].max(most);
            }
        }
        let port_prices = (case.classes.iter().zip(largest))
            .map(|(class, most)| port_prices(&case.families[class.family as usize], &class.stock, most))
            .collect();
        let usual_price = per_port(case).into_iter().max().unwrap_or(0);
        Self {
            case,
            port_prices,
            most_ports,
            worthwhile: vec![Vec::new(); n_families * 4],
            loose: Vec::new(),
            tolls: vec![0; case.n_customers()],
            tolled: Vec::new(),
            charge: None,
            usual_price,
            handicaps: vec![0; n_families + 1],
            n_taken: vec![0; case.n_customers()],
            other: Offer::default(),
            settlement: None,
            n_open: 0,
            gains: Vec::new(),
            picks: Default::default(),
        }
    }

    /// Counts whom an offer takes.
    fn count(&self, offer: &Offer, taken: &mut [u32]) {
        for customer in offer.variants.iter().map(|&variant| self.customer(variant)) {
            taken[customer] += 1;
        }
        for &customer in &offer.tolled {
            taken[customer as usize] += 1;
        }
    }

    fn customer(&self, variant: u32) -> usize {
        self.case.variants[variant as usize].customer as usize
    }

    /// The most a site can earn from the customers it may take.
    pub(super) fn offer(
        &mut self,
        site: usize,
        multipliers: &[i64],
        may_take: impl Fn(usize) -> bool,
        offer: &mut Offer,
    ) {
        self.best_offer(site, multipliers, &may_take, offer);
        if offer.value > 0 && self.tighten(site, multipliers, offer) {
            let mut other = std::mem::take(&mut self.other);
            self.best_offer(site, multipliers, &may_take, &mut other);
            // Both are valid; the lower one is closer to what the site can earn.
            if other.value < offer.value {
                std::mem::swap(offer, &mut other);
            }
            self.other = other;
            self.loosen();
        }
    }

    /// The most a site can earn at the present tolls and charge.
    fn best_offer(&mut self, site: usize, multipliers: &[i64], may_take: impl Fn(usize) -> bool, offer: &mut Offer) {
        offer.value = self.collect(site, multipliers, may_take) - self.case.fixed[site] * FINE;
        offer.value += self.charge.as_ref().map_or(0, |charge| charge.for_limit);
        offer.variants.clear();
        offer.tolled.clone_from(&self.tolled);
        for family in 0..self.case.n_families() {
            offer.value += self.best_of_family(site, family, &mut offer.variants);
        }
        self.add_loose(&mut offer.variants);
    }

    /// Lists the variants whose customer's multiplier exceeds their arc; returns the gain that needs no ports.
    pub(super) fn collect(&mut self, site: usize, multipliers: &[i64], may_take: impl Fn(usize) -> bool) -> i64 {
        self.worthwhile.iter_mut().for_each(Vec::clear);
        self.loose.clear();
        let mut from_loose = 0;
        for arcs in self.case.site_arcs(site).chunk_by(|a, b| a.to == b.to) {
            let customer = arcs[0].to as usize;
            if !may_take(customer) {
                continue;
            }
            let multiplier = multipliers[customer];
            from_loose += if let [arc] = arcs {
                self.list(arc, multiplier - self.cost(arc))
            } else {
                self.list_several(arcs, multiplier)
            };
        }
        from_loose
    }

    /// Lists a variant if it gains anything; returns the gain if that needs no ports.
    fn list(&mut self, arc: &Reach, gain: i64) -> i64 {
        if gain <= 0 {
            return 0;
        }
        let what = self.case.variants[arc.variant as usize];
        let Some(size) = usize::from(what.ports).checked_sub(1) else {
            self.loose.push(arc.variant);
            return gain;
        };
        self.worthwhile[what.family as usize * 4 + size].push((gain, arc.variant));
        0
    }

    /// Best gains from 0, 1, 2 ... ports of one family among the customers collected.
    pub(super) fn gains(&mut self, site: usize, family: usize) -> &[i64] {
        let lists = &mut self.worthwhile[family * 4..][..4];
        let asked: usize = lists.iter().zip(1..).map(|(list, size)| list.len() * size).sum();
        let most = asked.min(self.most_ports[site * self.case.n_families() + family] as usize);
        self.gains.clear();
        self.gains.resize(most + 1, 0);
        for (size, list) in lists.iter_mut().enumerate() {
            self.picks[size].clear();
            self.picks[size].resize(most + 1, 0);
            best_first(list, most / (size + 1));
            if size == 0 {
                take_singles(list, &mut self.gains, &mut self.picks[0]);
            } else {
                take_groups(size + 1, list, &mut self.gains, &mut self.picks[size]);
            }
        }
        &self.gains
    }

    /// Least prices of 0, 1, 2 ... ports in use of one family at a site, as far as the limits of the site go.
    pub(super) fn prices(&self, site: usize, family: usize) -> &[i64] {
        let prices = &self.port_prices[self.case.class(site, family) as usize];
        &prices[..=self.most_ports[site * self.case.n_families() + family] as usize]
    }

    /// The most a site can earn from one family, and which variants it takes.
    fn best_of_family(&mut self, site: usize, family: usize, variants: &mut Vec<u32>) -> i64 {
        self.gains(site, family);
        let charge = self.charge.as_ref().map_or(0, |charge| charge.per_port[family]);
        let (mut best, mut ports, mut due) = (0, 0, 0);
        for (at, (gain, price)) in self.gains.iter().zip(self.prices(site, family)).enumerate() {
            if gain - price - due > best {
                (best, ports) = (gain - price - due, at);
            }
            due += charge;
        }
        for size in (0..4).rev() {
            let n_taken = usize::from(self.picks[size][ports]);
            variants.extend(self.worthwhile[family * 4 + size][..n_taken].iter().map(|(_, variant)| variant));
            ports -= n_taken * (size + 1);
        }
        best
    }
}

impl Relaxed for Relaxation<'_> {
    fn bound(&mut self, multipliers: &[i64], is_left_out: &[bool], taken: &mut [u32]) -> i64 {
        taken.fill(0);
        let asked = multipliers.iter().zip(is_left_out).filter(|(_, out)| !**out);
        let bound: i64 = asked.map(|(multiplier, _)| *multiplier).sum();
        if let Some(settlement) = self.settlement.take() {
            let earned = self.earn_settled(multipliers, is_left_out, &settlement, taken);
            self.settlement = Some(settlement);
            return bound - earned;
        }
        let mut earned = 0;
        let mut offer = Offer::default();
        for site in 0..self.case.n_sites() {
            self.offer(site, multipliers, |customer| !is_left_out[customer], &mut offer);
            if offer.value > 0 {
                earned += offer.value;
                self.count(&offer, taken);
            }
        }
        bound - earned
    }
}

/// Keeps the `n_kept` customers of largest gain, best first.
fn best_first(list: &mut Vec<(i64, u32)>, n_kept: usize) {
    let order = |a: &(i64, u32), b: &(i64, u32)| (b.0, a.1).cmp(&(a.0, b.1));
    if n_kept == 0 {
        list.clear();
    } else if list.len() > n_kept {
        list.select_nth_unstable_by(n_kept - 1, order);
        list.truncate(n_kept);
    }
    list.sort_unstable_by(order);
}

/// Best gain for up to so many ports from customers of one port.
fn take_singles(list: &[(i64, u32)], gains: &mut [i64], picks: &mut [u16]) {
    let mut gain = 0;
    let mut n_taken = 0;
    for (ports, (best, pick)) in gains.iter_mut().zip(picks).enumerate() {
        if let Some((more, _)) = ports.checked_sub(1).and_then(|at| list.get(at)) {
            gain += more;
            n_taken += 1;
        }
        *best = gain;
        *pick = n_taken;
    }
}

/// Improves the gains by customers of `size` ports; falls back on fewer ports are already in the gains.
fn take_groups(size: usize, list: &[(i64, u32)], gains: &mut [i64], picks: &mut [u16]) {
    if list.is_empty() {
        return;
    }
    // From many ports to few, so that the gains read are still those without this size.
    for ports in (size..gains.len()).rev() {
        let mut gain = 0;
        let mut best = gains[ports];
        for (nth, (more, _)) in list.iter().enumerate().take(ports / size) {
            gain += more;
            let together = gain + gains[ports - (nth + 1) * size];
            if together > best {
                best = together;
                picks[ports] = nth as u16 + 1;
            }
        }
        gains[ports] = best;
    }
}

/// Most ports that can be in use at a site: the best ports per unit of each limited resource, spare ports taken off.
fn most_ports_in_use(case: &Case, site: usize, family: usize) -> u64 {
    let family_case = &case.families[family];
    let stock = &case.classes[case.class(site, family) as usize].stock;
    if family_case.models.is_empty() {
        return 0;
    }
    debug_assert_eq!(stock.len(), family_case.models.len());
    let installed = (case.limits(site).iter().enumerate())
        .map(|(resource, &limit)| {
            let by_model = family_case.models.iter().map(|model| match model.uses[resource] {
                0 => u64::MAX,
                uses => {
                    let ports = i128::from(limit.max(0)) * i128::from(model.ports) / i128::from(uses);
                    u64::try_from(ports).unwrap_or(u64::MAX)
                }
            });
            by_model.max().unwrap_or(0)
        })
        .min()
        .unwrap_or(u64::MAX);
    family_case.ports_usable(installed)
}

/// Least price of 0, 1, 2 ... ports in use, in fine units: ports already there first, then the cheapest cover.
fn port_prices(family: &FamilyCase, stock: &[u32], most: u32) -> Vec<i64> {
    let there: u64 = family.models.iter().zip(stock).map(|(model, &n)| u64::from(model.ports) * u64::from(n)).sum();
    let to_buy = |used: u32| family.ports_needed(u64::from(used)).saturating_sub(there) as usize;
    let mut cover = vec![0i64; to_buy(most) + 1];
    for ports in 1..cover.len() {
        let with = |model: &super::case::ModelCase| {
            cover[ports.saturating_sub(model.ports as usize)].saturating_add(model.price * FINE)
        };
        cover[ports] = family.models.iter().map(with).min().unwrap_or(0);
    }
    (0..=most).map(|used| cover[to_buy(used)]).collect()
}

/// Multipliers to start from: the cheapest arc and the cheapest ports of each customer.
pub(super) fn start(case: &Case) -> Vec<i64> {
    let per_port = per_port(case);
    (0..case.n_customers())
        .map(|customer| {
            let with_ports = |arc: &Reach| {
                let what = case.variants[arc.variant as usize];
                let ports = if what.ports > 0 { per_port[what.family as usize] } else { 0 };
                arc.cost * FINE + ports * i64::from(what.ports)
            };
            case.arcs(customer).iter().map(with_ports).min().unwrap_or(0)
        })
        .collect()
}

/// Least price of a port of each family, in fine units.
fn per_port(case: &Case) -> Vec<i64> {
    (case.families.iter())
        .map(|family| family.models.iter().map(|model| model.price * FINE / i64::from(model.ports)).min())
        .map(|price| price.unwrap_or(0))
        .collect()
}
