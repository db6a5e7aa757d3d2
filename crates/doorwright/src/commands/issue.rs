//! `issue JOB`: keeps where openings stand as an issued revision.

use anyhow::bail;
use dw_core::Severity;
use dw_engine::Design;
use serde_json::json;

use super::{designed, outcome};
use crate::args::IssueArgs;
use crate::{Outcome, files, show, stop};

/// The sheet beside the job that holds the issued revision.
const ISSUED_SHEET: &str = "issued.csv";

/// Designs the job and writes where every opening stands beside it; a plan that was stopped early is not issued.
pub fn run(args: &IssueArgs, as_json: bool) -> anyhow::Result<Outcome> {
    let folder = files::job_folder(&args.job.job)?;
    let design = designed(files::load(&args.job)?, args.plan.options())?;
    if design.placement.stopped {
        bail!("the search was stopped, so nothing is issued; let it finish, with less effort if time is short");
    }
    let path = folder.join(ISSUED_SHEET);
    let sheet = sheet(&design)?;
    let _whole = stop::while_writing();
    files::write(&path, sheet.as_bytes())?;
    let (served, revision) = (design.placement.served.len(), &design.heading.revision);
    if as_json {
        show::json(&json!({ "file": path.display().to_string(), "openings": served, "revision": revision }))?;
    } else {
        let open = match design.count(Severity::Stop) {
            0 => String::new(),
            1 => ", while one stop is open: `doorwright check` shows it".to_owned(),
            stops => format!(", while {stops} stops are open: `doorwright check` shows them"),
        };
        show::text(&format!("Revision {revision}: {served} openings kept in {}{open}\n", path.display()))?;
    }
    Ok(outcome(&design))
}

fn sheet(design: &Design) -> anyhow::Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["opening", "revision", "room", "controller", "number", "port", "arrangement"])?;
    for served in &design.placement.served {
        let controller = served.controller.and_then(|idx| design.placement.controllers.get(idx));
        let model = controller.map(|controller| controller.device.to_string()).unwrap_or_default();
        let number = controller.map(|controller| controller.number.to_string()).unwrap_or_default();
        let port = controller.map(|_| served.first_port.to_string()).unwrap_or_default();
        let (mark, room) = (served.mark.to_string(), served.room.to_string());
        let arrangement = served.arrangement.to_string();
        writer.write_record([&mark, &design.heading.revision, &room, &model, &number, &port, &arrangement])?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}
