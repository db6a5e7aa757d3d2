//! Units, money, ids, findings and workings: the vocabulary every other crate speaks.
//!
//! It depends on nothing of ours, does no input or output, and knows no device, opening or rule.

mod finding;
mod id;
mod money;
mod point;
mod rule;
mod sink;
mod units;
mod working;

pub use finding::{Finding, Place, Severity, Source};
pub use id::{
    BlockedAreaId, BuildingId, CableWayId, DeviceId, EnclosureId, ExistingId, GradeId, GroupId, Id, OpeningId,
    QuestionId, RoomId, ScheduleId, SpaceId, StoreyId, TaskId, ZoneId, natural_cmp,
};
pub use money::{Currency, Money};
pub use point::Point;
pub use rule::{Life, Rule, RuleInfo};
pub use sink::{Assumption, Sink};
pub use units::{
    AmpHours, Amps, Celsius, Hours, METRES_PER_FOOT, Metres, Minutes, Ohms, OhmsPerMetre, Seconds, SquareMm, Volts,
    Watts, is_unit_spelling, units_at_edge,
};
pub use working::{FigureId, Input, InputValue, Working};
