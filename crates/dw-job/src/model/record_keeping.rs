//! Pins, questions, acceptances and issued revisions.

use dw_core::{DeviceId, OpeningId, QuestionId, RoomId};

use super::FailMode;
use crate::text::{record, words};

words! {
    /// What decides at an opening, and where templates are matched.
    pub enum ArrangementKind {
        /// Ports on a controller in a telecom room; a reader of fingers, faces or veins matches them itself.
        Ports "ports",
        /// Ports on a controller in a telecom room that matches the fingers its readers take.
        MatchedInController "matched-in-controller",
        /// A unit at the opening decides by itself.
        OwnUnit "own-unit",
    }
}

record! {
    /// A pin: the engineer's own decision for an opening.
    pub struct Pin: "pin" by row {
        /// The opening.
        opening: Option<OpeningId>,
        /// Serve it from this room.
        room: Option<RoomId>,
        /// Serve it from none of these rooms.
        not_room: Vec<RoomId>,
        /// Read with this device on the way in.
        reader: Option<DeviceId>,
        /// Decide with this controller or unit.
        controller: Option<DeviceId>,
        /// Arrange it so.
        arrangement: Option<ArrangementKind>,
        /// Lock with this device.
        lock: Option<DeviceId>,
        /// What the lock does when power is lost.
        fail_mode: Option<FailMode>,
        /// Why.
        because: Option<String>,
    }
}

record! {
    /// Openings that must not share a controller: one failure must not take them together.
    pub struct Apart: "apart" by row {
        /// The openings; no two of them sit on one controller.
        openings: Vec<OpeningId>,
        /// Why.
        because: Option<String>,
    }
}

record! {
    /// An open question.
    pub struct Question: "question" by id: QuestionId {
        /// Number.
        id,
        /// The opening it is about.
        opening: Option<OpeningId>,
        /// The question.
        text: Option<String>,
        /// Who answers.
        owner: Option<String>,
        /// By when, `2026-12-01`.
        due: Option<String>,
        /// The answer, when it came.
        answer: Option<String>,
    }
}

impl Question {
    /// Whether it still waits for an answer.
    pub fn is_open(&self) -> bool {
        self.answer.as_deref().is_none_or(|answer| answer.trim().is_empty())
    }
}

record! {
    /// A finding somebody takes on themselves.
    pub struct Acceptance: "acceptance" by row {
        /// Code of the finding.
        code: Option<String>,
        /// Id of the object it is about; every object when absent.
        object: Option<String>,
        /// Who accepts it.
        name: Option<String>,
        /// When.
        date: Option<String>,
        /// Why.
        reason: Option<String>,
    }
}

record! {
    /// Where an opening stood in the revision that was issued.
    pub struct Issued: "issued" by row {
        /// The opening.
        opening: Option<OpeningId>,
        /// The revision.
        revision: Option<String>,
        /// The room that serves it.
        room: Option<RoomId>,
        /// The controller model.
        controller: Option<DeviceId>,
        /// Running number of the controller in its room.
        number: Option<u32>,
        /// First port taken.
        port: Option<u32>,
        /// How it was arranged.
        arrangement: Option<ArrangementKind>,
    }
}
