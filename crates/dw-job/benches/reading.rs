//! How long a job takes to read: the openings of the ferry terminal over and over, up to 8,000 rows.

use std::fmt::Write as _;

use dw_job::{Document, JOB_FILE, Job};

fn main() {
    divan::main();
}

/// The terminal's sheet of openings, repeated with new marks until it has this many rows.
fn sheet_of(rows: usize) -> Document {
    let sheet = include_str!("../../../examples/ferry-terminal/openings.csv");
    let (titles, openings) = sheet.split_once('\n').unwrap_or_default();
    let mut text = format!("{titles}\n");
    for (row, line) in openings.lines().cycle().take(rows).enumerate() {
        let _ = writeln!(text, "N{row}-{line}");
    }
    Document { name: "openings.csv".to_owned(), bytes: text.into_bytes() }
}

#[divan::bench(args = [100, 1_000, 8_000], max_time = 2)]
fn openings(bencher: divan::Bencher<'_, '_>, rows: usize) {
    let documents = [Document { name: JOB_FILE.to_owned(), bytes: b"format = 1".to_vec() }, sheet_of(rows)];
    bencher.bench(|| {
        let (job, _) = Job::read(&documents);
        assert_eq!(job.openings.len(), rows);
        job
    });
}
