//! Proposal summary: what is proposed in plain words, what it costs, who does what, what is not included, what is open.

use dw_core::{Assumption, Finding, Money, Severity};
use dw_engine::equip::ControlNeed;

use super::rows::{field, table};
use super::split::split_of_works;
use super::title::valid_until;
use super::view::{View, shown};
use super::words::{self, UNKNOWN, capital, count, listed};
use super::{architecture, price_parts};
use super::{quantities, title};
use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Table};

/// Assumptions named on the proposal; the others stand on their own paper.
const ASSUMPTIONS_NAMED: usize = 12;

/// The proposal summary.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let mut blocks = vec![Block::Text(what(view)), Block::Text(how(view)), Block::Facts(validity(view))];
    blocks.push(Block::Table(price_parts::table(view)));
    blocks.extend(price_parts::unpriced(view));
    blocks.push(Block::Facts(later_costs(view)));
    blocks.extend(placement(view));
    blocks.extend(architecture::blocks(view));
    blocks.push(Block::Table(quantities::openings(view)));
    blocks.push(Block::Table(quantities::equipment(view)));
    blocks.push(Block::Table(split_of_works(view)));
    blocks.extend(exclusions(view));
    blocks.extend(assumptions(view));
    blocks.extend(open(view));
    blocks.extend(view.cautions());
    Paper {
        id: "proposal".to_owned(),
        title: "Proposal summary".to_owned(),
        orientation: Orientation::Portrait,
        blocks,
    }
}

/// Which openings, by kind.
fn what(view: &View<'_>) -> String {
    let design = view.design;
    let kinds = super::rows::by_key(&design.survey.openings, |opening| opening.kind);
    let kinds: Vec<String> = kinds
        .iter()
        .map(|(kind, all)| {
            let (one, many) = words::kind(*kind);
            count(all.len(), one, many)
        })
        .collect();
    let site = if design.heading.site.is_empty() { String::new() } else { format!(" of {}", design.heading.site) };
    let openings = count(design.survey.openings.len(), "opening", "openings");
    let free = design.equipment.openings.iter().filter(|equipped| equipped.control == ControlNeed::None).count();
    let free = match free {
        0 => String::new(),
        free => format!(
            " {} {} without electronic control.",
            capital(&count(free, "opening", "openings")),
            verb(free, "stays", "stay")
        ),
    };
    let lost = match design.placement.unserved.len() {
        0 => String::new(),
        lost => format!(
            " As the job stands {} {} served and not wholly in the price: see below.",
            count(lost, "opening", "openings"),
            verb(lost, "is not", "are not")
        ),
    };
    format!("This proposal covers {openings}{site}: {}.{free}{lost}", listed(&kinds))
}

fn verb(number: usize, one: &'static str, many: &'static str) -> &'static str {
    if number == 1 { one } else { many }
}

/// What decides, what carries it through a power cut, where the head-end runs.
fn how(view: &View<'_>) -> String {
    let design = view.design;
    let settings = &design.survey.settings;
    let placed = &design.placement.controllers;
    let rooms = super::rows::by_key(placed, |controller| controller.room.clone()).len();
    let own = |need: &ControlNeed| matches!(need, ControlNeed::OwnUnit { .. });
    let units = design.equipment.openings.iter().filter(|equipped| own(&equipped.control)).count();
    let mut sentences = Vec::new();
    if !placed.is_empty() {
        let controllers = capital(&count(placed.len(), "controller", "controllers"));
        let rooms = count(rooms, "telecom room", "telecom rooms");
        sentences.push(format!(
            "{controllers} in {rooms} {} who may pass, also while the network is down.",
            verb(placed.len(), "decides", "decide")
        ));
    }
    if units > 0 {
        let units_at =
            count(units, "opening has a unit that decides by itself", "openings have units that decide by themselves");
        sentences.push(format!("{}.", capital(&units_at)));
    }
    let backed = design.power.enclosures.iter().filter(|enclosure| enclosure.batteries > 0).count();
    if backed > 0 {
        sentences.push(format!(
            "{} with batteries {} on for {} h when the mains fails.",
            capital(&count(backed, "enclosure", "enclosures")),
            verb(backed, "carries", "carry"),
            words::plain_number(settings.standby_h.get()),
        ));
    }
    sentences.push(head_end(view));
    sentences.join(" ")
}

/// Head-end and licences.
fn head_end(view: &View<'_>) -> String {
    let capacity = &view.design.capacity;
    let place = words::head_end(view.design.survey.settings.head_end);
    let Some(device) = &capacity.head_end else {
        return format!("The head-end {place}; none in the catalogue fits, see the findings.");
    };
    let model = match capacity.head_ends {
        1 => view.describe(device).to_owned(),
        number => format!("{number} × {}", view.describe(device)),
    };
    let licences: Vec<String> =
        capacity.licences.iter().map(|(licence, number)| format!("{number} × {}", view.describe(licence))).collect();
    let licences = if licences.is_empty() { String::new() } else { format!(" Licences: {}.", listed(&licences)) };
    format!("The head-end {place}: {model}.{licences}")
}

/// How long the proposal holds.
fn validity(view: &View<'_>) -> Vec<Fact> {
    let heading = &view.design.heading;
    let date = |date: Option<crate::model::Date>| date.map_or_else(|| Cell::text(UNKNOWN), Cell::date);
    let text = |text: &str| if text.is_empty() { Cell::text(UNKNOWN) } else { Cell::text(text) };
    vec![
        Fact::new("Date of this proposal", date(title::issue_date(view))),
        Fact::new("Valid until", date(valid_until(view))),
        Fact::new("Prices from catalogue", text(&heading.catalogue)),
        Fact::new("Figures of codes from profile", text(&heading.profile)),
    ]
}

/// Costs after the day of hand-over, and how good the placement is known to be.
fn later_costs(view: &View<'_>) -> Vec<Fact> {
    let (price, placement) = (&view.design.price, &view.design.placement);
    let years = words::plain_number(price.whole_life_years);
    let whole_life = format!("Net price with keeping and replacing over {years} years, discounted");
    let mut facts = vec![
        Fact::new("Yearly cost of keeping it", shown(Cell::money(price.yearly.amount()), "price", "", "yearly")),
        Fact::new(whole_life, shown(Cell::money(price.whole_life.amount()), "price", "", "whole_life")),
    ];
    if placement.gap.is_finite() && placement.cost > Money::ZERO {
        let gap = shown(Cell::number((placement.gap * 100.0).max(0.0), 2), "job", "", "placement_gap");
        let label = "Controllers, rooms and cable are placed within";
        facts.push(Fact::new(label, gap).in_unit("% of the least cost for this data"));
    }
    facts
}

/// What staying with an issued revision costs, and which openings nothing can serve.
fn placement(view: &View<'_>) -> Option<Block> {
    let placement = &view.design.placement;
    let staying = placement.staying_put.map(|more| {
        let more = view.money_text(more);
        format!("Openings of the revision issued before stay where they were; a fresh plan would cost {more} less.")
    });
    let unserved = match placement.unserved.as_slice() {
        [] => None,
        marks => Some(format!(
            "No room can serve {}, so no controller or cable for them is in the price; the findings say why.",
            words::shortened(marks, 12)
        )),
    };
    let lengths = "Lengths are estimates within 10 to 15 % (common practice), so that figure holds for this data only.";
    let growth = format!("{lengths} {}", view.design.growth.in_words(&|amount| view.money_text(amount)));
    let sentences: Vec<String> = std::iter::once(growth).chain(staying).chain(unserved).collect();
    (placement.cost > Money::ZERO).then(|| Block::Text(sentences.join(" ")))
}

fn exclusions(view: &View<'_>) -> Vec<Block> {
    let exclusions = &view.design.heading.exclusions;
    let text = if exclusions.is_empty() {
        Block::Text("No exclusions are stated.".to_owned())
    } else {
        Block::List(exclusions.clone())
    };
    vec![Block::Heading("Not included".to_owned()), text]
}

/// What was taken as read for the whole job, and how many other values were.
fn assumptions(view: &View<'_>) -> Vec<Block> {
    let all = &view.design.assumptions;
    if all.is_empty() {
        return Vec::new();
    }
    let mut all: Vec<&Assumption> = all.iter().collect();
    all.sort_by_key(|assumption| !assumption.place.id.is_empty());
    let mut lines: Vec<String> = all.iter().take(ASSUMPTIONS_NAMED).map(|assumption| in_words(assumption)).collect();
    let rest = all.len() - lines.len();
    if rest > 0 {
        let more = count(rest, "more stands", "more stand");
        lines.push(format!("{more} on the paper \"Findings and assumptions\"."));
    }
    vec![Block::Heading("Assumptions that matter".to_owned()), Block::List(lines)]
}

/// "Power standby: 4 h (common practice)", with the object where it is about one.
fn in_words(assumption: &Assumption) -> String {
    let place = &assumption.place;
    let field = place.field.as_deref().unwrap_or(&place.kind).replace(['.', '_'], " ");
    let about =
        if place.id.is_empty() { capital(&field) } else { format!("{} {}, {field}", capital(&place.kind), place.id) };
    format!("{about}: {} ({})", assumption.value, assumption.because)
}

/// Findings of one rule.
struct Open<'a> {
    severity: Severity,
    findings: Vec<&'a Finding>,
}

/// What must be settled before anything is ordered.
fn open(view: &View<'_>) -> Vec<Block> {
    let blocking = view.design.findings.iter().filter(|finding| finding.severity != Severity::Note);
    let rules: Vec<Open<'_>> = super::rows::by_key(blocking, |finding| (finding.severity, finding.code))
        .into_iter()
        .map(|((severity, _), findings)| Open { severity, findings })
        .collect();
    let heading = Block::Heading("To settle before ordering".to_owned());
    if rules.is_empty() {
        return vec![
            heading,
            Block::Text("No conflict found with the rules checked that would hold back an order.".to_owned()),
        ];
    }
    let text = format!(
        "{} (must not be built so) and {} (to settle before ordering) are open. Ordering waits for them.",
        capital(&count(view.design.count(Severity::Stop), "stop", "stops")),
        count(view.design.count(Severity::Fix), "fix", "fixes"),
    );
    vec![heading, Block::Text(text), Block::Table(open_table(&rules))]
}

/// What the findings after the first are about, each named once.
fn others<'a>(findings: &[&'a Finding]) -> Vec<&'a str> {
    let mut ids: Vec<&str> = Vec::new();
    for finding in findings {
        let id = finding.place.id.as_str();
        if !id.is_empty() && !ids.contains(&id) {
            ids.push(id);
        }
    }
    let first = findings.first().map_or("", |finding| finding.place.id.as_str());
    ids.retain(|id| *id != first);
    ids
}

fn open_table(rules: &[Open<'_>]) -> Table {
    let first =
        |rule: &Open<'_>, part: fn(&Finding) -> String| rule.findings.first().map_or_else(String::new, |f| part(f));
    let fields = [
        field(Column::text("Severity", 0.8), |rule: &Open<'_>| Cell::text(capital(&rule.severity.to_string()))),
        field(Column::text("Code", 0.9), move |rule: &Open<'_>| Cell::text(first(rule, |f| f.code.to_owned()))),
        field(Column::text("Finding", 4.5), move |rule: &Open<'_>| {
            let others = others(&rule.findings);
            let also =
                if others.is_empty() { String::new() } else { format!(". Also: {}", words::shortened(&others, 12)) };
            Cell::text(format!("{}{also}", first(rule, |f| f.headline.clone())))
        }),
        field(Column::text("Way out", 3.8), move |rule: &Open<'_>| {
            Cell::text(first(rule, |f| f.help.first().cloned().unwrap_or_default()))
        }),
    ];
    table("open-findings", "Open findings", &fields, rules)
}
