//! Specs an engineer can read: Markdown under `specs/`, a job in fenced blocks, the expected findings beside the line.
//!
//! A file says which codes it is about in `<!-- codes: SUR EQP -->`. A block fenced as `toml site` stands before every
//! case of the file; each block fenced as `toml case` is one job. A block fenced as `toml catalogue` lies over the demo
//! catalogue for the next case.
//!
//! `# expect CODE CODE` at the end of a line says that these findings, and no others of the file's codes, point at that
//! line; on a line of its own, that they point outside the case. `# value FIGURE = 11.3 V ± 0.1` gives the value of a
//! working; without a tolerance it is compared as it is shown.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use dw_engine::{Design, Options, design, unwatched};
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};

/// Name of the catalogue file a case lays over the demo catalogue.
const OVERLAY: &str = "overlay.toml";

/// The code profile of a job that names none.
const USUAL_PROFILE: &str = "uk-eu";

#[test]
fn every_spec_finds_what_it_expects_and_nothing_else() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let specs = markdown(&root.join("specs"));
    assert!(!specs.is_empty(), "there are no specs");
    let bench =
        Bench { catalogue: documents(&root.join("data/catalogue")), profiles: documents(&root.join("data/profiles")) };
    let mut faults = Vec::new();
    let mut n_cases = 0;
    for path in specs {
        let spec = Spec::parse(&fs::read_to_string(&path).unwrap());
        assert!(!spec.cases.is_empty(), "{} has no case", path.display());
        n_cases += spec.cases.len();
        let told = spec.cases.iter().flat_map(|case| spec.run(case, &bench));
        faults.extend(told.map(|fault| format!("{}: {fault}", path.display())));
    }
    println!("{n_cases} cases");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// What every case is designed with.
struct Bench {
    catalogue: Vec<Document>,
    profiles: Vec<Document>,
}

struct Spec {
    codes: Vec<String>,
    site: String,
    cases: Vec<Case>,
}

struct Case {
    title: String,
    job: Block,
    catalogue: Option<Block>,
}

/// A fenced block.
#[derive(Default)]
struct Block {
    text: String,
    /// Line of the Markdown file on which it begins, counted from 1.
    line: usize,
}

impl Spec {
    fn parse(text: &str) -> Self {
        let codes =
            text.split_once("<!-- codes:").and_then(|rest| rest.1.split_once("-->")).map_or("", |codes| codes.0);
        assert!(!codes.trim().is_empty(), "a spec names its codes");
        let codes = codes.split_whitespace().map(str::to_owned).collect();
        let mut spec = Self { codes, site: String::new(), cases: Vec::new() };
        let (mut title, mut catalogue) = (String::new(), None);
        let mut open: Option<(&str, Block)> = None;
        for (number, line) in text.lines().enumerate() {
            match (&mut open, line.strip_prefix("```")) {
                (None, Some(kind)) => open = Some((kind, Block { text: String::new(), line: number + 2 })),
                (Some(_), Some(_)) => match open.take() {
                    Some(("toml site", block)) => spec.site.push_str(&block.text),
                    Some(("toml catalogue", block)) => catalogue = Some(block),
                    Some(("toml case", job)) => {
                        spec.cases.push(Case { title: title.clone(), job, catalogue: catalogue.take() });
                    }
                    _ => {}
                },
                (Some((_, block)), None) => {
                    block.text.push_str(line);
                    block.text.push('\n');
                }
                (None, None) => title = line.strip_prefix("## ").map_or(title, str::to_owned),
            }
        }
        spec
    }

    fn run(&self, case: &Case, bench: &Bench) -> Vec<String> {
        let design = self.design(case, bench);
        let about = |code: &str| self.codes.iter().any(|prefix| code.starts_with(prefix));
        let found: BTreeSet<(usize, &str)> = design
            .findings
            .iter()
            .filter(|finding| about(finding.code))
            .map(|finding| (self.line_of(case, finding.place.source.as_ref()), finding.code))
            .collect();
        let expected: BTreeSet<(usize, &str)> = case.blocks().flat_map(Block::expected).collect();
        let said = |(line, code): &(usize, &str)| {
            let at = if *line == 0 { "outside the case".to_owned() } else { format!("at line {line}") };
            let headline =
                design.findings.iter().find(|finding| finding.code == *code).map(|one| one.headline.as_str());
            format!("\"{}\": {code} {at} ({})", case.title, headline.unwrap_or("not raised"))
        };
        let missing = expected.difference(&found).map(|one| format!("expected {}", said(one)));
        let surplus = found.difference(&expected).map(|one| format!("did not expect {}", said(one)));
        let values = case.job.values().filter_map(|value| value.fault(&design));
        missing.chain(surplus).chain(values.map(|fault| format!("\"{}\": {fault}", case.title))).collect()
    }

    fn design(&self, case: &Case, bench: &Bench) -> Design {
        let document = |name: &str, text: &str| Document { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
        let overlay = case.catalogue.iter().map(|block| document(OVERLAY, &block.text));
        let files: Vec<Document> = bench.catalogue.iter().cloned().chain(overlay).collect();
        let (catalogue, read) = Catalogue::read(&files);
        assert_eq!(read.findings, [], "\"{}\": the catalogue reads without findings", case.title);
        let (job, mut read) = Job::read(&[document(JOB_FILE, &format!("{}{}", self.site, case.job.text))]);
        let profile = job.policy.code_profile.as_deref().unwrap_or(USUAL_PROFILE);
        let (profile, told) = Profile::named(Some(profile), &bench.profiles);
        read.append(told);
        design(&job, &catalogue, &profile, read, Options::default(), &mut unwatched)
    }

    /// The Markdown line a finding points at; 0 outside the case.
    fn line_of(&self, case: &Case, source: Option<&dw_core::Source>) -> usize {
        let at = |block: &Block, before: usize, line: u32| {
            (line as usize).checked_sub(before + 1).map_or(0, |below| block.line + below)
        };
        match (source, &case.catalogue) {
            (Some(source), _) if source.file == JOB_FILE => at(&case.job, self.site.lines().count(), source.line),
            (Some(source), Some(overlay)) if source.file == OVERLAY => at(overlay, 0, source.line),
            _ => 0,
        }
    }
}

impl Case {
    fn blocks(&self) -> impl Iterator<Item = &Block> {
        std::iter::once(&self.job).chain(&self.catalogue)
    }
}

impl Block {
    /// Each line that says `mark`, with its number, what stands before it and what after it.
    fn remarks<'a>(&'a self, mark: &'a str) -> impl Iterator<Item = (usize, &'a str, &'a str)> {
        let lines = self.text.lines().enumerate();
        lines.filter_map(move |(below, line)| {
            line.split_once(mark).map(|(left, right)| (self.line + below, left, right))
        })
    }

    /// Expected findings with the line each points at.
    fn expected(&self) -> impl Iterator<Item = (usize, &str)> {
        self.remarks("# expect ").flat_map(|(line, left, codes)| {
            let line = if left.trim().is_empty() { 0 } else { line };
            codes.split_whitespace().map(move |code| (line, code))
        })
    }

    fn values(&self) -> impl Iterator<Item = Value<'_>> {
        self.remarks("# value ").map(|(line, _, text)| {
            let (figure, wanted) = text.split_once(" = ").unwrap_or_else(|| panic!("line {line}: no value in {text}"));
            Value { line, figure, wanted }
        })
    }
}

/// The value a working must have.
struct Value<'a> {
    line: usize,
    figure: &'a str,
    /// `11.3 V ± 0.1`, or the value as shown.
    wanted: &'a str,
}

impl Value<'_> {
    fn fault(&self, design: &Design) -> Option<String> {
        let Self { line, figure, wanted } = self;
        let Some(working) = design.workings.iter().find(|working| working.figure.path() == *figure) else {
            return Some(format!("line {line}: there is no working of {figure}"));
        };
        let shown = format!("{} {}", working.value, working.unit);
        let agrees = match wanted.split_once('±') {
            None => shown.trim() == wanted.trim(),
            Some((value, within)) => {
                let (value, unit) = value.trim().split_once(' ').unwrap_or((value.trim(), ""));
                let number = |text: &str| text.trim().parse::<f64>().unwrap_or(f64::NAN);
                let off = (number(&working.value.to_string()) - number(value)).abs();
                unit == working.unit && off <= number(within)
            }
        };
        (!agrees).then(|| format!("line {line}: {figure} is {}, expected {}", shown.trim(), wanted.trim()))
    }
}

fn markdown(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(markdown(&path));
        } else if path.extension().is_some_and(|extension| extension == "md")
            && path.file_name().unwrap() != "README.md"
        {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn documents(folder: &Path) -> Vec<Document> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    paths.sort();
    paths
        .into_iter()
        .map(|path| Document { name: path.display().to_string(), bytes: fs::read(&path).unwrap() })
        .collect()
}
