//! Workings of the pass: whole-life cost of each distinct choice, false matches of each search.

use std::collections::BTreeSet;

use dw_core::{FigureId, Id, Input, InputValue, Working};

use super::bench::Bench;
use super::demand::Case;
use super::exclude::Picked;
use super::fit::Outfit;
use super::whole_life::{FORMULA, SOURCE};
use crate::Cx;
use crate::identity::searches::false_positive_identification;

/// Situations whose figures were shown, by their numbers.
#[derive(Default)]
pub(super) struct Shown {
    locks: BTreeSet<usize>,
    readings: BTreeSet<(usize, usize)>,
}

/// Shows the figures of one opening. A choice shared with an earlier opening is shown there.
pub(super) fn show(cx: &mut Cx<'_>, bench: &Bench<'_>, shown: &mut Shown, case: &Case<'_>, outfit: &Outfit<'_>) {
    let mark = case.surveyed.mark.text();
    if let Some(lock) = outfit.lock.as_ref().filter(|_| shown.locks.insert(outfit.lock_number)) {
        whole_life(cx, mark, "lock_whole_life", "Whole-life cost of the lock", lock);
    }
    let Some(main) = &outfit.reading.main else { return };
    if shown.readings.insert(outfit.reading_number) {
        whole_life(cx, mark, "reader_whole_life", "Whole-life cost of the reader with its share of control", main);
    }
    let search = main.chosen.as_ref().and_then(|chosen| chosen.detail.search);
    if let Some((rate, references)) = search {
        cx.sink.show(Working {
            figure: FigureId::new("opening", mark, "false_match"),
            title: "Chance that a search passes a wrong person",
            value: InputValue::from(false_positive_identification(rate, f64::from(references), 0.0)),
            unit: "",
            formula: "1 - (1 - FMR)^N",
            inputs: vec![
                Input::new("FMR", rate, ""),
                Input::new("N", references, ""),
                Input::new("limit", bench.max_false_match, ""),
            ],
            source: "ISO/IEC 19795-1; comparisons taken as independent",
        });
    }
}

fn whole_life<T: Clone>(cx: &mut Cx<'_>, mark: &str, name: &str, title: &'static str, picked: &Picked<'_, T>) {
    let Some(chosen) = &picked.chosen else { return };
    let mut inputs = vec![Input::new("device", chosen.device.id.text(), "")];
    inputs.extend(chosen.cost.inputs());
    inputs.push(Input::new("control", chosen.beside, ""));
    cx.sink.show(Working {
        figure: FigureId::new("opening", mark, name),
        title,
        value: InputValue::from(chosen.whole_life()),
        unit: "",
        formula: FORMULA,
        inputs,
        source: SOURCE,
    });
}
