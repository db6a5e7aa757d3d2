//! Typed ids: cheap to clone, ordered as a person counts (`D-2` before `D-10`).

use std::cmp::Ordering;
use std::fmt;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

/// What every id can do: name its kind of object in the user's words, and give its text.
pub trait Id {
    /// The kind of object named, as a person says it: "opening".
    const KIND: &'static str;
    /// The id as written in the job or catalogue.
    fn text(&self) -> &str;
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident $kind:literal),* $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, Hash, Serialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(Arc<str>);

        impl $name {
            /// The id with this text.
            pub fn new(text: &str) -> Self {
                Self(Arc::from(text))
            }
        }
        impl Id for $name {
            const KIND: &'static str = $kind;
            fn text(&self) -> &str {
                &self.0
            }
        }
        impl Ord for $name {
            fn cmp(&self, other: &Self) -> Ordering {
                natural_cmp(&self.0, &other.0)
            }
        }
        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
                Some(self.cmp(other))
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }
        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Debug::fmt(&self.0, f)
            }
        }
    )*};
}

ids! {
    /// A building.
    BuildingId "building",
    /// A storey of a building.
    StoreyId "storey",
    /// A space on a storey.
    SpaceId "space",
    /// A zone: a set of spaces with one protection level.
    ZoneId "zone",
    /// An opening, by its mark.
    OpeningId "opening",
    /// A telecom room.
    RoomId "room",
    /// A drawn cable way.
    CableWayId "cable way",
    /// A rectangle that no cable may cross.
    BlockedAreaId "blocked area",
    /// A group of people.
    GroupId "group",
    /// A time schedule.
    ScheduleId "schedule",
    /// A device of the catalogue.
    DeviceId "device",
    /// A grade of labour.
    GradeId "grade",
    /// A labour task.
    TaskId "task",
    /// Equipment already on site.
    ExistingId "existing equipment",
    /// An open question.
    QuestionId "question",
    /// An enclosure of the design.
    EnclosureId "enclosure",
}

/// Orders text with runs of digits compared as numbers; equal only when the texts are equal.
pub fn natural_cmp(a: &str, b: &str) -> Ordering {
    let (mut left, mut right) = (a.as_bytes(), b.as_bytes());
    // What both begin with decides nothing, but for a number that goes on behind it.
    let alike = left.iter().zip(right).take_while(|(x, y)| x == y).count();
    let number = left[..alike].iter().rev().take_while(|byte| byte.is_ascii_digit()).count();
    (left, right) = (&left[alike - number..], &right[alike - number..]);
    while let (Some(&x), Some(&y)) = (left.first(), right.first()) {
        if x.is_ascii_digit() && y.is_ascii_digit() {
            let (run_a, run_b) = (digit_run(left), digit_run(right));
            let (number_a, number_b) = (significant(&left[..run_a]), significant(&right[..run_b]));
            let order = number_a.len().cmp(&number_b.len()).then_with(|| number_a.cmp(number_b));
            if order != Ordering::Equal {
                return order;
            }
            (left, right) = (&left[run_a..], &right[run_b..]);
        } else if x == y {
            (left, right) = (&left[1..], &right[1..]);
        } else {
            return x.cmp(&y);
        }
    }
    left.len().cmp(&right.len()).then_with(|| a.cmp(b))
}

fn digit_run(bytes: &[u8]) -> usize {
    bytes.iter().take_while(|byte| byte.is_ascii_digit()).count()
}

fn significant(digits: &[u8]) -> &[u8] {
    let zeros = digits.iter().take_while(|&&byte| byte == b'0').count();
    &digits[zeros..]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_order_as_a_person_counts() {
        let mut marks = ["D-10", "D-2", "A", "D-02", "D-2b", "D-113", "D-12", "D-1"].map(OpeningId::new);
        marks.sort();
        assert_eq!(marks.each_ref().map(Id::text), ["A", "D-1", "D-02", "D-2", "D-2b", "D-10", "D-12", "D-113"]);
    }
}
