use dw_job::{Document, Job};
use std::path::Path;

/// All documents of an example job, as they lie in its folder.
pub(crate) fn example(name: &str) -> Vec<Document> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name);
    let mut documents: Vec<Document> = std::fs::read_dir(&folder)
        .expect("the example's folder")
        .map(|entry| entry.expect("a folder entry").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml" || extension == "csv"))
        .map(|path| Document {
            name: path.file_name().expect("a file name").to_string_lossy().into_owned(),
            bytes: std::fs::read(&path).expect("a readable file"),
        })
        .collect();
    documents.sort_by(|a, b| a.name.cmp(&b.name));
    documents
}
#[test]
fn t() {
    for n in ["ferry-terminal", "one-door"] {
        let (job, sink) = Job::read(&example(n));
        for f in &sink.findings {
            println!("{} {} {:?}", f.code, f.headline, f.help);
        }
        println!("{} {} {}", job.openings.len(), job.rights.len(), job.cable_ways.len());
    }
}
