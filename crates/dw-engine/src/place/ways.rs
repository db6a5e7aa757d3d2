//! Which arrangement of an opening each variant of a customer stands for, room by room, and what its cost is made of.

use dw_core::Money;
use dw_job::model::ArrangementKind;
use dw_solve::location::{Arc, Variant};

/// A variant of a customer with its key.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    pub(super) kind: ArrangementKind,
    /// Family, ports and uses; its arcs follow from `legs`.
    shape: Variant,
    /// By site.
    legs: Vec<Leg>,
}

/// One site a customer can be served from in a variant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Leg {
    pub(super) site: usize,
    /// Number of the arrangement: the first of those that look alike to the solver.
    pub(super) arrangement: usize,
    pub(super) cost: Cost,
}

/// What serving one opening costs beside controllers and rooms.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Cost {
    pub(super) cable: Money,
    /// Devices and tasks at the opening beyond those of its cheapest arrangement.
    pub(super) at_opening: Money,
    /// Its share of network ports, where they are short.
    pub(super) network: Money,
}

impl Cost {
    pub(super) fn total(&self) -> Money {
        self.cable + self.at_opening + self.network
    }
}

impl Way {
    /// How the customer is served from a site.
    pub(super) fn at(&self, site: usize) -> Option<&Leg> {
        self.legs.binary_search_by_key(&site, |leg| leg.site).ok().map(|idx| &self.legs[idx])
    }

    /// Every site it can be served from.
    pub(super) fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// The variant the solver is told of.
    pub(super) fn variant(&self) -> Variant {
        let arc = |leg: &Leg| Arc { site: leg.site, cost: leg.cost.total().cents() };
        Variant { arcs: self.legs.iter().map(arc).collect(), ..self.shape.clone() }
    }

    fn take(&mut self, leg: Leg) {
        if let Err(idx) = self.legs.binary_search_by_key(&leg.site, |known| known.site) {
            self.legs.insert(idx, leg);
        }
    }
}

/// Adds an arrangement to the ways of a customer. One that takes the same of rooms and controllers as another of its kind
/// shares a variant with it; at each site the first that reaches it counts, so that doors alike get readers alike and only
/// a far one gets the reader that reaches farther.
pub(super) fn add(ways: &mut Vec<Way>, kind: ArrangementKind, shape: Variant, legs: impl Iterator<Item = Leg>) {
    let idx = ways.iter().position(|way| way.kind == kind && way.shape == shape).unwrap_or_else(|| {
        ways.push(Way { kind, shape, legs: Vec::new() });
        ways.len() - 1
    });
    legs.for_each(|leg| ways[idx].take(leg));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(site: usize, arrangement: usize, cents: i64) -> Leg {
        Leg { site, arrangement, cost: Cost { cable: Money::from_cents(cents), ..Cost::default() } }
    }

    #[test]
    fn of_two_that_look_alike_the_first_that_reaches_a_site_counts_there() {
        let mut ways = Vec::new();
        let shape = Variant { ports: 1, ..Variant::default() };
        add(&mut ways, ArrangementKind::Ports, shape.clone(), [leg(0, 0, 50), leg(2, 0, 70)].into_iter());
        add(&mut ways, ArrangementKind::Ports, shape, [leg(0, 1, 60), leg(1, 1, 60), leg(2, 1, 60)].into_iter());
        add(&mut ways, ArrangementKind::OwnUnit, Variant::default(), [leg(0, 2, 10)].into_iter());
        assert_eq!(ways.len(), 2);
        let chosen: Vec<usize> = (0..3).filter_map(|site| Some(ways[0].at(site)?.arrangement)).collect();
        assert_eq!(chosen, [0, 1, 0]);
        let costs: Vec<i64> = ways[0].variant().arcs.iter().map(|arc| arc.cost).collect();
        assert_eq!(costs, [50, 60, 70]);
        assert_eq!(ways[1].at(1), None);
    }
}
