//! The problem as the caller states it.

/// Largest amount of money or of a resource, either sign, that the solver calculates with.
///
/// Larger amounts are outside the range in which sums over 100,000 customers, in the fine units of the bound, fit
/// 64 bits; what has such an amount is left out.
pub const MAX_AMOUNT: i64 = 1_000_000_000_000;

/// Most ports one customer may ask for.
pub const MAX_PORTS: u32 = 4;

/// Largest spare share; a larger one counts as this.
pub const MAX_SPARE_PERCENT: u32 = 1000;

/// Single-source facility location with modular capacities.
///
/// Every customer is served in exactly one of its variants from exactly one site. A site in use costs its fixed amount
/// once; the ports its customers need come from whole models, family by family; the equipment and the customers share
/// the limits of the site.
///
/// ```text
/// least   Σ arc cost + Σ fixed of sites in use + Σ price of models beyond those already there
/// with    of · Σ ports of models ≥ wanted · Σ ports of customers            per site and family ([`Spare`])
///         all ports of a customer on one model                              (packing)
///         no two customers of a group of `apart` on one model
///         Σ uses of models + Σ uses of customers ≤ limit                    per site and resource
/// ```
///
/// Data that makes no sense is left out rather than refused, so that the rest still gets a plan: an arc to a site that
/// does not exist, a model without ports, a variant of an unknown family or with more than [`MAX_PORTS`] ports (a
/// customer with no other stays unserved); so is an arc, site, model or variant with an amount beyond [`MAX_AMOUNT`]. Negative prices, fixed
/// costs and uses count as 0, a limit below 0 admits nothing. No more than 65,000 customers share a site. Missing
/// entries of `limits` mean no limit, missing entries of `uses` mean none. In `apart`, numbers of customers that do not exist
/// and numbers that stand twice in a group count for nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Problem {
    /// Places that may be used.
    pub sites: Vec<Site>,
    /// Kinds of equipment; a customer's ports come from one family.
    pub families: Vec<Family>,
    /// Those to be served.
    pub customers: Vec<Customer>,
    /// Groups of customers, by number, of which no two may hold ports of one and the same model bought; one that is served
    /// without ports shares nothing.
    pub apart: Vec<Vec<usize>>,
}

impl Problem {
    /// The problem of some of its customers only, in the order given.
    #[must_use]
    pub fn only(&self, customers: &[usize]) -> Self {
        let place = |customer: &usize| customers.iter().position(|it| it == customer);
        Self {
            customers: customers.iter().filter_map(|&it| self.customers.get(it).cloned()).collect(),
            apart: self.apart.iter().map(|group| group.iter().filter_map(place).collect()).collect(),
            sites: self.sites.clone(),
            families: self.families.clone(),
        }
    }
}

/// A place that may be used.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Site {
    /// Cost of using the site at all; 0 when it is already fitted out.
    pub fixed: i64,
    /// Largest amount of each resource; `i64::MAX` means no limit.
    pub limits: Vec<i64>,
}

/// How many ports a site must have for those in use: `ports * of >= used * wanted`, rounded up per site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spare {
    wanted: u32,
    of: u32,
}

impl Spare {
    /// No spare ports.
    pub const NONE: Self = Self { wanted: 100, of: 100 };

    /// Spare ports counted on those in use: 20 % of 10 in use make 12. At most [`MAX_SPARE_PERCENT`].
    pub fn percent_of_used(percent: u32) -> Self {
        Self { wanted: 100 + percent.min(MAX_SPARE_PERCENT), of: 100 }
    }

    /// A share of all ports that stays free: 20 % of 10 installed leave 8 for use. At most nine tenths.
    pub fn percent_of_installed(percent: u32) -> Self {
        Self { wanted: 100, of: 100 - percent.min(90) }
    }

    /// The two sides of the rule, `wanted` and `of`.
    pub const fn ratio(self) -> (u64, u64) {
        (self.wanted as u64, self.of as u64)
    }
}

impl Default for Spare {
    fn default() -> Self {
        Self::NONE
    }
}

/// A family of models that can stand in for each other.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Family {
    /// What can be bought.
    pub models: Vec<Model>,
    /// Ports to have beyond those in use.
    pub spare: Spare,
    /// What is there already and need not be bought. It takes its share of the limits only where the plan uses it.
    pub already: Vec<Stock>,
}

/// A model that can be bought.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Model {
    /// Ports it offers.
    pub ports: u32,
    /// Price of one.
    pub price: i64,
    /// Amount of each resource that one takes.
    pub uses: Vec<i64>,
}

/// Equipment that is already at a site and paid for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Stock {
    /// Where it is.
    pub site: usize,
    /// Which model of the family.
    pub model: usize,
    /// How many.
    pub count: u32,
}

/// One to be served, in exactly one of its variants and from exactly one site.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Customer {
    /// The ways to serve it. One without any stays unserved.
    pub variants: Vec<Variant>,
}

impl Customer {
    /// A customer that can be served in one way only.
    pub fn single(variant: Variant) -> Self {
        Self { variants: vec![variant] }
    }

    /// Sites of all its arcs, some perhaps more than once.
    pub fn sites(&self) -> impl Iterator<Item = usize> {
        self.variants.iter().flat_map(|variant| &variant.arcs).map(|arc| arc.site)
    }
}

/// A way to serve a customer: what it then needs, and from where.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Variant {
    /// Family its ports must come from; of no effect when it needs no port.
    pub family: usize,
    /// Ports it occupies, all on one model, 0 to 4; 0 for one that needs a site but no port.
    pub ports: u32,
    /// Amount of each resource that the customer itself takes at its site.
    pub uses: Vec<i64>,
    /// Sites that can serve it so, with the cost of everything this variant adds. A single arc in a single variant pins
    /// the customer; several arcs to the same site count as the cheapest of them.
    pub arcs: Vec<Arc>,
}

/// How a customer is served: the variant, by its number among those of the customer, and the site.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Choice {
    /// Number of the variant among those of the customer.
    pub variant: usize,
    /// The site.
    pub site: usize,
}

impl Choice {
    /// The first variant, which is all that most customers have, at a site.
    pub fn first_at(site: usize) -> Self {
        Self { variant: 0, site }
    }
}

/// A site that can serve a customer in some variant.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Arc {
    /// The site.
    pub site: usize,
    /// Cost of serving the customer from it; may be negative.
    pub cost: i64,
}
