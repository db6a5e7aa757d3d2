//! PRC-007.

use dw_core::{Place, rule};
use dw_job::model::Question;

rule! {
    /// ## What it checks
    /// Every question of the job has an answer.
    /// ## Why it matters
    /// Until it has, the opening it is about must not be ordered, and the price may change.
    /// ## Basis
    /// Questions of the job; lateness against the date of the job.
    /// ## Example
    /// Question 4, due 2026-11-01 from the customer's facility manager, is 24 days late.
    /// ## What to do
    /// Ask the owner, and write the answer into the job.
    pub struct QuestionOpen: "PRC-007" "question-open" Fix since "0.1" {
        /// The question.
        pub question: Question,
        /// Days by which it is late.
        pub overdue_days: Option<i64>,
    }
    place(it) { Place::of(&it.question.id).field("answer") }
    headline(it) {
        let owner = it.question.owner.as_deref().unwrap_or("nobody named");
        let due = it.question.due.as_deref().map_or_else(|| "no date set".to_owned(), |due| format!("due {due}"));
        let late = it.overdue_days.map(|days| format!(", {days} days late")).unwrap_or_default();
        format!("question {} is open: {owner}, {due}{late}", it.question.id)
    }
    notes(it) { it.question.text.iter().cloned().collect() }
    help(it) {
        match &it.question.owner {
            Some(owner) => vec![format!("Ask {owner}, and write the answer into the job")],
            None => vec!["Name an owner and a date, and write the answer into the job".to_owned()],
        }
    }
    related(it) { it.question.opening.iter().map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use dw_job::model::Question;

    use crate::price::testing::{Site, codes, headlines};

    fn asked(today: &str) -> Site {
        let mut site = Site::doors(1);
        site.job.heading.date = Some(today.to_owned());
        let mut question = Question::new("Q-4");
        question.owner = Some("facility manager".to_owned());
        question.due = Some("2026-11-01".to_owned());
        site.job.questions.push(question);
        site
    }

    #[test]
    fn a_late_question_says_by_how_much() {
        assert_eq!(
            headlines(&asked("2026-11-25")),
            ["question Q-4 is open: facility manager, due 2026-11-01, 24 days late"]
        );
    }

    #[test]
    fn on_the_due_day_it_is_not_late() {
        assert_eq!(headlines(&asked("2026-11-01")), ["question Q-4 is open: facility manager, due 2026-11-01"]);
    }

    #[test]
    fn an_answered_question_is_quiet() {
        let mut site = asked("2026-11-25");
        site.job.questions[0].answer = Some("Yes".to_owned());
        assert_eq!(codes(&site), [""; 0]);
    }
}
