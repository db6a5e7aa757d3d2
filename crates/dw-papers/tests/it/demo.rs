//! Papers of whole designs: the ferry terminal, metric and US, read back from their files.

use crate::pdf::{squeezed, text};
use dw_core::Severity;
use dw_engine::{Design, Options, design, unwatched};
use dw_job::{Catalogue, Document, Job, Profile};
use dw_papers::{PaperFile, papers};
use rust_decimal::Decimal;
use std::path::Path;
use std::str::FromStr;

fn documents(folder: &Path, ending: &str) -> Vec<Document> {
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == ending));
    paths.sort();
    let document = |path: std::path::PathBuf| Document {
        name: path.file_name().unwrap().to_str().unwrap().to_owned(),
        bytes: std::fs::read(path).unwrap(),
    };
    paths.into_iter().map(document).collect()
}

/// The ferry terminal, with some words of its job document replaced.
fn ferry_terminal(changes: &[(&str, &str)]) -> Design {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let folder = root.join("examples/ferry-terminal");
    let mut documents_of_job = [documents(&folder, "toml"), documents(&folder, "csv")].concat();
    let job = documents_of_job.iter_mut().find(|document| document.name == "job.toml").unwrap();
    for (from, to) in changes {
        let text = String::from_utf8(job.bytes.clone()).unwrap();
        assert!(text.contains(from));
        job.bytes = text.replace(from, to).into_bytes();
    }
    let (job, mut read) = Job::read(&documents_of_job);
    let (catalogue, said) = Catalogue::read(&documents(&root.join("data/catalogue"), "toml"));
    read.append(said);
    let profiles = documents(&root.join("data/profiles"), "toml");
    let (profile, said) = Profile::named(job.policy.code_profile.as_deref(), &profiles);
    read.append(said);
    design(&job, &catalogue, &profile, read, Options::default(), &mut unwatched)
}

fn file<'a>(files: &'a [PaperFile], name: &str) -> &'a [u8] {
    &files.iter().find(|file| file.name == name).unwrap().bytes
}

/// Rows of a CSV file with the place of a column.
fn column(files: &[PaperFile], name: &str, title: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_reader(file(files, name));
    let place = reader.headers().unwrap().iter().position(|head| head == title).unwrap();
    reader.records().map(|record| record.unwrap()[place].to_owned()).collect()
}

fn sum(cells: &[String]) -> Decimal {
    cells.iter().filter(|cell| !cell.is_empty()).map(|cell| Decimal::from_str(cell).unwrap()).sum()
}

#[test]
fn the_schedules_of_the_ferry_terminal_agree_with_its_design() {
    let design = ferry_terminal(&[]);
    let files = papers(&design).unwrap();
    let marks = column(&files, "opening-schedule.csv", "Mark");
    assert_eq!(marks, design.survey.openings.iter().map(|opening| opening.mark.to_string()).collect::<Vec<_>>());
    // The last row holds the total again.
    let amounts = column(&files, "bill-of-materials.csv", "Amount (EUR)");
    assert_eq!(sum(&amounts), design.price.materials_cost.amount() * Decimal::TWO);
    let labour = column(&files, "labour.csv", "Amount (EUR)");
    assert_eq!(sum(&labour), design.price.labour_cost.amount() * Decimal::TWO);
    let headlines = column(&files, "findings.csv", "Finding");
    assert_eq!(headlines, design.findings.iter().map(|finding| finding.headline.clone()).collect::<Vec<_>>());
    assert_eq!(column(&files, "assumptions.csv", "Because").len(), design.assumptions.len());
    assert_eq!(column(&files, "cable-schedule.csv", "Label").len(), design.cables.runs.len() + 1);
}

#[test]
fn the_proposal_of_the_ferry_terminal_shows_its_price_its_stops_and_its_cautions() {
    let design = ferry_terminal(&[]);
    assert!(design.count(Severity::Stop) > 0 && !design.heading.caution.is_empty());
    let files = papers(&design).unwrap();
    let (proposal, findings) = (text(file(&files, "proposal.pdf")), text(file(&files, "findings-and-assumptions.pdf")));
    let mut total = design.price.total.to_string();
    total.insert(total.len() - 6, ',');
    assert!(proposal.contains(&total), "{total}");
    for finding in &design.findings {
        assert!(findings.contains(&squeezed(&finding.headline)), "{}", finding.headline);
    }
    for finding in design.findings.iter().filter(|finding| finding.severity == Severity::Stop) {
        assert!(proposal.contains(finding.code));
    }
    for caution in &design.heading.caution {
        assert!(proposal.contains(&squeezed(caution)) && findings.contains(&squeezed(caution)), "{caution}");
    }
}

#[test]
fn the_same_terminal_in_us_units_has_the_same_lengths_in_feet() {
    let metric = papers(&ferry_terminal(&[])).unwrap();
    let us = papers(&ferry_terminal(&[("units = \"metric\"", "units = \"us\"")])).unwrap();
    let lengths = |files: &[PaperFile], title: &str| -> Vec<f64> {
        column(files, "cable-schedule.csv", title).iter().map(|cell| cell.parse().unwrap()).collect()
    };
    let (metres, feet) = (lengths(&metric, "Length (m)"), lengths(&us, "Length (ft)"));
    assert_eq!(metres.len(), feet.len());
    for (metres, feet) in metres.iter().zip(&feet) {
        // Metres are printed to a tenth, the sum to a whole metre.
        assert!((metres / 0.3048 - feet).abs() < 2.3, "{metres} m, {feet} ft");
    }
    assert!(text(file(&us, "power-and-batteries.pdf")).contains("(°F)"));
}
