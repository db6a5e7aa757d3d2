//! A clash in the user's words: demands of one kind stand together, a headline counts places and openings.

use std::collections::BTreeSet;

use dw_core::OpeningId;

use super::{Clashes, Demand, Proof};
use crate::place::solve::Work;
use crate::place::statement::Resource;
use crate::place::{Clash, Demanded};
use crate::survey::Survey;

/// Marks named one by one in a sentence; the others are counted.
const MAX_NAMED: usize = 4;

/// Demands named in a headline.
const MAX_IN_HEADLINE: usize = 2;

impl Clashes<'_> {
    /// A proof as it is told.
    pub(super) fn clash(&self, proof: &Proof, work: &mut Work<'_, '_>) -> Clash {
        let groups = groups(&proof.members);
        let told = |members: &Vec<&Demand>| {
            let way_out = self.way_out(proof, members, work);
            Demanded { text: self.say(members), openings: self.marks(members.iter().copied()), way_out }
        };
        let demands: Vec<Demanded> = groups.iter().map(told).collect();
        let unserved: BTreeSet<&OpeningId> = proof.unserved.iter().map(|&it| &self.statement.marks[it]).collect();
        Clash {
            unserved: unserved.into_iter().cloned().collect(),
            headline: self.headline(&groups),
            demands,
            openings: self.marks(proof.members.iter()),
            is_irreducible: proof.is_irreducible,
        }
    }

    /// What clashes, in one line: the limits and for how many openings there is a place.
    fn headline(&self, groups: &[Vec<&Demand>]) -> String {
        let served: Vec<&Demand> =
            groups.iter().flatten().copied().filter(|it| matches!(it, Demand::Serve(_))).collect();
        let others: Vec<&Vec<&Demand>> = groups.iter().filter(|group| !matches!(group[0], Demand::Serve(_))).collect();
        // The limits of rooms say most; how the openings came to be there stands in the notes.
        let is_limit = |group: &&&Vec<&Demand>| {
            matches!(group[0], Demand::Apart(_) | Demand::Limit(..) | Demand::Spare | Demand::Refused(_))
        };
        let limits: Vec<String> = others.iter().filter(is_limit).map(|group| self.say(group)).collect();
        let has_limits = limits.iter().len() > 0;
        let named = if has_limits { limits } else { others.iter().map(|group| self.say(group)).collect() };
        let more = named.len().saturating_sub(MAX_IN_HEADLINE);
        let line = named.into_iter().take(MAX_IN_HEADLINE).collect::<Vec<_>>().join(", ");
        let more = if more > 0 { format!(" and {more} more demands") } else { String::new() };
        if !has_limits || served.len() < 2 {
            return format!("{line}{more}");
        }
        let how = match others.first().map(|group| group[0]) {
            Some(Demand::Pin(..)) => "pinned or bound there",
            Some(Demand::Stay(..)) => "issued or bound there",
            _ => "that can go nowhere else",
        };
        format!("{line}{more}: place for {} of the {} openings {how}", served.len() - 1, served.len())
    }

    /// Demands of one kind in words.
    fn say(&self, members: &[&Demand]) -> String {
        let room = |site: usize| &self.statement.rooms[site];
        let marks = self.marks(members.iter().copied());
        let (who, are) = (listed(&marks), if marks.len() == 1 { "is" } else { "are" });
        match members[0] {
            Demand::Pin(_, site) => format!("{who} {are} pinned to {}", room(*site)),
            Demand::Forbidden(_, site) => format!("{who} {are} kept out of {} by a pin", room(*site)),
            Demand::Apart(_) => format!("{who} share no controller"),
            Demand::Stay(_, site) if marks.len() == 1 => format!("{who} stays in {} as issued", room(*site)),
            Demand::Stay(_, site) => format!("{who} stay in {} as issued", room(*site)),
            Demand::Length(customer) => {
                let limit = &self.reach.limits[self.statement.openings[*customer]];
                format!("cables of {who} are at most {:.1} long ({})", limit.length_m, limit.because)
            }
            Demand::Lengths => {
                "the cables of the others keep their limits, which leaves them no further room".to_owned()
            }
            Demand::Limit(site, resource) => limit_words(self.survey, *site, *resource),
            Demand::Refused(device) => format!("{device} is refused by the policy"),
            Demand::Spare => format!("{} % of the ports stay free, room by room", self.survey.settings.spare_percent),
            Demand::Serve(_) => format!("{who} must be served{}", self.ports(members)),
        }
    }

    /// The ports of openings to be served, where there are several openings.
    fn ports(&self, members: &[&Demand]) -> String {
        let ports = |demand: &&Demand| match demand {
            Demand::Serve(it) => self.free(*it).variants.iter().map(|variant| variant.ports).min().unwrap_or(0),
            _ => 0,
        };
        let total: u32 = members.iter().map(ports).sum();
        if members.len() > 1 && total > 0 {
            format!(" ({} openings, {total} ports)", members.len())
        } else {
            String::new()
        }
    }

    /// Marks of the openings of some demands, ascending.
    pub(super) fn marks<'d>(&self, demands: impl Iterator<Item = &'d Demand>) -> Vec<OpeningId> {
        let mut customers = BTreeSet::new();
        for demand in demands {
            match demand {
                Demand::Apart(group) => customers.extend(self.statement.problem.apart[*group].iter().copied()),
                other => customers.extend(customer(other)),
            }
        }
        customers.into_iter().map(|customer| self.statement.marks[customer].clone()).collect()
    }
}

/// The customer a demand is about; a demand that several share none.
pub(super) fn customer(demand: &Demand) -> Option<usize> {
    match demand {
        Demand::Pin(it, _)
        | Demand::Forbidden(it, _)
        | Demand::Stay(it, _)
        | Demand::Length(it)
        | Demand::Serve(it) => Some(*it),
        Demand::Apart(_) | Demand::Lengths | Demand::Limit(..) | Demand::Refused(_) | Demand::Spare => None,
    }
}

/// Members of one kind, and of one room where rooms matter, stand together in the order of blame.
fn groups(members: &[Demand]) -> Vec<Vec<&Demand>> {
    let mut groups: Vec<Vec<&Demand>> = Vec::new();
    for member in members {
        let is_alike = |group: &&mut Vec<&Demand>| match (group[0], member) {
            (Demand::Pin(_, a), Demand::Pin(_, b))
            | (Demand::Forbidden(_, a), Demand::Forbidden(_, b))
            | (Demand::Stay(_, a), Demand::Stay(_, b)) => a == b,
            (Demand::Serve(_), Demand::Serve(_)) => true,
            _ => false,
        };
        match groups.iter_mut().find(is_alike) {
            Some(group) => group.push(member),
            None => groups.push(vec![member]),
        }
    }
    groups
}

/// Marks in a sentence: all of a few, some of many.
pub(super) fn listed(marks: &[OpeningId]) -> String {
    let named: Vec<String> = marks.iter().map(ToString::to_string).collect();
    match named.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, others)) if named.len() <= MAX_NAMED => format!("{} and {last}", others.join(", ")),
        Some(_) => format!("{} and {} more", named[..MAX_NAMED - 1].join(", "), named.len() - MAX_NAMED + 1),
    }
}

/// A limit of a room in words.
pub(in crate::place) fn limit_words(survey: &Survey, site: usize, resource: Resource) -> String {
    let room = &survey.rooms[site];
    let (has, limit, what) = match resource {
        Resource::Controllers => ("holds at most", room.max_controllers, "controller"),
        Resource::EnclosureUnits => ("has room for", room.enclosure_places, "enclosure"),
        Resource::NetworkPorts => ("has", room.network_ports, "free network port"),
    };
    let number = limit.unwrap_or(0);
    format!("{} {has} {number} {what}{}", room.id, if number == 1 { "" } else { "s" })
}
