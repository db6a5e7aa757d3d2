//! Cables that are in the wall already: where they end.

use std::collections::BTreeMap;

use dw_core::{OpeningId, RoomId};
use dw_job::Job;
use dw_job::model::ExistingCable;

/// Existing cables by opening.
#[derive(Debug)]
pub(super) struct InWall<'j>(BTreeMap<&'j OpeningId, &'j ExistingCable>);

impl<'j> InWall<'j> {
    pub(super) fn new(job: &'j Job) -> Self {
        Self(job.openings.iter().map(|opening| (&opening.mark, &opening.existing_cable)).collect())
    }

    /// The existing cable of an opening.
    pub(super) fn of(&self, mark: &OpeningId) -> Option<&'j ExistingCable> {
        self.0.get(mark).copied()
    }

    /// Whether it ends in this room; one whose room the survey does not name ends wherever it is wanted.
    pub(super) fn ends_in(&self, mark: &OpeningId, room: &RoomId) -> bool {
        self.of(mark).is_none_or(|cable| cable.room.as_ref().is_none_or(|end| end == room))
    }
}
