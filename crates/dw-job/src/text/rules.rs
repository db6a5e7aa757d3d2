//! Rules about how a job or catalogue is written.

use dw_core::{Place, Rule, RuleInfo, Source, rule};

rule! {
    /// ## What it checks
    /// The policy names a code profile the program knows.
    /// ## Why it matters
    /// The profile gives standby time, battery margin and the thresholds of escape rules, each with its source. Without
    /// it common practice stands in, and rules without a threshold are silent.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `code_profile = "uk"` where `uk-eu` is known.
    /// ## What to do
    /// Name one of the profiles, or give a file of your own with `--profile`.
    pub struct ProfileUnknown: "JOB-012" "profile-unknown" Fix since "0.1" {
        /// The name given, if any.
        pub name: Option<String>,
        /// The profiles known.
        pub known: Vec<String>,
    }
    place(_it) { Place::named("policy", "").field("code_profile") }
    headline(it) {
        match &it.name {
            Some(name) => format!("policy: there is no code profile \"{}\"; common practice stands in", super::sheet::shorten(name)),
            None => "policy: no code profile is named; common practice stands in".to_owned(),
        }
    }
    help(it) { vec![format!("Set code_profile to one of {}, or give a file with --profile", it.known.join(", "))] }
}

/// Every rule of this crate, in the order of codes.
pub const RULES: &[RuleInfo] = &[
    UnknownKey::INFO,
    WrongValue::INFO,
    MissingId::INFO,
    DuplicateId::INFO,
    DanglingReference::INFO,
    BadSyntax::INFO,
    BadEncoding::INFO,
    UnitTwice::INFO,
    OutOfRange::INFO,
    DuplicateKey::INFO,
    FileTooLarge::INFO,
    ProfileUnknown::INFO,
    UnknownSheet::INFO,
    EmptySheet::INFO,
];

fn in_file(source: &Source) -> Place {
    Place::named("file", &source.file).at(Some(source.clone()))
}

rule! {
    /// ## What it checks
    /// Every key of a document and every title of a sheet is one the tool knows.
    /// ## Why it matters
    /// A mistyped key is a value that silently does not count.
    /// ## Basis
    /// The job format; `doorwright schema job` lists every key, `schema catalogue` and `schema profile` those of the others.
    /// ## Example
    /// `fire_ratng_min = 30` is unknown; `fire_rating_min` was meant.
    /// ## What to do
    /// Correct the key, or remove it. Remarks belong in comments or in `notes`.
    pub struct UnknownKey: "JOB-001" "unknown-key" Fix since "0.1" {
        /// The object.
        pub place: Place,
        /// Where it was written.
        pub source: Source,
        /// The key as written.
        pub key: String,
        /// The known key nearest to it.
        pub meant: Option<String>,
        /// Which schema lists every key: job, catalogue, profile.
        pub schema: &'static str,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{}: nothing is known under \"{}\"", it.source, super::sheet::shorten(&it.key)) }
    help(it) {
        match &it.meant {
            Some(meant) => vec![format!("Did you mean \"{meant}\"?")],
            None => {
                let notes = if it.schema == "job" { " or under \"notes\"" } else { "" };
                vec![format!("Remove it, or put it in a comment{notes}; `doorwright schema {}` lists every key", it.schema)]
            }
        }
    }
}

rule! {
    /// ## What it checks
    /// A value is of the kind its key asks for: number, word of a list, date, true or false.
    /// ## Why it matters
    /// A value that cannot be read counts as missing.
    /// ## Basis
    /// The job format; `doorwright schema job` lists every key with its kind.
    /// ## Example
    /// `kind = "singel"`: one of single, pair, ...; did you mean "single"?
    /// ## What to do
    /// Write a value of the kind asked for.
    pub struct WrongValue: "JOB-002" "wrong-value" Fix since "0.1" {
        /// The object.
        pub place: Place,
        /// Where it was written.
        pub source: Source,
        /// The value as written.
        pub written: String,
        /// What was expected.
        pub expected: String,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{}: \"{}\" cannot be read here", it.source, it.written) }
    help(it) { vec![format!("Expected: {}", it.expected)] }
}

rule! {
    /// ## What it checks
    /// Every record names itself: an opening its mark, a room its id.
    /// ## Why it matters
    /// A record without a name can be neither referred to nor shown on paper, so it is left out.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// An `[[opening]]` without `mark`.
    /// ## What to do
    /// Give the record its id.
    pub struct MissingId: "JOB-003" "missing-id" Stop since "0.1" {
        /// Where the record starts.
        pub source: Source,
        /// Kind of record.
        pub kind: &'static str,
        /// The key of its id.
        pub key: &'static str,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: this {} has no {} and is left out", it.source, it.kind, it.key) }
    help(it) { vec![format!("Add \"{}\"", it.key)] }
}

rule! {
    /// ## What it checks
    /// No two records of one kind carry the same id.
    /// ## Why it matters
    /// Two doors with one mark become one door on paper. The first is kept.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Two rows `D-101` in `openings.csv`.
    /// ## What to do
    /// Rename one, or remove the one that is meant to be the same.
    pub struct DuplicateId: "JOB-004" "duplicate-id" Stop since "0.1" {
        /// The object.
        pub place: Place,
        /// Where the second one was written.
        pub source: Source,
        /// Where the first one was written.
        pub first: Source,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{}: {} is there already, at {}; this one is left out", it.source, it.place, it.first) }
    help(_it) { vec!["Give one of the two another id, or remove it".to_owned()] }
}

rule! {
    /// ## What it checks
    /// Every id that a record refers to exists.
    /// ## Why it matters
    /// An opening in a space nobody defined belongs to no zone and no route.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `storey = "Quay lvl 1"` where only "Quay level 1" exists.
    /// ## What to do
    /// Correct the name or add the record it names.
    pub struct DanglingReference: "JOB-005" "dangling-reference" Stop since "0.1" {
        /// The object that refers.
        pub place: Place,
        /// Kind of the object referred to.
        pub kind: &'static str,
        /// The id that does not exist.
        pub id: String,
        /// The existing id nearest to it.
        pub meant: Option<String>,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{}: there is no {} \"{}\"", it.place, it.kind, super::sheet::shorten(&it.id)) }
    help(it) {
        match &it.meant {
            Some(meant) => vec![format!("Did you mean \"{meant}\"?")],
            None => vec![format!("Add the {}, or correct the name", it.kind)],
        }
    }
}

rule! {
    /// ## What it checks
    /// A document is lawful TOML, a sheet lawful CSV.
    /// ## Why it matters
    /// What cannot be parsed is not in the design; everything else still is.
    /// ## Basis
    /// TOML 1.1; RFC 4180.
    /// ## Example
    /// A quotation mark that is never closed.
    /// ## What to do
    /// Correct the line named.
    pub struct BadSyntax: "JOB-006" "bad-syntax" Stop since "0.1" {
        /// Where.
        pub source: Source,
        /// What the parser says.
        pub message: String,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: {}", it.source, it.message) }
    help(_it) { vec!["Correct this line; what could be read around it still counts".to_owned()] }
}

rule! {
    /// ## What it checks
    /// Files are UTF-8 text.
    /// ## Why it matters
    /// Names with accents turn into other names, and references to them break.
    /// ## Basis
    /// RFC 3629.
    /// ## Example
    /// A sheet saved as "CSV (Windows)".
    /// ## What to do
    /// Save the file as "CSV UTF-8".
    pub struct BadEncoding: "JOB-007" "bad-encoding" Fix since "0.1" {
        /// Where the first bad byte stands.
        pub source: Source,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: the file is not UTF-8 from here on; letters that could not be read were replaced", it.source) }
    help(_it) { vec!["Save the file again as UTF-8 (in a spreadsheet: \"CSV UTF-8\")".to_owned()] }
}

rule! {
    /// ## What it checks
    /// A length or other quantity is given once, in one unit.
    /// ## Why it matters
    /// Two figures for one length: one of them is wrong. The first is used.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `clear_width_mm = 900` and `clear_width_in = 36` on one door.
    /// ## What to do
    /// Remove one.
    pub struct UnitTwice: "JOB-008" "unit-twice" Fix since "0.1" {
        /// The object.
        pub place: Place,
        /// Where the second one was written.
        pub source: Source,
        /// The key without its unit.
        pub key: String,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{}: \"{}\" is given a second time in another unit", it.source, it.key) }
    help(_it) { vec!["Keep one of the two".to_owned()] }
}

rule! {
    /// ## What it checks
    /// A quantity lies in the range that can exist.
    /// ## Why it matters
    /// A negative cable length is a slip of the hand and would make every figure after it wrong.
    /// ## Basis
    /// The job format: quantities are not negative unless they are coordinates or temperatures. Narrower ranges, such as
    /// 0 to 100 % of tax, are common practice; `doorwright schema job` gives them.
    /// ## Example
    /// `length_m = -12`
    /// ## What to do
    /// Correct the value.
    pub struct OutOfRange: "JOB-009" "out-of-range" Fix since "0.1" {
        /// The object.
        pub place: Place,
        /// Where.
        pub source: Source,
        /// As written.
        pub written: String,
        /// Least value that can be.
        pub least: f64,
        /// Highest value that can be.
        pub most: f64,
        /// Unit of the limits.
        pub unit: &'static str,
    }
    place(it) { it.place.clone() }
    headline(it) {
        let unit = if it.unit.is_empty() { String::new() } else { format!(" {}", it.unit) };
        format!("{}: {} lies outside {} to {}{unit}", it.source, it.written, it.least, it.most)
    }
    help(_it) { vec!["Correct the value; it counts as missing until then".to_owned()] }
}

rule! {
    /// ## What it checks
    /// No column title and no key stands twice.
    /// ## Why it matters
    /// Only one of the two can count. The first does.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Two columns `storey`.
    /// ## What to do
    /// Remove or rename one.
    pub struct DuplicateKey: "JOB-010" "duplicate-key" Fix since "0.1" {
        /// Where the second one stands.
        pub source: Source,
        /// The key.
        pub key: String,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: \"{}\" stands there already", it.source, super::sheet::shorten(&it.key)) }
    help(_it) { vec!["Remove or rename one of the two".to_owned()] }
}

rule! {
    /// ## What it checks
    /// A file is small enough to be a survey.
    /// ## Why it matters
    /// A file of gigabytes is not a survey, and reading it would take the machine's memory.
    /// ## Basis
    /// A limit of this tool: 64 MiB a file.
    /// ## Example
    /// A video renamed to `openings.csv`.
    /// ## What to do
    /// Check that the right file was given.
    pub struct FileTooLarge: "JOB-011" "file-too-large" Stop since "0.1" {
        /// The file.
        pub source: Source,
        /// Its size.
        pub bytes: usize,
        /// The limit.
        pub most: usize,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: {} bytes are more than the {} a file may have", it.source.file, it.bytes, it.most) }
    help(_it) { vec!["Check that the right file was given; split it when it was".to_owned()] }
}

rule! {
    /// ## What it checks
    /// Every CSV file in the job's folder is a sheet the tool knows by its name.
    /// ## Why it matters
    /// A sheet under another name is not read: every opening in it is missing from the design.
    /// ## Basis
    /// The job format: each table has one sheet.
    /// ## Example
    /// `opening.csv`, where `openings.csv` was meant.
    /// ## What to do
    /// Rename the file, or keep it in another folder when it is no part of the survey.
    pub struct UnknownSheet: "JOB-013" "unknown-sheet" Fix since "0.1" {
        /// The file.
        pub source: Source,
        /// The known sheet nearest to it.
        pub meant: Option<String>,
        /// Every known sheet.
        pub known: Vec<&'static str>,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: no sheet has this name, so the file is not read", super::sheet::shorten(&it.source.file)) }
    help(it) {
        match &it.meant {
            Some(meant) => vec![format!("Did you mean \"{meant}\"?")],
            None => vec![format!("Keep it in another folder, or rename it to one of {}", it.known.join(", "))],
        }
    }
}

rule! {
    /// ## What it checks
    /// A sheet has a row of titles and at least one row below it that can be read.
    /// ## Why it matters
    /// A sheet that is there and says nothing was saved wrongly, or is not filled in yet.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `openings.csv` with its titles only.
    /// ## What to do
    /// Fill in the sheet, or remove it.
    pub struct EmptySheet: "JOB-014" "empty-sheet" Fix since "0.1" {
        /// The sheet.
        pub source: Source,
    }
    place(it) { in_file(&it.source) }
    headline(it) { format!("{}: the sheet has no row below its titles", it.source.file) }
    help(_it) { vec!["Fill in the sheet, or remove it; the first row holds the titles".to_owned()] }
}
