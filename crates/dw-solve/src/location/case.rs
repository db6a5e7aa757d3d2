//! The problem as the solver works on it: checked, flat, in small numbers.

use super::problem::{Choice, MAX_AMOUNT, MAX_PORTS, Problem, Spare, Variant};

/// Marks "no site".
pub(super) const NOWHERE: u32 = u32::MAX;

/// The problem with everything unusable left out and every index known to be good.
#[derive(Debug)]
pub(super) struct Case {
    pub(super) fixed: Vec<i64>,
    /// Resources that limit at least one site, by their number in the problem.
    pub(super) resources: Vec<usize>,
    /// Limits, site by site; `i64::MAX` where there is none.
    limits: Vec<i64>,
    /// Largest limit of any site, resource by resource.
    pub(super) largest_limits: Vec<i64>,
    /// Whether a site has any limit.
    pub(super) is_limited: Vec<bool>,
    pub(super) families: Vec<FamilyCase>,
    /// Stock class of each site and family.
    class: Vec<u32>,
    /// What distinguishes pools: the family and what is already there.
    pub(super) classes: Vec<Class>,
    /// Whether any customer has more than one variant.
    pub(super) has_alternatives: bool,
    /// Groups of each customer that it stays apart within; no entries at all where nobody must.
    groups: Vec<Vec<u32>>,
    /// Variants of all customers, customer by customer.
    pub(super) variants: Vec<VariantCase>,
    /// First variant of each customer, and the end.
    variant_start: Vec<u32>,
    /// Uses of the variants, variant by variant.
    uses: Vec<i64>,
    /// Arcs by customer, cheapest first.
    arc_start: Vec<u32>,
    arcs: Vec<Reach>,
    /// Sites of each customer, each once, cheapest first.
    near_start: Vec<u32>,
    near: Vec<u32>,
    /// Arcs by site, ascending variants and so customers.
    site_start: Vec<u32>,
    site_arcs: Vec<Reach>,
}

/// Usable models of a family.
#[derive(Debug)]
pub(super) struct FamilyCase {
    pub(super) models: Vec<ModelCase>,
    pub(super) spare: Spare,
}

/// A usable model; `number` is its place in the problem's family.
#[derive(Debug, Clone)]
pub(super) struct ModelCase {
    pub(super) number: usize,
    pub(super) ports: u32,
    pub(super) price: i64,
    pub(super) uses: Vec<i64>,
}

/// A family together with the models already there, in the order of [`FamilyCase::models`].
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Class {
    pub(super) family: u32,
    pub(super) stock: Vec<u32>,
}

/// What the load of a site depends on: a way to serve a customer.
#[derive(Debug, Clone, Copy)]
pub(super) struct VariantCase {
    pub(super) customer: u32,
    pub(super) family: u32,
    pub(super) ports: u8,
    /// Whether the customer itself takes any limited resource.
    pub(super) has_uses: bool,
    /// Whether it takes ports and must not share a controller with some other customer.
    pub(super) is_apart: bool,
}

/// One end of an arc, seen from the other end: a site for a customer, a customer for a site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Reach {
    pub(super) to: u32,
    /// Which of all variants is served so.
    pub(super) variant: u32,
    pub(super) cost: i64,
}

/// How a customer is served: site and which of all variants, both [`NOWHERE`] when it is not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    pub(super) site: u32,
    pub(super) variant: u32,
}

impl Spot {
    /// Not served.
    pub(super) const NONE: Self = Self { site: NOWHERE, variant: NOWHERE };
}

impl FamilyCase {
    /// Ports to install for `used` ports in use, the spare ones included.
    pub(super) fn ports_needed(&self, used: u64) -> u64 {
        let (wanted, of) = self.spare.ratio();
        used.saturating_mul(wanted).div_ceil(of)
    }

    /// Ports in use that `installed` ports allow.
    pub(super) fn ports_usable(&self, installed: u64) -> u64 {
        let (wanted, of) = self.spare.ratio();
        installed.saturating_mul(of) / wanted
    }
}

impl Case {
    pub(super) fn new(problem: &Problem) -> Self {
        let n_sites = problem.sites.len().min(NOWHERE as usize);
        let n_resources = problem.sites.iter().map(|site| site.limits.len()).max().unwrap_or(0);
        let limit = |site: usize, resource: usize| {
            problem.sites[site].limits.get(resource).copied().filter(|&limit| limit < i64::MAX)
        };
        let resources: Vec<usize> =
            (0..n_resources).filter(|&resource| (0..n_sites).any(|site| limit(site, resource).is_some())).collect();
        let limits: Vec<i64> = (0..n_sites)
            .flat_map(|site| {
                resources.iter().map(move |&resource| limit(site, resource).map_or(i64::MAX, |limit| limit.max(-1)))
            })
            .collect();
        let largest_limits = (0..resources.len())
            .map(|at| limits.iter().skip(at).step_by(resources.len()).copied().max().unwrap_or(0))
            .collect();
        let is_limited = (0..n_sites).map(|site| resources.iter().any(|&r| limit(site, r).is_some())).collect();
        let pick = |uses: &[i64]| -> Vec<i64> {
            resources.iter().map(|&resource| uses.get(resource).copied().unwrap_or(0).max(0)).collect()
        };
        let families: Vec<FamilyCase> = problem
            .families
            .iter()
            .map(|family| FamilyCase {
                spare: family.spare,
                models: (family.models.iter().enumerate())
                    .filter(|(_, model)| model.ports > 0 && model.price <= MAX_AMOUNT && are_moderate(&model.uses))
                    .map(|(number, model)| ModelCase {
                        number,
                        ports: model.ports,
                        price: model.price.max(0),
                        uses: pick(&model.uses),
                    })
                    .collect(),
            })
            .collect();
        let groups = groups_by_customer(problem);
        let is_apart = |customer: usize| groups.get(customer).is_some_and(|groups| !groups.is_empty());
        let variants: Vec<VariantCase> = (all_variants(problem))
            .map(|(customer, variant)| VariantCase {
                customer: customer as u32,
                family: if variant.ports == 0 { 0 } else { variant.family as u32 },
                ports: variant.ports.min(MAX_PORTS) as u8,
                has_uses: pick(&variant.uses).iter().any(|&amount| amount > 0),
                is_apart: variant.ports > 0 && is_apart(customer),
            })
            .collect();
        let uses = all_variants(problem).flat_map(|(_, variant)| pick(&variant.uses)).collect();
        let variant_start = starts(problem.customers.iter().map(|customer| customer.variants.len()));
        let (arc_start, arcs) = arcs_by_customer(problem, n_sites);
        let (site_start, site_arcs) = arcs_by_site(n_sites, &arc_start, &arcs);
        let (near_start, near) = sites_by_customer(&arc_start, &arcs);
        let (class, classes) = classes(problem, &families, n_sites);
        let fixed = problem.sites.iter().map(|site| site.fixed.clamp(0, MAX_AMOUNT)).collect();
        Self {
            fixed,
            resources,
            limits,
            largest_limits,
            is_limited,
            families,
            class,
            classes,
            has_alternatives: problem.customers.iter().any(|customer| customer.variants.len() > 1),
            groups,
            variants,
            variant_start,
            uses,
            arc_start,
            arcs,
            near_start,
            near,
            site_start,
            site_arcs,
        }
    }

    /// Groups within which a customer shares no controller, ascending.
    pub(super) fn groups(&self, customer: u32) -> &[u32] {
        self.groups.get(customer as usize).map_or(&[], Vec::as_slice)
    }

    pub(super) fn n_sites(&self) -> usize {
        self.fixed.len()
    }

    pub(super) fn n_customers(&self) -> usize {
        self.arc_start.len() - 1
    }

    pub(super) fn n_arcs(&self) -> usize {
        self.arcs.len()
    }

    pub(super) fn n_families(&self) -> usize {
        self.families.len()
    }

    /// Sites and variants that can serve a customer, cheapest first.
    pub(super) fn arcs(&self, customer: usize) -> &[Reach] {
        &self.arcs[self.arc_start[customer] as usize..self.arc_start[customer + 1] as usize]
    }

    /// Sites that can serve a customer in any variant, each once, cheapest first.
    pub(super) fn near(&self, customer: usize) -> &[u32] {
        &self.near[self.near_start[customer] as usize..self.near_start[customer + 1] as usize]
    }

    /// Customers that a site can serve, ascending.
    pub(super) fn site_arcs(&self, site: usize) -> &[Reach] {
        &self.site_arcs[self.site_start[site] as usize..self.site_start[site + 1] as usize]
    }

    /// Cost of serving a variant from a site, if that can be.
    pub(super) fn arc_cost(&self, variant: u32, site: usize) -> Option<i64> {
        let arcs = self.site_arcs(site);
        let at = arcs.binary_search_by_key(&variant, |arc| arc.variant).ok()?;
        Some(arcs[at].cost)
    }

    /// What a variant of a customer itself takes of each limited resource.
    pub(super) fn uses(&self, variant: u32) -> &[i64] {
        &self.uses[variant as usize * self.resources.len()..][..self.resources.len()]
    }

    /// The variant with the caller's number, if the customer has it.
    pub(super) fn spot(&self, customer: usize, choice: Choice) -> Spot {
        let (from, to) = (self.variant_start[customer], self.variant_start[customer + 1]);
        let variant = u32::try_from(choice.variant).ok().and_then(|number| from.checked_add(number));
        match (u32::try_from(choice.site), variant.filter(|&variant| variant < to)) {
            (Ok(site), Some(variant)) if choice.site < self.n_sites() => Spot { site, variant },
            _ => Spot::NONE,
        }
    }

    /// What the caller is told of a spot.
    pub(super) fn choice(&self, customer: usize, spot: Spot) -> Option<Choice> {
        let number = spot.variant.checked_sub(self.variant_start[customer])?;
        (spot.site != NOWHERE).then_some(Choice { variant: number as usize, site: spot.site as usize })
    }

    /// Limits of a site on each limited resource.
    pub(super) fn limits(&self, site: usize) -> &[i64] {
        &self.limits[site * self.resources.len()..][..self.resources.len()]
    }

    /// Stock class of a family at a site.
    pub(super) fn class(&self, site: usize, family: usize) -> u32 {
        self.class[site * self.families.len() + family]
    }
}

/// Whether no amount is beyond the range the solver calculates with.
fn are_moderate(amounts: &[i64]) -> bool {
    amounts.iter().all(|&amount| amount <= MAX_AMOUNT)
}

/// Groups of each customer that has to stay apart from another one; nothing where no group has two customers.
fn groups_by_customer(problem: &Problem) -> Vec<Vec<u32>> {
    let mut groups = Vec::new();
    for (number, group) in problem.apart.iter().enumerate() {
        let known = group.iter().copied().filter(|&customer| customer < problem.customers.len());
        let members: std::collections::BTreeSet<usize> = known.collect();
        if members.len() > 1 {
            groups.resize(problem.customers.len(), Vec::new());
            for customer in members {
                groups[customer].push(number as u32);
            }
        }
    }
    groups
}

/// Every variant with its customer.
fn all_variants(problem: &Problem) -> impl Iterator<Item = (usize, &Variant)> {
    let customers = problem.customers.iter().enumerate();
    customers.flat_map(|(at, customer)| customer.variants.iter().map(move |variant| (at, variant)))
}

/// Where each of some lists begins once they are strung together, and the end.
fn starts(lengths: impl Iterator<Item = usize>) -> Vec<u32> {
    let ends = lengths.scan(0, |end, length| {
        *end += length as u32;
        Some(*end)
    });
    std::iter::once(0).chain(ends).collect()
}

/// Flat arcs of all customers, each customer's cheapest first, one per variant and site.
fn arcs_by_customer(problem: &Problem, n_sites: usize) -> (Vec<u32>, Vec<Reach>) {
    let mut start = vec![0];
    let mut arcs = Vec::new();
    let mut first = 0;
    for customer in &problem.customers {
        let mut own: Vec<Reach> = Vec::new();
        for (variant, number) in customer.variants.iter().zip(first..) {
            let is_known = variant.ports == 0 || variant.family < problem.families.len();
            if !is_known || variant.ports > MAX_PORTS || !are_moderate(&variant.uses) {
                continue;
            }
            let usable = (variant.arcs.iter())
                .filter(|arc| arc.site < n_sites && arc.cost.unsigned_abs() <= MAX_AMOUNT.unsigned_abs())
                .filter(|arc| problem.sites[arc.site].fixed <= MAX_AMOUNT);
            own.extend(usable.map(|arc| Reach { to: arc.site as u32, variant: number, cost: arc.cost }));
        }
        first += customer.variants.len() as u32;
        own.sort_by_key(|arc| (arc.to, arc.variant, arc.cost));
        own.dedup_by_key(|arc| (arc.to, arc.variant));
        own.sort_by_key(|arc| (arc.cost, arc.to, arc.variant));
        arcs.extend(own);
        start.push(arcs.len() as u32);
    }
    (start, arcs)
}

/// Sites of each customer's arcs, each once.
fn sites_by_customer(arc_start: &[u32], arcs: &[Reach]) -> (Vec<u32>, Vec<u32>) {
    let mut start = vec![0];
    let mut sites = Vec::new();
    let mut known = std::collections::BTreeSet::new();
    for range in arc_start.windows(2) {
        known.clear();
        let own = arcs[range[0] as usize..range[1] as usize].iter().map(|arc| arc.to);
        sites.extend(own.filter(|&site| known.insert(site)));
        start.push(sites.len() as u32);
    }
    (start, sites)
}

/// The same arcs sorted by site.
fn arcs_by_site(n_sites: usize, arc_start: &[u32], arcs: &[Reach]) -> (Vec<u32>, Vec<Reach>) {
    let mut start = vec![0u32; n_sites + 1];
    for arc in arcs {
        start[arc.to as usize + 1] += 1;
    }
    for site in 0..n_sites {
        start[site + 1] += start[site];
    }
    let mut next = start.clone();
    let mut by_site = vec![Reach { to: 0, variant: 0, cost: 0 }; arcs.len()];
    for (customer, range) in arc_start.windows(2).enumerate() {
        for arc in &arcs[range[0] as usize..range[1] as usize] {
            let place = &mut next[arc.to as usize];
            by_site[*place as usize] = Reach { to: customer as u32, ..*arc };
            *place += 1;
        }
    }
    for range in start.windows(2) {
        by_site[range[0] as usize..range[1] as usize].sort_unstable_by_key(|arc| arc.variant);
    }
    (start, by_site)
}

/// More equal models at a site than its customers can ever use; keeps sums of their ports in range.
const MOST_STOCK: u32 = 1_000_000;

/// Groups the pools of all sites by family and stock.
fn classes(problem: &Problem, families: &[FamilyCase], n_sites: usize) -> (Vec<u32>, Vec<Class>) {
    let mut stock: Vec<Vec<u32>> =
        (0..n_sites).flat_map(|_| families.iter().map(|family| vec![0; family.models.len()])).collect();
    for (at, family) in problem.families.iter().enumerate() {
        for there in family.already.iter().filter(|there| there.site < n_sites) {
            let model = families[at].models.iter().position(|model| model.number == there.model);
            if let Some(model) = model {
                let count = &mut stock[there.site * families.len() + at][model];
                *count = count.saturating_add(there.count).min(MOST_STOCK);
            }
        }
    }
    let mut sorted: Vec<Class> = Vec::new();
    let mut known = std::collections::BTreeMap::new();
    let class = (stock.into_iter().enumerate())
        .map(|(pool, stock)| {
            let family = (pool % families.len()) as u32;
            *known.entry((family, stock.clone())).or_insert_with(|| {
                sorted.push(Class { family, stock });
                sorted.len() as u32 - 1
            })
        })
        .collect();
    (class, sorted)
}
