//! A small site and catalogue of our own for the tests of this pass.

use std::collections::BTreeMap;

pub(super) use dw_core::DeviceId;
use dw_core::{Assumption, Finding, Working};
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};

pub(super) use super::plan::{ControlNeed, Equipment, Role};
pub(super) use dw_job::model::{ArrangementKind, FailMode};

use crate::Cx;
use crate::survey::survey;

/// What a run gave.
pub(super) struct Outcome {
    pub equipment: Equipment,
    pub findings: Vec<Finding>,
    pub workings: Vec<Working>,
    pub assumptions: Vec<Assumption>,
}

impl Outcome {
    pub(super) fn has(&self, code: &str) -> bool {
        self.count(code) > 0
    }

    pub(super) fn count(&self, code: &str) -> usize {
        self.findings.iter().filter(|finding| finding.code == code).count()
    }

    /// The one finding of this code.
    pub(super) fn the(&self, code: &str) -> &Finding {
        let mut found = self.findings.iter().filter(|finding| finding.code == code);
        let first = found.next().unwrap_or_else(|| panic!("no {code} among {:#?}", self.findings));
        assert_eq!(found.next(), None, "one {code} only");
        first
    }

    /// The device in a role at the first opening.
    pub(super) fn device(&self, role: Role) -> String {
        self.equipment.openings[0]
            .in_role(role)
            .map_or("nothing", |fitted| dw_core::Id::text(&fitted.device))
            .to_owned()
    }
}

const CATALOGUE: &str = include_str!("testing_catalogue.toml");

const PROFILE: &str = r#"
[profile]
id = "test"
panic_load = 50
panic_source = "Test code, 1.1"
free_exit_source = "Test code, 1.2"
"#;

const SITE: &str = r#"
[policy.works]
lock.all = "installer"
power_transfer.all = "joiner"
closer.all = "joiner"
operator.all = "joiner"
containment.all = "electrician"
mains_spur.all = "electrician"
fire_contact.all = "fire alarm contractor"
network_port.all = "customer"
[[storey]]
id = "L0"
[[room]]
id = "TR-1"
storey = "L0"
x_m = 0
y_m = 0
mains = true
[[zone]]
id = "staff"
level = 1
[[space]]
id = "hall"
[[space]]
id = "office"
zone = "staff"
[[right]]
group = "crew"
zone = "staff"
"#;

/// A magnet is the only lock its header and leaf leave.
pub(super) const MAGNET_ONLY: (&str, &str) = ("door.preparation", "\"magnet\"");

fn document(name: &str, text: &str) -> Document {
    Document { name: name.to_owned(), bytes: text.as_bytes().to_vec() }
}

/// Surveys, equips and verifies a job; catalogue and job must read without findings, and verify must not object.
pub(super) fn run(text: &str) -> Outcome {
    let (job, read) = Job::read(&[document(JOB_FILE, text)]);
    assert_eq!(read.findings, [], "the test's own job must be lawful:\n{text}");
    let (catalogue, read) = Catalogue::read(&[document("catalogue.toml", CATALOGUE)]);
    assert_eq!(read.findings, [], "the test's own catalogue must be lawful");
    let (profile, read) = Profile::read(&document("profile.toml", PROFILE));
    assert_eq!(read.findings, [], "the test's own profile must be lawful");
    let mut cx = Cx::new(&catalogue, &profile);
    let surveyed = survey(&mut cx, &job);
    let equipment = super::equip(&cx, &job, &surveyed).usual(&mut cx, &job, &surveyed);
    super::verify(&mut cx, &surveyed, &equipment);
    let findings = cx.sink.findings;
    let broken: Vec<&Finding> = findings.iter().filter(|finding| finding.code.starts_with("EQP-9")).collect();
    assert!(broken.is_empty(), "{broken:#?}");
    Outcome { equipment, findings, workings: cx.sink.workings, assumptions: cx.sink.assumptions }
}

/// The ways to arrange the first opening of a job: what decides, the reader on the way in, and its cost there.
pub(super) fn ways(text: &str) -> Vec<(ArrangementKind, String, dw_core::Money)> {
    let (job, _) = Job::read(&[document(JOB_FILE, text)]);
    let (catalogue, _) = Catalogue::read(&[document("catalogue.toml", CATALOGUE)]);
    let (profile, _) = Profile::read(&document("profile.toml", PROFILE));
    let mut cx = Cx::new(&catalogue, &profile);
    let surveyed = survey(&mut cx, &job);
    let way = |one: &super::Arrangement| {
        let reader = one.equipped.in_role(Role::ReaderIn).map_or("nothing", |fitted| dw_core::Id::text(&fitted.device));
        (one.kind, reader.to_owned(), one.at_opening)
    };
    super::equip(&cx, &job, &surveyed).arrangements.openings[0].iter().map(way).collect()
}

/// The same of one door, with more tables before the site.
pub(super) fn ways_of_door(tables: &str, edits: &[(&str, &str)]) -> Vec<(ArrangementKind, String)> {
    let text = format!("{tables}\n{SITE}\n{}\n{}", crew("0"), opening("D-1", edits));
    ways(&text).into_iter().map(|(kind, reader, _)| (kind, reader)).collect()
}

/// The codes that verify raises on an ordinary door after an edit to its equipment.
pub(super) fn judged(edit: impl FnOnce(&mut Equipment)) -> Vec<&'static str> {
    let text = format!("{SITE}\n{}\n{}", crew("0"), opening("D-1", &[]));
    let (job, _) = Job::read(&[document(JOB_FILE, &text)]);
    let (catalogue, _) = Catalogue::read(&[document("catalogue.toml", CATALOGUE)]);
    let (profile, _) = Profile::read(&document("profile.toml", PROFILE));
    let mut cx = Cx::new(&catalogue, &profile);
    let surveyed = survey(&mut cx, &job);
    let mut equipment = super::equip(&cx, &job, &surveyed).usual(&mut cx, &job, &surveyed);
    edit(&mut equipment);
    let mut cx = Cx::new(&catalogue, &profile);
    super::verify(&mut cx, &surveyed, &equipment);
    cx.sink.findings.iter().map(|finding| finding.code).collect()
}

/// An ordinary door as TOML; an edit replaces a field, or removes it when empty.
pub(super) fn opening(mark: &str, edits: &[(&str, &str)]) -> String {
    let mut fields: BTreeMap<&str, &str> = BTreeMap::from([
        ("storey", "\"L0\""),
        ("x_m", "2"),
        ("y_m", "3"),
        ("kind", "\"single\""),
        ("from", "\"hall\""),
        ("to", "\"office\""),
        ("exposure", "[\"indoors\"]"),
        ("escape", "\"route\""),
        ("occupant_load", "10"),
        ("exit_request", "\"sensor\""),
        ("proof.place", "\"wall-box\""),
        ("proof.factors_in", "1"),
        ("door.leaf", "\"timber\""),
        ("door.preparation", "\"strike\""),
        ("door.inside_handle", "\"free\""),
        ("door.closer", "true"),
        ("door.latches_unaided", "true"),
        ("door.fire_rating_min", "0"),
    ]);
    fields.extend(edits.iter().copied());
    let lines = fields.iter().filter(|(_, value)| !value.is_empty()).map(|(key, value)| format!("{key} = {value}\n"));
    format!("[[opening]]\nmark = \"{mark}\"\n{}", lines.collect::<String>())
}

fn crew(soiled: &str) -> String {
    format!(
        "[[group]]\nid = \"crew\"\nhead_count = 100\ngrowth_percent = 0\npassages_per_day = 4\nsoiled_percent = {soiled}\nfingers = 1\n"
    )
}

/// The site with its crew, without an opening.
pub(super) fn site() -> String {
    format!("{SITE}\n{}", crew("0"))
}

/// The site with more tables, and one door.
pub(super) fn with(tables: &str, edits: &[(&str, &str)]) -> Outcome {
    run(&format!("{tables}\n{SITE}\n{}\n{}", crew("0"), opening("D-1", edits)))
}

/// One door.
pub(super) fn door(edits: &[(&str, &str)]) -> Outcome {
    with("", edits)
}

/// One door with a pin.
pub(super) fn pinned(edits: &[(&str, &str)], pin: &str) -> Outcome {
    with(&format!("[[pin]]\nopening = \"D-1\"\n{pin}\n"), edits)
}

/// One pinned door whose users have soiled hands, percent.
pub(super) fn hands(soiled: &str, edits: &[(&str, &str)], pin: &str) -> Outcome {
    run(&format!("[[pin]]\nopening = \"D-1\"\n{pin}\n{SITE}\n{}\n{}", crew(soiled), opening("D-1", edits)))
}

/// A bank of lanes, with more tables.
pub(super) fn lanes_with(count: usize, tables: &str) -> Outcome {
    let edits = [
        ("kind", "\"turnstile-lane\""),
        ("proof.place", "\"built-in\""),
        ("escape", "\"none\""),
        ("exit_request", ""),
        ("door.leaf", ""),
        ("door.preparation", ""),
    ];
    let lanes: String = (1..=count).map(|n| opening(&format!("T-{n}"), &edits)).collect();
    run(&format!("{tables}\n{SITE}\n{}\n{lanes}", crew("0")))
}

/// A bank of lanes.
pub(super) fn lanes(count: usize) -> Outcome {
    lanes_with(count, "")
}
