//! The card order: how many cards, what they carry, and which numbers each group gets.

use dw_core::{FigureId, GroupId, Input, Place};
use dw_job::Job;
use dw_job::model::{CardNumber, CardRange};
use dw_job::text::Record;

use super::plan::{CardOrder, NumberBlock};
use super::rules::{CardLayoutUnclear, CardNumberOutOfRange, CardNumbersExhausted, CardNumbersTwice};
use crate::Cx;
use crate::credential::{self, Block, Layout, Register, Series};
use crate::survey::Survey;

/// Cards one group needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Need {
    group: GroupId,
    planned: u32,
    kept: u32,
    spares: u32,
}

impl Need {
    /// Cards to order.
    pub(super) fn ordered(&self) -> u32 {
        self.planned.saturating_sub(self.kept).saturating_add(self.spares)
    }
}

/// Cards each group needs: people with growth, less the cards they keep, and spares on what is left, rounded up.
pub(super) fn needs(job: &Job, survey: &Survey) -> Vec<Need> {
    let spare_share = job.policy.cards.spare_percent.unwrap_or(0.0) / 100.0;
    let need = |(group, people): (&GroupId, &crate::survey::Population)| {
        let ranges = job.card_ranges.iter().filter(|range| range.kept_by.as_ref() == Some(group));
        let kept = ranges.filter_map(block).fold(0_u64, |sum, block| sum.saturating_add(block.count()));
        let kept = u32::try_from(kept).unwrap_or(u32::MAX).min(people.planned);
        // What is only the rounding error of a product is no further card.
        let spares = (f64::from(people.planned - kept) * spare_share - 1e-6).ceil().max(0.0) as u32;
        Need { group: group.clone(), planned: people.planned, kept, spares }
    };
    survey.groups.iter().map(need).collect()
}

/// The order, with the numbers of each group where layout and facility code are known.
///
/// Raises `CAP-010` to `CAP-013`. Numbers run in sequence from the first one stated, else after the highest in use; the
/// groups follow one another in the order of their names. Nothing is guessed: without a layout there are no numbers.
pub(super) fn order(cx: &mut Cx<'_>, job: &Job, needs: &[Need]) -> CardOrder {
    let sum = |of: fn(&Need) -> u32| needs.iter().fold(0_u32, |sum, need| sum.saturating_add(of(need)));
    let cards = &job.policy.cards;
    let mut order = CardOrder {
        quantity: sum(Need::ordered),
        people: sum(|need| need.planned),
        kept: sum(|need| need.kept),
        spares: sum(|need| need.spares),
        technology: cards.technology.clone(),
        layout: cards.layout.clone(),
        facility: cards.facility.map(|code| code.0),
        ranges_in_use: u32::try_from(job.card_ranges.len()).unwrap_or(u32::MAX),
        blocks: Vec::new(),
    };
    let mut register = in_use(cx, job);
    if order.quantity == 0 {
        return order;
    }
    let place = Place::named("policy", "");
    let Some(series) = series(cx, place.clone(), "cards.", cards.layout.as_deref(), cards.facility, order.quantity)
    else {
        return order;
    };
    show_repeats(cx, &series, order.quantity);
    let stated = cards.first_number.map(|first| first.0);
    let numbers = stated.map_or_else(
        || register.room_for(&series, u64::from(order.quantity)),
        |first| Block::of(first, u64::from(order.quantity)),
    );
    let Some(numbers) = numbers else {
        let (needed, free) = (order.quantity, register.free(&series));
        cx.sink.report(&CardNumbersExhausted { needed, free, facility: series.facility });
        return order;
    };
    let first_place = place.field("cards.first_number");
    if let Err(why) = series.layout.fits(series.facility, numbers.last) {
        cx.sink.report(&CardNumberOutOfRange { place: first_place, what: format!("last of the new cards: {why}") });
        return order;
    }
    if let Err(clashes) = register.issue(&series, numbers, "new cards") {
        for clash in clashes {
            cx.sink.report(&CardNumbersTwice {
                place: first_place.clone(),
                holder: "new cards".to_owned(),
                other: clash.holder,
                numbers: clash.numbers,
            });
        }
        return order;
    }
    order.blocks = share_out(needs, numbers);
    order
}

/// One block after another, in the order of the groups.
fn share_out(needs: &[Need], numbers: Block) -> Vec<NumberBlock> {
    let mut next = numbers.first;
    let mut blocks = Vec::new();
    for need in needs {
        if let Some(block) = Block::of(next, u64::from(need.ordered())) {
            blocks.push(NumberBlock {
                group: need.group.clone(),
                spares: need.spares,
                first: block.first,
                last: block.last,
            });
            next = block.last.saturating_add(1);
        }
    }
    blocks
}

/// The numbers in use; tells of those held twice and of those that cannot be.
fn in_use(cx: &mut Cx<'_>, job: &Job) -> Register {
    let mut register = Register::default();
    for (row, range) in job.card_ranges.iter().enumerate() {
        let place = Place::named(CardRange::KIND, &(row + 1).to_string());
        let cards = block(range).map_or(0, |block| u32::try_from(block.count()).unwrap_or(u32::MAX));
        let Some(series) = series(cx, place.clone(), "", range.layout.as_deref(), range.facility, cards) else {
            continue;
        };
        let Some(block) = block(range) else {
            let what = "first and last number are not both stated, the lower one first".to_owned();
            cx.sink.report(&CardNumberOutOfRange { place: place.field("first"), what });
            continue;
        };
        if let Err(why) = series.layout.fits(series.facility, block.last) {
            cx.sink.report(&CardNumberOutOfRange { place: place.field("last"), what: why.to_string() });
            continue;
        }
        let holder = range.holder.clone().unwrap_or_else(|| format!("card range {}", row + 1));
        for clash in register.record(&series, block, &holder) {
            let place = place.clone().field("first");
            let (holder, other, numbers) = (holder.clone(), clash.holder, clash.numbers);
            cx.sink.report(&CardNumbersTwice { place, holder, other, numbers });
        }
    }
    register
}

/// The numbers of a range; `None` where an end is missing or they stand in the wrong order.
fn block(range: &CardRange) -> Option<Block> {
    let (first, last) = (range.first?.0, range.last?.0);
    (first <= last).then_some(Block { first, last })
}

/// Layout and facility code as stated; tells what is missing, unclear or out of range.
fn series(
    cx: &mut Cx<'_>,
    place: Place,
    prefix: &str,
    layout: Option<&str>,
    facility: Option<CardNumber>,
    cards: u32,
) -> Option<Series> {
    let facility = facility.map(|code| code.0);
    let unclear = |cx: &mut Cx<'_>, field: &str, what: String| {
        cx.sink.report(&CardLayoutUnclear { place: place.clone().field(&format!("{prefix}{field}")), cards, what });
        None
    };
    let Some(written) = layout else { return unclear(cx, "layout", "the layout is not stated".to_owned()) };
    let layout = match Layout::read(written) {
        Ok(layout) => layout,
        Err(why) => return unclear(cx, "layout", format!("the layout is not clear: {why}")),
    };
    if layout.most_facility().is_some() && facility.is_none() {
        return unclear(cx, "facility", "the facility code is not stated".to_owned());
    }
    if let Err(why) = layout.fits(facility, 0) {
        let place = place.field(&format!("{prefix}facility"));
        cx.sink.report(&CardNumberOutOfRange { place, what: why.to_string() });
        return None;
    }
    Some(Series { layout, facility })
}

/// What a supplier who numbers at random would risk.
fn show_repeats(cx: &mut Cx<'_>, series: &Series, cards: u32) {
    let codes = series.layout.most_number().saturating_add(1);
    let chance = credential::repeat_chance(u64::from(cards), codes);
    let inputs = vec![Input::new("cards", cards, ""), Input::new("codes", codes as f64, "")];
    let working = credential::REPEAT_CHANCE.working(FigureId::new("job", "", "card_repeat_chance"), chance, inputs);
    cx.sink.show(working);
}
