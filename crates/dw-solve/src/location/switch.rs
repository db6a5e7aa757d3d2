//! Search over variants: customers change together to another way of being served.
//!
//! One customer that changes from a port to a unit of its own saves nothing while its controller stays, and one that
//! changes to a port pays for a whole controller. So a site *gathers* customers into one family, or *scatters* those of a
//! family, one after another in the order of what their arcs lose, and keeps as many changes as make the best plan.

use super::build::insert;
use super::case::{Case, NOWHERE, Reach};
use super::improve::Search;

/// Most customers that change together: enough to fill or empty the usual controllers. *Common practice*; by trial.
const MAX_TOGETHER: usize = 16;

/// What the variants of a customer share: a family of controllers, or `None` for doing without.
type Group = Option<u32>;

fn group_of(case: &Case, variant: u32) -> Group {
    let what = case.variants[variant as usize];
    (what.ports > 0).then_some(what.family)
}

impl Search<'_, '_> {
    /// Gathers and scatters at a site where that helps; returns the sites that changed.
    pub(super) fn switch(&mut self, site: usize) -> Vec<usize> {
        let case = self.state.case;
        if !case.has_alternatives {
            return Vec::new();
        }
        let mut groups: Vec<Group> = case.site_arcs(site).iter().map(|arc| group_of(case, arc.variant)).collect();
        groups.sort_unstable();
        groups.dedup();
        let mut changed = Vec::new();
        for group in groups {
            changed.extend(self.gather(site, group));
            changed.extend(self.scatter(site, group));
        }
        changed
    }

    /// Serves customers from a site by one group who are not yet, as many as make the best plan.
    fn gather(&mut self, site: usize, group: Group) -> Vec<usize> {
        let case = self.state.case;
        let mut arcs: Vec<(i64, Reach)> = Vec::new();
        let mut waiting: Vec<(i64, Reach)> = Vec::new();
        for arc in case.site_arcs(site) {
            if group_of(case, arc.variant) != group {
                continue;
            }
            let now = self.state.arc(arc.to as usize);
            if now.to == NOWHERE {
                waiting.push((arc.cost, *arc));
            } else if now.to as usize != site || group_of(case, now.variant) != group {
                arcs.push((arc.cost - now.cost, *arc));
            }
        }
        let order = |it: &(i64, Reach)| (it.0, it.1.variant);
        arcs.sort_unstable_by_key(order);
        waiting.sort_unstable_by_key(order);
        let arcs = arcs.into_iter().take(MAX_TOGETHER).map(|it| it.1).collect();
        self.keep_best(arcs, |search, arc| {
            let customer = arc.to as usize;
            // It may have come here in another of its variants.
            if search.state.assigned[customer] as usize == site
                && group_of(case, search.state.variant[customer]) == group
            {
                return;
            }
            let before = search.state.take(customer);
            if !insert(search.state, customer, |it| it.to as usize == site && it.variant == arc.variant) {
                search.state.serve(customer, before);
            }
            for (_, arc) in &waiting {
                if search.state.assigned[arc.to as usize] == NOWHERE {
                    insert(search.state, arc.to as usize, |it| it.to as usize == site);
                }
            }
        })
    }

    /// Serves customers of a group at a site otherwise, as many as make the best plan.
    fn scatter(&mut self, site: usize, group: Group) -> Vec<usize> {
        let case = self.state.case;
        let is_here = |arc: &Reach| arc.to as usize == site && group_of(case, arc.variant) == group;
        let mut members: Vec<(i64, u32)> = Vec::new();
        for &customer in &self.state.members[site] {
            let now = self.state.arc(customer as usize);
            let other = case.arcs(customer as usize).iter().find(|arc| !is_here(arc));
            if let Some(other) = other.filter(|_| is_here(&now)) {
                members.push((other.cost - now.cost, customer));
            }
        }
        members.sort_unstable();
        let members = members.into_iter().take(MAX_TOGETHER).map(|it| it.1).collect();
        self.keep_best(members, |search, customer| {
            let before = search.state.take(customer as usize);
            if !insert(search.state, customer as usize, |arc| !is_here(arc)) {
                search.state.serve(customer as usize, before);
            }
        })
    }

    /// Makes changes one after another and takes back those after the best plan; returns the sites that changed.
    fn keep_best<T>(&mut self, changes: Vec<T>, change: impl Fn(&mut Self, T)) -> Vec<usize> {
        let start = self.state.journal.len();
        let mut best = (self.state.n_unserved, self.state.cost);
        let mut end = start;
        for what in changes {
            self.work += 1;
            change(self, what);
            let value = (self.state.n_unserved, self.state.cost);
            if value < best {
                (best, end) = (value, self.state.journal.len());
            }
        }
        self.state.undo_to(end);
        let mut changed: Vec<usize> = Vec::new();
        for &(customer, before) in &self.state.journal[start..] {
            let now = self.state.assigned[customer as usize];
            let sites = before.map(|arc| arc.to).into_iter().chain([now]).filter(|&site| site != NOWHERE);
            changed.extend(sites.map(|site| site as usize));
        }
        changed.sort_unstable();
        changed.dedup();
        changed
    }
}
