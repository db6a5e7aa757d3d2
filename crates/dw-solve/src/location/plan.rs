//! What the solver is told about effort, and what it returns.

use super::problem::Choice;

/// How hard to try, from where, and with which random sequence. The same effort on the same problem gives the same
/// plan on every machine.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Effort {
    /// Amount of work.
    pub level: Level,
    /// Chooses the random sequence.
    pub seed: u64,
    /// A previous assignment to improve on, one entry per customer; entries without an arc are ignored.
    pub start: Option<Vec<Option<Choice>>>,
}

impl Effort {
    /// The given amount of work, seed 0, from nothing.
    pub fn new(level: Level) -> Self {
        Self { level, seed: 0, start: None }
    }
}

/// Amount of work, counted in rounds of the bound and tries of the search, never in time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// For a preview while something is being edited.
    Quick,
    /// For everyday design.
    #[default]
    Normal,
    /// For a tender, when some seconds do not matter.
    Thorough,
}

/// What is known so far; handed to the caller now and then.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Work done, in evaluated arcs and tries.
    pub work: u64,
    /// Cost of the best plan so far, if there is one.
    pub cost: Option<i64>,
    /// Proven lower bound so far.
    pub bound: i64,
    /// Customers the best plan does not serve.
    pub n_unserved: usize,
}

/// The best plan found and how good it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Who is served from where, with what.
    pub plan: Plan,
    /// Cost of the plan; the independent [`price`](super::price()) gives the same figure.
    pub cost: i64,
    /// No plan that serves the same customers costs less than this.
    pub bound: i64,
    /// (cost - bound) / cost, 0 to 1; 0 when the plan is proven to be the best.
    pub gap: f64,
    /// Customers that are not served, ascending.
    pub unserved: Vec<usize>,
    /// Work done, in evaluated arcs and tries.
    pub work: u64,
    /// Whether the caller stopped the search before its effort was spent.
    pub stopped: bool,
}

/// A complete plan.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plan {
    /// Variant and site of each customer; `None` when it is not served.
    pub assignment: Vec<Option<Choice>>,
    /// Equipment in use, by site, family and model, ascending.
    pub models: Vec<Install>,
    /// Controller and ports of each customer; `None` when it is not served or needs no port.
    pub seats: Vec<Option<Seat>>,
}

/// A number of equal models at one site.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Install {
    /// Where.
    pub site: usize,
    /// Family.
    pub family: usize,
    /// Model within the family.
    pub model: usize,
    /// How many in use, those already there included.
    pub count: u32,
}

/// Where a customer is connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Seat {
    /// Site.
    pub site: usize,
    /// Family.
    pub family: usize,
    /// Model within the family.
    pub model: usize,
    /// Which of the equal models at this site, from 0.
    pub number: u32,
    /// First port, from 0; the customer's further ports follow it.
    pub first_port: u32,
}
