//! Watching a design come about: which pass is at work, how good the plan is so far, and stopping the search.

use std::ops::ControlFlow;

use dw_core::Money;

/// What is heard while a design is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// The pass at work.
    pub pass: &'static str,
    /// The best plan so far, while openings are placed.
    pub plan: Option<PlanSoFar>,
}

/// The best plan found so far. Cost and bound are those of placement: cable, rooms in use, controllers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlanSoFar {
    /// What it costs.
    pub cost: Money,
    /// No plan costs less.
    pub bound: Money,
    /// Openings it does not serve.
    pub unserved: usize,
}

/// Who hears of the steps, and whether they asked for the search to stop.
///
/// Only the search for a better plan is stopped; every pass still runs, so that the design is whole.
pub struct Watch<'w> {
    hear: &'w mut dyn FnMut(Step) -> ControlFlow<()>,
    is_stopped: bool,
}

impl<'w> Watch<'w> {
    /// Tells `hear` of every step.
    pub fn new(hear: &'w mut dyn FnMut(Step) -> ControlFlow<()>) -> Self {
        Self { hear, is_stopped: false }
    }

    /// A pass begins.
    pub fn begin(&mut self, pass: &'static str) {
        let _ = self.tell(Step { pass, plan: None });
    }

    /// Tells of a step; breaks when the search is to stop, now or earlier.
    pub fn tell(&mut self, step: Step) -> ControlFlow<()> {
        let answer = (self.hear)(step);
        self.is_stopped |= answer.is_break();
        if self.is_stopped { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    /// Whether the search was asked to stop.
    pub fn is_stopped(&self) -> bool {
        self.is_stopped
    }
}

/// Hears every step and stops nothing.
pub fn unwatched(_: Step) -> ControlFlow<()> {
    ControlFlow::Continue(())
}
