//! Why something is not served, in words: an irreducible set of those that clash.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use dw_instance::{Form, Instance};
use dw_solve::clash::irreducible;
use dw_solve::location::{Customer, Family, Feasibility, Problem, feasible};

/// Most customers looked at together. Own choice: the question stays below a few seconds.
const MAX_GROUP: usize = 400;

/// How often the neighbourhood of an unserved customer grows.
const MAX_GROWTHS: usize = 6;

/// Most unserved customers that are explained one by one.
const MAX_EXPLAINED: usize = 5;

/// Every customer not served by name, and for the first few of them why.
pub fn in_words(instance: &Instance, unserved: &[usize]) -> String {
    let (customer, customers, sites, out_of_reach) = match instance.form {
        Form::Estate => ("opening", "openings", "rooms", "no room is within the longest cable"),
        Form::Facility => ("customer", "customers", "sites", "no site is large enough"),
    };
    let problem = &instance.problem;
    let names = |all: &[usize]| all.iter().map(|&at| instance.customers[at].as_str()).collect::<Vec<_>>().join(", ");
    let are =
        if unserved.len() == 1 { format!("1 {customer} is") } else { format!("{} {customers} are", unserved.len()) };
    let mut out = format!("{are} not served: {}\n", names(unserved));
    let (lost, others): (Vec<usize>, Vec<usize>) =
        unserved.iter().partition(|&&at| problem.customers[at].sites().next().is_none());
    if !lost.is_empty() {
        let _ = writeln!(out, "  {}: {out_of_reach}", names(&lost));
    }
    let mut told: BTreeSet<Vec<usize>> = BTreeSet::new();
    for &at in others.iter().take(MAX_EXPLAINED) {
        let name = &instance.customers[at];
        match clash(problem, at) {
            Some((set, _)) if !told.insert(set.clone()) => {}
            Some((set, is_irreducible)) => {
                let least = if is_irreducible {
                    "without any one of them the others can"
                } else {
                    "whether fewer of them clash already is not known"
                };
                let reached: BTreeSet<usize> = set.iter().flat_map(|&at| problem.customers[at].sites()).collect();
                let reached: Vec<&str> = reached.into_iter().map(|site| instance.sites[site].as_str()).collect();
                let _ = writeln!(
                    out,
                    "  {name}: these {} {customers} cannot all be served by the {sites} they reach ({}); {least}: {}",
                    set.len(),
                    reached.join(", "),
                    names(&set)
                );
            }
            None => {
                let _ = writeln!(
                    out,
                    "  {name}: the search found no place for it beside the others; that there is none is not proven"
                );
            }
        }
    }
    out
}

/// Customers that cannot be served together, around an unserved one, and whether each of them matters; `None` when no clash is
/// proven.
///
/// Looks at those who depend on the same sites as `lost` and no other, and lets that neighbourhood grow until it
/// clashes. Those with the fewest sites to choose from are blamed first.
fn clash(problem: &Problem, lost: usize) -> Option<(Vec<usize>, bool)> {
    let mut sites: BTreeSet<usize> = problem.customers[lost].sites().collect();
    for _ in 0..=MAX_GROWTHS {
        let depends = |at: &usize| problem.customers[*at].sites().all(|site| sites.contains(&site));
        let mut group: Vec<usize> = (0..problem.customers.len())
            .filter(|&at| problem.customers[at].sites().next().is_some())
            .filter(depends)
            .collect();
        group.sort_by_key(|&at| (problem.customers[at].sites().count(), at));
        if group.len() > MAX_GROUP {
            return None;
        }
        let part = problem.only(&group);
        if let Some(clash) = irreducible(&group, |kept| answer(&part, kept)) {
            let mut members: Vec<usize> = clash.members.into_iter().map(|at| group[at]).collect();
            members.sort_unstable();
            return Some((members, clash.is_irreducible));
        }
        let touching = problem.customers.iter().filter(|other| other.sites().any(|site| sites.contains(&site)));
        let grown: BTreeSet<usize> = touching.flat_map(Customer::sites).collect();
        if grown == sites {
            return None;
        }
        sites = grown;
    }
    None
}

/// Whether the kept customers can be served.
fn answer(problem: &Problem, kept: &[bool]) -> Feasibility {
    if exceeds(problem, kept) { Feasibility::No } else { feasible(problem, kept) }
}

/// Whether the kept customers take more of a resource than all sites they reach have together.
///
/// **Formula**, by resource: Σ least own use + Σ over families of ports · spare · (least use by port of any model) >
/// Σ limits. **Assumes** nothing of how customers are spread, so that it never blames a set that can be served.
fn exceeds(problem: &Problem, kept: &[bool]) -> bool {
    let customers = || problem.customers.iter().zip(kept).filter(|(_, kept)| **kept).map(|(customer, _)| customer);
    let reached: BTreeSet<usize> = customers().flat_map(Customer::sites).collect();
    let n_resources = problem.sites.iter().map(|site| site.limits.len()).max().unwrap_or(0);
    (0..n_resources).any(|resource| {
        let limit = |&site: &usize| problem.sites[site].limits.get(resource).copied().unwrap_or(i64::MAX);
        let there: i128 = reached.iter().map(|site| i128::from(limit(site).max(0))).sum();
        let amount = |uses: &[i64]| i128::from(uses.get(resource).copied().unwrap_or(0).max(0));
        let own =
            |customer: &Customer| customer.variants.iter().map(|variant| amount(&variant.uses)).min().unwrap_or(0);
        let own: i128 = customers().map(own).sum();
        // Ports count where there is one variant; with several the customer might need none.
        let ports = |family: usize| -> i128 {
            let single = customers().filter_map(|customer| match customer.variants.as_slice() {
                [variant] if variant.family == family => Some(i128::from(variant.ports)),
                _ => None,
            });
            single.sum()
        };
        let by_ports = problem.families.iter().enumerate().map(|(at, family)| least(family, ports(at), amount));
        own + by_ports.sum::<i128>() > there
    })
}

/// Least amount of a resource that the ports of a family take.
fn least(family: &Family, ports: i128, amount: impl Fn(&[i64]) -> i128) -> i128 {
    let (wanted, of) = family.spare.ratio();
    let models = family.models.iter().filter(|model| model.ports > 0);
    let taken = models.map(|model| {
        let (taken, by) = (ports * i128::from(wanted) * amount(&model.uses), i128::from(of) * i128::from(model.ports));
        (taken + by - 1) / by
    });
    taken.min().unwrap_or(0)
}
