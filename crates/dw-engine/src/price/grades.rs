//! Grades of labour and their rates.

use std::collections::BTreeSet;

use dw_core::{GradeId, Money, TaskId};
use dw_job::catalogue;

use super::rates::Exchange;
use super::rules::LabourRateMissing;
use crate::Cx;

/// Grades by number: those of the catalogue, then those that tasks name and no catalogue defines.
pub(super) struct Grades {
    known: Vec<Grade>,
    fitter: Option<usize>,
    engineer: Option<usize>,
}

struct Grade {
    id: GradeId,
    name: String,
    rate: Option<Money>,
}

impl Grades {
    /// Grades of the catalogue with rates in the currency of the price.
    pub(super) fn of(cx: &Cx<'_>, exchange: Exchange) -> Self {
        let mut known: Vec<Grade> = Vec::new();
        for grade in &cx.catalogue.grades {
            known.push(Grade {
                id: grade.id.clone(),
                name: grade.name.clone().unwrap_or_else(|| grade.id.to_string()),
                rate: grade.rate_per_hour.map(|rate| exchange.to_job(rate)),
            });
        }
        for id in cx.catalogue.tasks.iter().filter_map(|task| task.grade.as_ref()) {
            if known.iter().all(|grade| grade.id != *id) {
                known.push(Grade { id: id.clone(), name: id.to_string(), rate: None });
            }
        }
        let number =
            |grade: Option<&catalogue::Grade>| known.iter().position(|it| Some(&it.id) == grade.map(|it| &it.id));
        // Where the catalogue has no grade at all, one that a task names may work.
        let first = (!known.is_empty()).then_some(0);
        let fitter = number(cx.catalogue.fitter()).or(first);
        let engineer = number(cx.catalogue.engineer()).or(first);
        Self { known, fitter, engineer }
    }

    /// Number of a grade that a task names; every such grade is known.
    pub(super) fn index(&self, id: &GradeId) -> usize {
        self.known.iter().position(|grade| grade.id == *id).unwrap_or(0)
    }

    /// The grade that fits devices; `None` in a catalogue without grades.
    pub(super) fn fitter(&self) -> Option<usize> {
        self.fitter
    }

    /// The grade that sets devices to work.
    pub(super) fn engineer(&self) -> Option<usize> {
        self.engineer
    }

    /// Name on paper.
    pub(super) fn name(&self, index: usize) -> String {
        self.known.get(index).map(|grade| grade.name.clone()).unwrap_or_default()
    }

    /// Rate for an hour; nothing where none is stated, which is told.
    pub(super) fn rate(&self, index: usize) -> Money {
        self.known.get(index).and_then(|grade| grade.rate).unwrap_or_default()
    }

    /// Tells of every grade that works and has no rate.
    pub(super) fn report(&self, cx: &mut Cx<'_>, used: &BTreeSet<usize>) {
        for grade in used.iter().filter_map(|index| self.known.get(*index)).filter(|grade| grade.rate.is_none()) {
            cx.sink.report(&LabourRateMissing { named_by: named_by(cx, &grade.id), grade: grade.id.clone() });
        }
        if self.known.is_empty() {
            cx.sink.report(&LabourRateMissing { grade: GradeId::new(catalogue::FITTER), named_by: None });
        }
    }
}

/// The first task that names a grade the catalogue does not define.
fn named_by(cx: &Cx<'_>, grade: &GradeId) -> Option<TaskId> {
    let defined = cx.catalogue.grades.iter().any(|known| known.id == *grade);
    let task = cx.catalogue.tasks.iter().find(|task| task.grade.as_ref() == Some(grade));
    task.filter(|_| !defined).map(|task| task.id.clone())
}
