//! What the other modules share: jobs from text, examples from their folders, and the one-line form of findings.

use std::path::Path;

use dw_core::{Finding, Sink};
use dw_job::{Document, JOB_FILE, Job, Places};

/// A file of this name and text.
pub(crate) fn file(name: &str, text: impl AsRef<[u8]>) -> Document {
    Document { name: name.to_owned(), bytes: text.as_ref().to_vec() }
}

/// Reads a job that stands in one document.
pub(crate) fn read(toml: &str) -> (Job, Sink) {
    Job::read(&[file(JOB_FILE, toml)])
}

/// Reads a job with an empty document and one sheet of openings.
pub(crate) fn read_openings(csv: impl AsRef<[u8]>) -> (Job, Sink) {
    Job::read(&[file(JOB_FILE, ""), file("openings.csv", csv)])
}

/// Findings in the form `CODE headline | help`.
pub(crate) fn lines(sink: &Sink) -> Vec<String> {
    let line = |finding: &Finding| format!("{} {} | {}", finding.code, finding.headline, finding.help.join("; "));
    sink.findings.iter().map(line).collect()
}

/// Reads a document and compares its findings, in order.
#[track_caller]
pub(crate) fn check(toml: &str, expected: &[&str]) -> Job {
    let (job, sink) = read(toml);
    assert_eq!(lines(&sink), expected);
    job
}

/// Reads a sheet of openings and compares the findings, in order.
#[track_caller]
pub(crate) fn check_openings(csv: &str, expected: &[&str]) -> Job {
    let (job, sink) = read_openings(csv);
    assert_eq!(lines(&sink), expected);
    job
}

/// The codes of all findings, in order.
pub(crate) fn codes(sink: &Sink) -> Vec<&'static str> {
    sink.findings.iter().map(|finding| finding.code).collect()
}

/// Every table of a job in full, without where it was written.
pub(crate) fn tables(job: &Job) -> String {
    format!("{:#?}", Job { places: Places::default(), ..job.clone() })
}

/// All documents and sheets of an example job.
pub(crate) fn example(name: &str) -> Vec<Document> {
    folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name))
}

/// The files of the demo catalogue.
pub(crate) fn demo_catalogue() -> Vec<Document> {
    folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/catalogue"))
}

fn folder(path: &Path) -> Vec<Document> {
    let mut documents: Vec<Document> = std::fs::read_dir(path)
        .expect("the folder is part of the repository")
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml" || extension == "csv"))
        .map(|path| {
            let name = path.file_name().expect("a file name").to_string_lossy();
            file(&name, std::fs::read(&path).expect("a readable file"))
        })
        .collect();
    documents.sort_by(|a, b| a.name.cmp(&b.name));
    assert!(!documents.is_empty());
    documents
}
