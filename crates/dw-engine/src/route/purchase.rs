//! Cable to buy: whole reels where the catalogue states a reel, with waste.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, Id, Input, Metres, Working};
use dw_solve::cutting;

use super::ground::{length_mm, metres};
use super::rules::LongerThanReel;
use super::{CablePurchase, CableRun};
use crate::Cx;
use crate::survey::Survey;

/// Cables are cut to the decimetre above (*common practice*).
const CUT_STEP_MM: u64 = 100;

/// Cable to buy of each kind, in the order of ids.
///
/// Without a reel, `bought = cut · (1 + waste)`. With one, `bought = reels · reel + longer`, where `reels` is the larger of
/// what the cutting plan opens and what `cut · (1 + waste)` needs, and `longer` are the runs longer than a reel, ordered
/// at their own length with waste.
pub(super) fn purchases(cx: &mut Cx<'_>, survey: &Survey, runs: &[CableRun]) -> Vec<CablePurchase> {
    let mut cuts: BTreeMap<&DeviceId, Vec<u64>> = BTreeMap::new();
    for run in runs.iter().filter(|run| !run.existing) {
        if let Some(device) = &run.device {
            cuts.entry(device).or_default().push(length_mm(run.length_m));
        }
    }
    let waste_share = survey.settings.waste_share;
    cuts.into_iter().map(|(device, cuts)| purchase(cx, device, &cuts, waste_share)).collect()
}

fn purchase(cx: &mut Cx<'_>, device: &DeviceId, cuts: &[u64], waste_share: f64) -> CablePurchase {
    let reel_m = cx.device(device).and_then(|device| device.cable.reel).filter(|reel| reel.get() > 0.0);
    let cut: u64 = cuts.iter().sum();
    let with_waste = |mm: u64| libm::ceil(mm as f64 * (1.0 + waste_share)) as u64;
    let (mut bought, mut reels) = (with_waste(cut), None);
    if let Some(reel_m) = reel_m {
        let steps: Vec<u64> = cuts.iter().map(|mm| mm.div_ceil(CUT_STEP_MM)).collect();
        let reel = length_mm(reel_m);
        let plan = cutting::cut(&steps, reel / CUT_STEP_MM);
        let longer: u64 = plan.too_long.iter().map(|&idx| cuts[idx]).sum();
        let by_waste = with_waste(cut - longer).div_ceil(reel.max(1));
        let n_reels = by_waste.max(plan.reels.len() as u64);
        bought = n_reels * reel + with_waste(longer);
        reels = Some(u32::try_from(n_reels).unwrap_or(u32::MAX));
        if let Some(longest) = plan.too_long.iter().map(|&idx| cuts[idx]).max() {
            let (device, runs) = (device.clone(), plan.too_long.len());
            cx.sink.report(&LongerThanReel { device, runs, longest: metres(longest), reel: reel_m });
        }
    }
    show(cx, device, cuts.len(), cut, waste_share, reel_m, bought);
    CablePurchase { device: device.clone(), cut_m: metres(cut), bought_m: metres(bought), reels }
}

fn show(
    cx: &mut Cx<'_>,
    device: &DeviceId,
    n_runs: usize,
    cut: u64,
    waste_share: f64,
    reel_m: Option<Metres>,
    bought: u64,
) {
    let runs = u32::try_from(n_runs).unwrap_or(u32::MAX);
    cx.sink.show(Working {
        figure: FigureId::new("cable", device.text(), "bought_m"),
        title: "Cable to buy",
        value: metres(bought).get().into(),
        unit: "m",
        formula: "whole reels for cut * (1 + waste), or as many as the cutting plan of the runs opens",
        inputs: vec![
            Input::new("runs", runs, ""),
            Input::new("cut", metres(cut).get(), "m"),
            Input::new("waste", waste_share, ""),
            Input::new("reel", reel_m.map_or(0.0, Metres::get), "m"),
        ],
        source: "cutting stock: Martello and Toth, Knapsack Problems (1990), chapter 8; waste: policy of the job",
    });
}
