//! Specs an engineer can read: Markdown under `specs/`, a job in fenced blocks, the expected findings beside the line.
//!
//! A file says which codes it is about in `<!-- codes: SUR EQP -->`. A block fenced as `toml site` stands before every
//! case of the file; each block fenced as `toml case` is one job. `# expect CODE CODE` at the end of a line says that
//! these findings, and no others of the file's codes, point at that line. The catalogue is the demo catalogue.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use dw_engine::{Options, design};
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};

#[test]
fn every_spec_finds_what_it_expects_and_nothing_else() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let specs = markdown(&root.join("specs"));
    assert!(!specs.is_empty(), "there are no specs");
    let (catalogue, profile) = (catalogue(&root), profile(&root));
    let mut faults = Vec::new();
    let mut n_cases = 0;
    for path in specs {
        let text = fs::read_to_string(&path).unwrap();
        let spec = Spec::parse(&text);
        assert!(!spec.cases.is_empty(), "{} has no case", path.display());
        for case in &spec.cases {
            n_cases += 1;
            faults.extend(
                spec.run(case, &catalogue, &profile).into_iter().map(|fault| format!("{}: {fault}", path.display())),
            );
        }
    }
    println!("{n_cases} cases");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

struct Spec<'a> {
    codes: Vec<&'a str>,
    site: String,
    cases: Vec<Case>,
}

struct Case {
    title: String,
    text: String,
    /// Line of the Markdown file on which the case's text begins, counted from 1.
    line: usize,
}

impl<'a> Spec<'a> {
    fn parse(text: &'a str) -> Self {
        let codes = text.split_once("<!-- codes:").and_then(|rest| rest.1.split_once("-->")).map(|codes| codes.0);
        let mut spec = Self {
            codes: codes.unwrap_or_default().split_whitespace().collect(),
            site: String::new(),
            cases: Vec::new(),
        };
        assert!(!spec.codes.is_empty(), "a spec names its codes");
        let (mut title, mut block): (String, Option<(&str, String, usize)>) = (String::new(), None);
        for (number, line) in text.lines().enumerate() {
            match (&mut block, line.strip_prefix("```")) {
                (None, Some(kind)) => block = Some((kind, String::new(), number + 2)),
                (Some(_), Some(_)) => match block.take() {
                    Some(("toml site", text, _)) => spec.site.push_str(&text),
                    Some(("toml case", text, line)) => spec.cases.push(Case { title: title.clone(), text, line }),
                    _ => {}
                },
                (Some((_, text, _)), None) => {
                    text.push_str(line);
                    text.push('\n');
                }
                (None, None) => {
                    if let Some(heading) = line.strip_prefix("## ") {
                        heading.clone_into(&mut title);
                    }
                }
            }
        }
        spec
    }

    fn run(&self, case: &Case, catalogue: &Catalogue, profile: &Profile) -> Vec<String> {
        let before = self.site.lines().count();
        let document =
            Document { name: JOB_FILE.to_owned(), bytes: format!("{}{}", self.site, case.text).into_bytes() };
        let (job, read) = Job::read(&[document]);
        let design = design(&job, catalogue, profile, read, Options::default(), &mut |_| {});
        let about = |code: &str| self.codes.iter().any(|prefix| code.starts_with(prefix));
        let found: BTreeSet<(usize, String)> = design
            .findings
            .iter()
            .filter(|finding| about(finding.code))
            .map(|finding| {
                let line = finding.place.source.as_ref().map_or(0, |source| source.line as usize);
                (line.saturating_sub(before), finding.code.to_owned())
            })
            .collect();
        let expected: BTreeSet<(usize, String)> = case
            .text
            .lines()
            .enumerate()
            .filter_map(|(number, line)| Some((number + 1, line.split_once("# expect ")?.1)))
            .flat_map(|(number, codes)| codes.split_whitespace().map(move |code| (number, code.to_owned())))
            .collect();
        let said = |(line, code): &(usize, String)| {
            let at =
                if *line == 0 { "nowhere in the case".to_owned() } else { format!("line {}", case.line + line - 1) };
            let headline =
                design.findings.iter().find(|finding| finding.code == code).map(|finding| finding.headline.as_str());
            format!("\"{}\": {code} at {at} ({})", case.title, headline.unwrap_or("not raised"))
        };
        let missing = expected.difference(&found).map(|one| format!("expected {}", said(one)));
        missing.chain(found.difference(&expected).map(|one| format!("did not expect {}", said(one)))).collect()
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

fn catalogue(root: &Path) -> Catalogue {
    let (catalogue, read) = Catalogue::read(&documents(&root.join("data/catalogue")));
    assert_eq!(read.findings, [], "the demo catalogue reads without findings");
    catalogue
}

fn profile(root: &Path) -> Profile {
    let (profile, read) = Profile::named(Some("uk-eu"), &documents(&root.join("data/profiles")));
    assert_eq!(read.findings, []);
    profile
}
