//! What stands between the price and an order: approvals, questions, parts held back.

use dw_job::Job;
use dw_job::model::{Question, Status};

use super::rules::{ApprovalsMissing, NotOrderable, QuestionOpen};
use super::{MaterialLine, date};
use crate::Cx;
use crate::survey::Survey;

/// Tells of open questions, missing approvals, and what must not be ordered yet.
pub(super) fn report(cx: &mut Cx<'_>, job: &Job, survey: &Survey, lines: &[MaterialLine]) {
    for question in job.questions.iter().filter(|question| question.is_open()) {
        cx.sink.report(&QuestionOpen { overdue_days: overdue(job, question), question: question.clone() });
    }
    let unapproved: Vec<_> = survey
        .openings
        .iter()
        .filter(|opening| opening.status < Status::Approved)
        .map(|opening| opening.mark.clone())
        .collect();
    if !unapproved.is_empty() {
        cx.sink.report(&ApprovalsMissing { openings: unapproved, of: survey.openings.len() });
    }
    let (whole, part): (Vec<&MaterialLine>, Vec<&MaterialLine>) =
        lines.iter().filter(|line| line.held_back > 0.0).partition(|line| line.held_back >= line.quantity);
    let held: Vec<String> =
        whole.into_iter().map(|line| format!("{}: {} {}", line.device, line.quantity, line.unit)).collect();
    if !held.is_empty() {
        cx.sink.report(&NotOrderable { held, in_part: part.len(), of: lines.len() });
    }
}

/// Days by which an answer is late on the date of the job; `None` when it is not, or a date is missing or unreadable.
fn overdue(job: &Job, question: &Question) -> Option<i64> {
    let today = date::day_number(job.heading.date.as_deref()?)?;
    let due = date::day_number(question.due.as_deref()?)?;
    Some(today - due).filter(|days| *days > 0)
}
