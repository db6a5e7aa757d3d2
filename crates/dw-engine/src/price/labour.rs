//! Hours of labour, by task and grade, and by opening.
//!
//! Hours are counted in whole thousandths, so that sums are exact and no order of adding changes them.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, Hours, Money};
use dw_job::catalogue::{Device, DeviceKind, Interface, Task, TaskBasis};
use dw_job::model::Keep;
use rust_decimal::Decimal;

use super::LabourLine;
use super::grades::Grades;
use super::materials::decimal;
use super::rules::{AdaptHoursMissing, LabourHoursMissing, TaskIncomplete};
use super::takeoff::{Design, Piece};
use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Fitted};

/// Thousandths of an hour.
pub(super) type Milli = i64;

/// Tasks that every catalogue has; those of the catalogue follow.
const FIT: usize = 0;
const COMMISSION: usize = 1;
const PULL: usize = 2;
const ADAPT: usize = 3;
const BUILT_IN: [&str; 4] = ["Fit devices", "Set devices to work and test", "Pull cable", "Adapt what stays"];

/// What an hour at an opening is for.
#[derive(Clone, Copy)]
enum Sort {
    Devices,
    Cable,
    Tasks,
}

/// Hours at one opening.
#[derive(Clone, Debug, Default)]
pub(super) struct Spent {
    /// By grade.
    pub(super) by_grade: BTreeMap<usize, Milli>,
    /// Fitting, setting to work and adapting.
    pub(super) devices: Milli,
    /// Pulling.
    pub(super) cable: Milli,
    /// Tasks of the catalogue.
    pub(super) tasks: Milli,
}

impl Spent {
    /// All hours.
    pub(super) fn total(&self) -> Milli {
        self.devices.saturating_add(self.cable).saturating_add(self.tasks)
    }
}

/// All hours of the job.
pub(super) struct Timesheet {
    /// Normal time and out of hours, by task and grade.
    booked: BTreeMap<(usize, usize), [Milli; 2]>,
    /// In the order of the survey.
    pub(super) openings: Vec<Spent>,
    out_of_hours: Vec<bool>,
    names: Vec<String>,
}

/// Everything there is to do.
pub(super) fn timesheet(cx: &mut Cx<'_>, design: Design<'_>, pieces: &[Piece], grades: &Grades) -> Timesheet {
    let openings = &design.survey.openings;
    let tasks = cx.catalogue.tasks.iter().map(|task| task.name.clone().unwrap_or_else(|| task.id.to_string()));
    let mut sheet = Timesheet {
        booked: BTreeMap::new(),
        openings: vec![Spent::default(); openings.len()],
        out_of_hours: openings.iter().map(|opening| opening.out_of_hours).collect(),
        names: BUILT_IN.iter().map(|&name| name.to_owned()).chain(tasks).collect(),
    };
    devices(cx, pieces, grades, &mut sheet);
    cables(cx, design, grades, &mut sheet);
    adapted(cx, design, grades, &mut sheet);
    for (index, task) in cx.catalogue.tasks.iter().enumerate() {
        catalogue_task(cx, design, grades, BUILT_IN.len() + index, task, &mut sheet);
    }
    sheet
}

impl Timesheet {
    fn book(&mut self, task: usize, sort: Sort, grade: usize, opening: Option<usize>, hours: Milli) {
        if hours <= 0 {
            return;
        }
        let late = opening.is_some_and(|index| self.out_of_hours.get(index) == Some(&true));
        let line = &mut self.booked.entry((task, grade)).or_default()[usize::from(late)];
        *line = line.saturating_add(hours);
        if let Some(spent) = opening.and_then(|index| self.openings.get_mut(index)) {
            let by_sort = match sort {
                Sort::Devices => &mut spent.devices,
                Sort::Cable => &mut spent.cable,
                Sort::Tasks => &mut spent.tasks,
            };
            *by_sort = by_sort.saturating_add(hours);
            let by_grade = spent.by_grade.entry(grade).or_default();
            *by_grade = by_grade.saturating_add(hours);
        }
    }

    /// The lines of labour, by task and grade. Each is (hours + out of hours x factor) x rate to the cent.
    pub(super) fn lines(&self, grades: &Grades, factor: Decimal) -> Vec<LabourLine> {
        let line = |(&(task, grade), &[normal, late]): (&(usize, usize), &[Milli; 2])| LabourLine {
            task: self.names.get(task).cloned().unwrap_or_default(),
            grade: grades.name(grade),
            hours_h: hours(normal),
            out_of_hours_h: hours(late),
            rate: grades.rate(grade),
            total: grades.rate(grade).times(in_hours(normal) + in_hours(late) * factor),
        };
        self.booked.iter().map(line).collect()
    }

    /// Grades that work at all.
    pub(super) fn grades_used(&self) -> BTreeSet<usize> {
        self.booked.keys().map(|key| key.1).collect()
    }

    /// Labour of each opening at cost, in the order of the survey.
    pub(super) fn by_opening(&self, grades: &Grades, factor: Decimal) -> Vec<Money> {
        let cost = |(spent, late): (&Spent, &bool)| {
            let by_grade = spent.by_grade.iter().map(|(&grade, &milli)| {
                let paid = if *late { in_hours(milli) * factor } else { in_hours(milli) };
                grades.rate(grade).times(paid)
            });
            by_grade.sum()
        };
        self.openings.iter().zip(&self.out_of_hours).map(cost).collect()
    }
}

/// Thousandths of an hour as hours.
pub(super) fn hours(milli: Milli) -> Hours {
    Hours::new(milli as f64 / 1000.0)
}

fn in_hours(milli: Milli) -> Decimal {
    Decimal::new(milli, 3)
}

/// Hours as thousandths, cut off far beyond any job.
pub(super) fn milli(hours: Hours) -> Milli {
    (hours.get().clamp(0.0, 1e9) * 1000.0).round() as Milli
}

/// As many times `each` as there are pieces.
fn times(each: Milli, quantity: Decimal) -> Milli {
    use rust_decimal::prelude::ToPrimitive;
    let all = Decimal::from(each).checked_mul(quantity).and_then(|all| all.round().to_i64());
    all.unwrap_or(Milli::MAX / 4)
}

/// Fitting and setting to work of every piece.
fn devices(cx: &mut Cx<'_>, pieces: &[Piece], grades: &Grades, sheet: &mut Timesheet) {
    let mut unstated: BTreeSet<&DeviceId> = BTreeSet::new();
    for piece in pieces {
        let Some(device) = cx.device(&piece.device) else { continue };
        let labour = &device.labour;
        if piece.fitted && labour.fit.is_none() && takes_time(device) {
            unstated.insert(&piece.device);
        }
        let works = [
            (FIT, grades.fitter(), labour.fit.filter(|_| piece.fitted)),
            (COMMISSION, grades.engineer(), labour.commission.filter(|_| piece.commissioned)),
        ];
        for (task, grade, each) in works {
            let (Some(grade), Some(each)) = (grade, each) else { continue };
            sheet.book(task, Sort::Devices, grade, piece.opening, times(milli(each), piece.quantity));
        }
    }
    for device in unstated {
        cx.sink.report(&LabourHoursMissing { device: device.clone(), field: "labour.fit" });
    }
}

/// Whether somebody has to fit the device: licences, credentials and hand-held detectors are handed over.
fn takes_time(device: &Device) -> bool {
    use DeviceKind as K;
    !matches!(device.kind, Some(K::Licence | K::Credential | K::HandHeldDetector))
}

/// Pulling of every cable that is not there already, fibre between rooms included.
fn cables(cx: &mut Cx<'_>, design: Design<'_>, grades: &Grades, sheet: &mut Timesheet) {
    let mut unstated: BTreeSet<&DeviceId> = BTreeSet::new();
    let runs = design.cables.runs.iter().filter(|run| !run.existing);
    let at_openings = runs.map(|run| (run.device.as_ref(), run.length_m, design.index(&run.mark)));
    let trenches = design.routes.links.iter().filter_map(|link| link.trench.as_ref());
    let between_rooms = trenches.map(|trench| (trench.fibre.as_ref(), trench.fibre_m, None));
    for (device, length_m, opening) in at_openings.chain(between_rooms) {
        let Some(device) = device.and_then(|id| cx.device(id)) else { continue };
        match (device.cable.labour_per_metre, grades.fitter()) {
            (Some(each), Some(grade)) => {
                let pulled = milli(Hours::try_new(each.get() * length_m.get()).unwrap_or(Hours::ZERO));
                sheet.book(PULL, Sort::Cable, grade, opening, pulled);
            }
            (None, _) => {
                unstated.insert(&device.id);
            }
            (Some(_), None) => {}
        }
    }
    for device in unstated {
        cx.sink.report(&LabourHoursMissing { device: device.clone(), field: "cable.labour_per_metre" });
    }
}

/// Work on equipment that stays after adapting.
fn adapted(cx: &mut Cx<'_>, design: Design<'_>, grades: &Grades, sheet: &mut Timesheet) {
    for row in design.job.existing.iter().filter(|row| row.decision == Some(Keep::Adapted)) {
        let Some(each) = row.adapt else {
            cx.sink.report(&AdaptHoursMissing { existing: row.id.clone(), description: row.description.clone() });
            continue;
        };
        let opening = row.opening.as_ref().and_then(|mark| design.index(mark));
        if let Some(grade) = grades.fitter() {
            let hours = times(milli(each), Decimal::from(row.count.unwrap_or(1)));
            sheet.book(ADAPT, Sort::Devices, grade, opening, hours);
        }
    }
}

/// A task of the catalogue, as often as its basis says.
fn catalogue_task(
    cx: &mut Cx<'_>,
    design: Design<'_>,
    grades: &Grades,
    number: usize,
    task: &Task,
    sheet: &mut Timesheet,
) {
    let (Some(basis), Some(grade), Some(each)) = (task.per, task.grade.as_ref(), task.hours) else {
        cx.sink.report(&TaskIncomplete { task: task.id.clone() });
        return;
    };
    let grade = grades.index(grade);
    let each = milli(each);
    let count = |n: usize| Decimal::from(n);
    let shared = match basis {
        TaskBasis::Opening | TaskBasis::NetworkDevice => {
            for equipped in &design.equipment.openings {
                let here = |index: &usize| applies(cx, task, design, equipped, *index);
                let Some(index) = design.index(&equipped.mark).filter(here) else { continue };
                let times_here = if basis == TaskBasis::Opening { 1 } else { network_devices(cx, equipped) };
                sheet.book(number, Sort::Tasks, grade, Some(index), times(each, count(times_here)));
            }
            return;
        }
        TaskBasis::Controller => count(design.placement.controllers.len()),
        TaskBasis::Enclosure => count(design.power.enclosures.len()),
        TaskBasis::HundredPeople => {
            let people: u64 = design.survey.groups.values().map(|group| u64::from(group.today)).sum();
            Decimal::from(people) / Decimal::ONE_HUNDRED
        }
        TaskBasis::Job => Decimal::from(u8::from(!design.survey.openings.is_empty())),
    };
    sheet.book(number, Sort::Tasks, grade, None, times(each, shared));
}

/// Whether a task applies to an opening: there is something to do, and kind, sort of work and what is newly fitted are among
/// those named.
fn applies(cx: &Cx<'_>, task: &Task, design: Design<'_>, equipped: &Equipped, index: usize) -> bool {
    let opening = &design.survey.openings[index];
    let anything = equipped.control != ControlNeed::None || !equipped.devices.is_empty();
    let kind = |fitted: &Fitted| cx.device(&fitted.device).and_then(|device| device.kind);
    let wanted = |fitted: &Fitted| kind(fitted).is_some_and(|kind| task.fitted.contains(&kind));
    anything
        && (task.openings.is_empty() || task.openings.contains(&opening.kind))
        && (task.work.is_empty() || task.work.contains(&opening.work))
        && (task.fitted.is_empty() || equipped.devices.iter().any(|fitted| wanted(fitted) && !fitted.kept))
}

/// Devices at the opening that are patched to the network: its own unit, and plate cameras.
fn network_devices(cx: &Cx<'_>, equipped: &Equipped) -> usize {
    let unit = match &equipped.control {
        ControlNeed::OwnUnit { unit } => Some(unit),
        _ => None,
    };
    let patched = |device: &Device| {
        let camera = device.kind == Some(DeviceKind::PlateCamera) && device.interfaces.contains(&Interface::Network);
        camera && unit != Some(&device.id)
    };
    let cameras = equipped.devices.iter().filter(|fitted| cx.device(&fitted.device).is_some_and(patched));
    cameras.map(|fitted| fitted.count as usize).sum::<usize>() + usize::from(unit.is_some())
}

/// A quantity of thousandths of an hour as a number, for workings.
pub(super) fn shown(milli: Milli) -> f64 {
    hours(milli).get()
}

/// Hours of replacing one device: fitting and setting to work, each with its grade.
pub(super) fn replacing(cx: &Cx<'_>, device: &DeviceId, grades: &Grades) -> Money {
    let Some(device) = cx.device(device) else { return Money::ZERO };
    let works = [(grades.fitter(), device.labour.fit), (grades.engineer(), device.labour.commission)];
    let cost = |(grade, each): (Option<usize>, Option<Hours>)| {
        let (Some(grade), Some(each)) = (grade, each) else { return Money::ZERO };
        grades.rate(grade).times(decimal(each.get(), 3))
    };
    works.into_iter().map(cost).sum()
}
