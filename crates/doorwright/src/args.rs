//! The command line as people type it.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use dw_engine::{Effort, Options};

/// Turns a site survey into an electronic access-control design that is chosen, checked, priced and ready to build.
#[derive(Debug, Parser)]
#[command(
    name = "doorwright",
    version,
    max_term_width = 100,
    after_help = "\
Start with:
  doorwright demo --out demo-out     see a whole design of an invented ferry terminal
  doorwright new my-job              begin a job of your own
  doorwright check my-job            what is wrong or missing
  doorwright design my-job --out my-job/out

Exit codes: 0 nothing to stop, 1 stop findings or something unserved, 2 usage or file error."
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,

    /// Print JSON instead of text.
    #[arg(long, global = true)]
    pub json: bool,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Design a job without writing anything, and list what is wrong or missing.
    Check(CheckArgs),
    /// Design a job and write the design and all its papers.
    Design(DesignArgs),
    /// After a small edit, show quickly which openings would move and what the plan would cost; writes nothing.
    Preview(PreviewArgs),
    /// Explain a finding by its code, or a figure of a job by its path.
    #[command(after_help = "\
Examples:
  doorwright explain POW-001                                  the manual page of a rule
  doorwright explain                                          every rule
  doorwright explain my-job                                   every figure that has a working
  doorwright explain my-job opening/D-101/lock_end_v          one figure: formula, inputs, source
  doorwright explain my-job enclosure/TR-1/E1                 all figures whose path begins so")]
    Explain(ExplainArgs),
    /// Run one calculator by itself.
    #[command(after_help = "\
Examples:
  doorwright calc                                             every calculator
  doorwright calc voltage-drop                                what one asks for
  doorwright calc voltage-drop length_m=30 current_a=0.5 awg=18
  doorwright calc --cases cases.csv                           many, from columns id,calculator,inputs")]
    Calc(CalcArgs),
    /// Print the JSON Schema of a document.
    Schema(SchemaArgs),
    /// Begin a job in a new folder.
    New(NewArgs),
    /// Write the demo job, its design and all its papers.
    Demo(DemoArgs),
    /// Keep where openings stand as an issued revision, so that later edits neither move nor renumber them.
    Issue(IssueArgs),
    /// Place the openings of a raw estate file, or the customers of a facility file, at the least cost.
    #[command(after_help = "\
The form of FILE is told by its content: an estate (JSON, format estate-1: openings, rooms, controllers, rules) or a
facility problem (text: capacities and fixed costs, demands, costs). Either may be packed with gzip.

Ctrl-C ends the search and prints the best plan so far; pressed twice, it ends the program.
With --json the answer is one object: cost and bound in the file's own unit, gap as a fraction, seconds, and for each
opening the id of its room (for each customer the number of its site, from 0), null where there is none.

Examples:
  doorwright place estate.json
  doorwright place estate.json --json > plan.json
  doorwright place edited.json --start plan.json --effort quick

Exit codes: 0 everything is served, 1 something is not, 2 usage or file error.")]
    Place(PlaceArgs),
    /// Print a completion script for a shell.
    Completions(CompletionArgs),
}

/// A job and what it is designed with.
#[derive(Debug, Args)]
pub struct JobArgs {
    /// The job's folder, or its job.toml.
    pub job: PathBuf,

    /// A catalogue file laid over the built-in demo catalogue; may be repeated, later files win.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Vec<PathBuf>,

    /// Use only the catalogue files given, not the built-in demo catalogue.
    #[arg(long, requires = "catalogue")]
    pub own_catalogue_only: bool,

    /// A code profile file, instead of the one the job's policy names.
    #[arg(long, value_name = "FILE")]
    pub profile: Option<PathBuf>,
}

/// How a job is planned.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// Plan anew even where an issued revision says where openings stand.
    #[arg(long)]
    pub fresh: bool,

    /// How hard to look for a cheaper plan.
    #[arg(long, value_name = "HOW", value_enum, default_value_t = HowHard::Normal)]
    pub effort: HowHard,
}

impl PlanArgs {
    /// What the engine is told.
    pub fn options(&self) -> Options {
        Options { fresh: self.fresh, effort: self.effort.into() }
    }
}

/// How hard to look for a cheaper plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum HowHard {
    /// While the job is being edited.
    Quick,
    /// For everyday design.
    Normal,
    /// For a tender, when some seconds do not matter.
    Thorough,
}

impl From<HowHard> for Effort {
    fn from(how_hard: HowHard) -> Self {
        match how_hard {
            HowHard::Quick => Self::Quick,
            HowHard::Normal => Self::Normal,
            HowHard::Thorough => Self::Thorough,
        }
    }
}

/// Arguments of `preview`.
#[derive(Debug, Args)]
pub struct PreviewArgs {
    #[command(flatten)]
    pub job: JobArgs,

    /// The design.json of the job before the edit.
    #[arg(long, value_name = "DESIGN.json")]
    pub from: PathBuf,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    #[command(flatten)]
    pub job: JobArgs,

    #[command(flatten)]
    pub plan: PlanArgs,

    /// One line a finding.
    #[arg(long)]
    pub brief: bool,
}

/// Arguments of `design`.
#[derive(Debug, Args)]
pub struct DesignArgs {
    #[command(flatten)]
    pub job: JobArgs,

    #[command(flatten)]
    pub plan: PlanArgs,

    /// Folder to write to; made when it is not there.
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The code of a finding, or a job.
    pub what: Option<String>,

    /// The path of a figure of that job, or its beginning.
    pub figure: Option<String>,
}

/// Arguments of `calc`.
#[derive(Debug, Args)]
pub struct CalcArgs {
    /// The calculator.
    pub name: Option<String>,

    /// Its inputs.
    #[arg(value_name = "KEY=VALUE")]
    pub inputs: Vec<String>,

    /// Run every row of a file with the columns id, calculator, inputs (`key=value;key=value`).
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["name", "inputs"])]
    pub cases: Option<PathBuf>,
}

/// Documents that have a schema.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Document {
    /// The job document.
    Job,
    /// A catalogue file.
    Catalogue,
    /// A code profile.
    Profile,
    /// A design as JSON.
    Design,
}

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Which document.
    #[arg(default_value = "job")]
    pub document: Document,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// Folder to make; nothing that is there already is touched.
    pub folder: PathBuf,
}

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Folder to write to; made when it is not there.
    #[arg(long, value_name = "DIR", default_value = "demo-out")]
    pub out: PathBuf,
}

/// Arguments of `issue`.
#[derive(Debug, Args)]
pub struct IssueArgs {
    #[command(flatten)]
    pub job: JobArgs,

    #[command(flatten)]
    pub plan: PlanArgs,
}

/// Arguments of `place`.
#[derive(Debug, Args)]
pub struct PlaceArgs {
    /// The estate or facility file.
    pub file: PathBuf,

    /// How hard to search. The same effort gives the same plan on every machine; only the time differs.
    #[arg(long, value_enum, default_value_t = HowHard::Thorough)]
    pub effort: HowHard,

    /// Chooses another random sequence.
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub seed: u64,

    /// A plan to improve on: what an earlier run of this file, or of it before an edit, printed with --json.
    #[arg(long, value_name = "FILE")]
    pub start: Option<PathBuf>,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionArgs {
    /// The shell.
    pub shell: clap_complete::Shell,
}
