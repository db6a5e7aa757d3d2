//! `preview JOB --from DESIGN.json`: what a small edit does to the placement, before the design is made anew.

use std::path::Path;

use anyhow::Context as _;
use dw_core::{OpeningId, RoomId, Severity};
use dw_engine::place::{Previous, Stood};
use dw_engine::{Preview, preview};
use dw_job::model::ArrangementKind;
use serde::Deserialize;
use serde_json::json;

use crate::args::PreviewArgs;
use crate::files::Loaded;
use crate::{Outcome, files, show};

/// The part of a design that a preview begins from.
#[derive(Deserialize)]
struct Before {
    placement: PlacementBefore,
}

#[derive(Deserialize)]
struct PlacementBefore {
    served: Vec<ServedBefore>,
}

#[derive(Deserialize)]
struct ServedBefore {
    mark: String,
    room: String,
    arrangement: String,
}

/// Places the job from the earlier design and tells what moves.
pub fn run(args: &PreviewArgs, as_json: bool) -> anyhow::Result<Outcome> {
    let previous = served(&args.from)?;
    let Loaded { job, catalogue, profile, read } = files::load(&args.job)?;
    let quick = preview(&job, &catalogue, &profile, read, &previous);
    let moved = moved(&quick, &previous);
    let placement = &quick.placement;
    if as_json {
        let moved: Vec<_> =
            moved.iter().map(|(mark, from, to)| json!({ "mark": mark, "from": from, "to": to })).collect();
        let (cost, bound, gap) = (&placement.cost, &placement.bound, placement.gap);
        let unserved = &placement.unserved;
        show::json(&json!({
            "preview": true, "cost": cost, "bound": bound, "gap": gap, "moved": moved, "unserved": unserved,
            "findings": quick.findings,
        }))?;
    } else {
        let elsewhere = moved.iter().map(|(mark, from, to)| format!("  {mark}: {from} -> {to}\n"));
        let lost = placement.unserved.iter().map(|mark| {
            let before = if previous.contains_key(mark) { "served before" } else { "new" };
            format!("  {mark}: not served ({before})\n")
        });
        let stops = quick.findings.iter().filter(|finding| finding.severity == Severity::Stop);
        let stops = stops.map(|finding| format!("  stop {}: {}\n", finding.code, finding.headline));
        let lines: Vec<String> = elsewhere.chain(lost).chain(stops).collect();
        show::text(&format!(
            "Preview, not a design: {} openings served, {} not, {} elsewhere than before\n{}\
             Placement would cost {} {}, within {:.2} % of the least cost for this data{}\n\
             Papers come from `doorwright design` only\n",
            placement.served.len(),
            placement.unserved.len(),
            moved.len(),
            lines.concat(),
            quick.currency.code(),
            placement.cost,
            (placement.gap * 1e4).ceil() / 1e2,
            if placement.unserved.is_empty() { "" } else { " and those served" },
        ))?;
    }
    let stops = quick.findings.iter().any(|finding| finding.severity == Severity::Stop);
    Ok(if stops { Outcome::Stopped } else { Outcome::Clear })
}

/// Reads how each opening is served from a design.
fn served(path: &Path) -> anyhow::Result<Previous> {
    let bytes = std::fs::read(path).with_context(|| format!("{} cannot be read", path.display()))?;
    let before: Before = serde_json::from_slice(&bytes)
        .with_context(|| format!("{} is no design as `doorwright design` writes it", path.display()))?;
    let word = |written: &str| ArrangementKind::ALL.iter().find(|row| row.0 == written).map(|row| row.1);
    let stood = |it: ServedBefore| {
        let arrangement = word(&it.arrangement).unwrap_or(ArrangementKind::Ports);
        (OpeningId::new(&it.mark), Stood { room: RoomId::new(&it.room), arrangement })
    };
    Ok(before.placement.served.into_iter().map(stood).collect())
}

/// Openings served from another room than before, or new: mark, room before, room now.
fn moved(quick: &Preview, previous: &Previous) -> Vec<(String, String, String)> {
    let of = |served: &dw_engine::place::Served| {
        let before = previous.get(&served.mark).map(|before| &before.room);
        (before != Some(&served.room)).then(|| {
            let from = before.map_or_else(|| "new".to_owned(), ToString::to_string);
            (served.mark.to_string(), from, served.room.to_string())
        })
    };
    quick.placement.served.iter().filter_map(of).collect()
}
