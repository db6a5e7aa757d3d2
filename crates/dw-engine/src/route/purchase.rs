//! Cable to buy: reels cut for the least money where the catalogue states reels, with waste.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, Id, Input, Metres, Money, Working};
use dw_job::catalogue::Device;
use dw_solve::cutting::{self, Cutting, Stock};

use super::ground::{length_mm, metres};
use super::rules::LongerThanReel;
use super::{CablePurchase, CableRun, CutReel};
use crate::Cx;
use crate::survey::Survey;

/// Cables are cut to the decimetre above (*common practice*).
const CUT_STEP_MM: u64 = 100;

/// Reels a cable is sold on: length, and price where the catalogue states one for that reel. Of two of one length only the
/// cheaper is ever bought.
pub(crate) fn reels_of(device: &Device) -> Vec<(Metres, Option<Money>)> {
    let cable = &device.cable;
    let (short, long) = (&cable.short_reel, &cable.long_reel);
    let stated = [(cable.reel, cable.reel_price), (short.length, short.price), (long.length, long.price)];
    let mut reels: Vec<(Metres, Option<Money>)> = Vec::new();
    for (length, price) in stated {
        let Some(length) = length.filter(|it| it.get() > 0.0) else { continue };
        let cost = |reel| reel_price(device, reel).map_or((true, Money::ZERO), |price| (false, price));
        match reels.iter_mut().find(|reel| reel.0 == length) {
            Some(known) if cost((length, price)) < cost(*known) => known.1 = price,
            Some(_) => {}
            None => reels.push((length, price)),
        }
    }
    reels
}

/// Price of a reel: as stated, or that of its metres.
pub(crate) fn reel_price(device: &Device, (length, price): (Metres, Option<Money>)) -> Option<Money> {
    price.or_else(|| Some(device.price?.times_quantity(length.get())))
}

/// Cable to buy of each kind, in the order of ids.
///
/// Without reels, `bought = cut · (1 + waste)`. With reels, those of the cheapest cutting plan found that together hold at
/// least `cut · (1 + waste)`; runs longer than the longest reel are ordered at their own length with waste.
pub(super) fn purchases(cx: &mut Cx<'_>, survey: &Survey, runs: &[CableRun]) -> Vec<CablePurchase> {
    let mut cuts: BTreeMap<&DeviceId, Vec<&CableRun>> = BTreeMap::new();
    for run in runs.iter().filter(|run| !run.existing) {
        if let Some(device) = &run.device {
            cuts.entry(device).or_default().push(run);
        }
    }
    let waste_share = survey.settings.waste_share;
    cuts.into_iter().map(|(device, cuts)| purchase(cx, device, &cuts, waste_share)).collect()
}

fn purchase(cx: &mut Cx<'_>, id: &DeviceId, runs: &[&CableRun], waste_share: f64) -> CablePurchase {
    let device = cx.device(id);
    let reels = device.map(reels_of).unwrap_or_default();
    let lengths: Vec<u64> = runs.iter().map(|run| length_mm(run.length_m)).collect();
    let cut: u64 = lengths.iter().sum();
    let with_waste = |mm: u64| libm::ceil(mm as f64 * (1.0 + waste_share)) as u64;
    let by_metre = |mm: u64| Some(device?.price?.times_quantity(metres(mm).get()));
    let mut bought = CablePurchase::by_metre(id.clone(), metres(cut), metres(with_waste(cut)));
    (bought.cost, bought.least_cost) = (by_metre(with_waste(cut)), by_metre(with_waste(cut)));
    if let Some(longest) = reels.iter().map(|reel| reel.0).max() {
        let longer: u64 = lengths.iter().filter(|&&mm| mm.div_ceil(CUT_STEP_MM) > steps(longest)).sum();
        let prices: Option<Vec<Money>> = reels.iter().map(|&reel| reel_price(device?, reel)).collect();
        let plan = cut_plan(&lengths, &reels, prices.as_deref(), with_waste(cut - longer));
        tell_of_longer(cx, id, &plan, &lengths, longest);
        let whole = |mm: u64| metres(mm.saturating_mul(CUT_STEP_MM));
        bought.bought_m =
            plan.reels.iter().map(|reel| reels[reel.stock].0).sum::<Metres>() + metres(with_waste(longer));
        bought.least_bought_m = (whole(plan.least_bought) + metres(with_waste(longer))).min(bought.bought_m);
        // What comes on reels only needs no price of a metre.
        let beside = if longer > 0 { by_metre(with_waste(longer)) } else { Some(Money::ZERO) };
        let money = |cents: u64| Some(Money::from_cents(i64::try_from(cents).unwrap_or(i64::MAX)) + beside?);
        bought.cost = prices.as_ref().and_then(|_| money(plan.price));
        bought.least_cost = prices.as_ref().and_then(|_| money(plan.least_price));
        bought.reels = plan.reels.iter().map(|reel| cut_reel(reel, &reels, runs)).collect();
    }
    show(cx, runs.len(), waste_share, &reels, &bought);
    bought
}

fn steps(length: Metres) -> u64 {
    length_mm(length) / CUT_STEP_MM
}

/// The cutting plan in decimetres and cents; by length alone where the cable has no price.
fn cut_plan(lengths: &[u64], reels: &[(Metres, Option<Money>)], prices: Option<&[Money]>, at_least: u64) -> Cutting {
    let stock = |(idx, reel): (usize, &(Metres, Option<Money>))| {
        let length = steps(reel.0);
        let cents = prices.map(|prices| u64::try_from(prices[idx].cents()).unwrap_or(0));
        Stock { length, price: cents.unwrap_or(length) }
    };
    let stocks: Vec<Stock> = reels.iter().enumerate().map(stock).collect();
    let cuts: Vec<u64> = lengths.iter().map(|mm| mm.div_ceil(CUT_STEP_MM)).collect();
    cutting::cut(&cuts, &stocks, at_least.div_ceil(CUT_STEP_MM))
}

fn cut_reel(reel: &cutting::Reel, reels: &[(Metres, Option<Money>)], runs: &[&CableRun]) -> CutReel {
    let cuts: Vec<(String, Metres)> =
        reel.cuts.iter().map(|&idx| (runs[idx].label.clone(), runs[idx].length_m)).collect();
    let length_m = reels[reel.stock].0;
    let used: Metres = cuts.iter().map(|cut| cut.1).sum();
    CutReel { length_m, cuts, left_m: length_m - used }
}

fn tell_of_longer(cx: &mut Cx<'_>, device: &DeviceId, plan: &Cutting, lengths: &[u64], reel: Metres) {
    if let Some(longest) = plan.too_long.iter().map(|&idx| lengths[idx]).max() {
        let (device, runs) = (device.clone(), plan.too_long.len());
        cx.sink.report(&LongerThanReel { device, runs, longest: metres(longest), reel });
    }
}

fn show(cx: &mut Cx<'_>, n_runs: usize, waste_share: f64, reels: &[(Metres, Option<Money>)], bought: &CablePurchase) {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let mut inputs = vec![
        Input::new("runs", count(n_runs), ""),
        Input::new("cut", bought.cut_m.get(), "m"),
        Input::new("waste", waste_share, ""),
        Input::new("reels", count(bought.reels.len()), ""),
        Input::new("least_bought", bought.least_bought_m.get(), "m"),
    ];
    let names = ["reel", "other_reel", "third_reel"];
    inputs.extend(names.iter().zip(reels).map(|(name, reel)| Input::new(name, reel.0.get(), "m")));
    if let Some((cost, least)) = bought.cost.zip(bought.least_cost) {
        inputs.extend([Input::new("cost", cost, ""), Input::new("least_cost", least, "")]);
    }
    cx.sink.show(Working {
        figure: FigureId::new("cable", bought.device.text(), "bought_m"),
        title: "Cable to buy",
        value: bought.bought_m.get().into(),
        unit: "m",
        formula: "reels of the cheapest cutting plan of the runs that hold cut * (1 + waste); by the metre cut * (1 + waste)",
        inputs,
        source: "cutting stock: Gilmore and Gomory (1961), bound by Farley (1990); waste: policy of the job",
    });
}

#[cfg(test)]
mod tests {
    use dw_core::OpeningId;
    use dw_job::catalogue::CableUse;

    use super::*;
    use crate::route::testing::Scene;

    /// A run of the scene's lock cable, with what the catalogue says of it changed; gives cost and reels.
    fn check(length: f64, change: impl FnOnce(&mut Device)) -> (Option<Money>, usize) {
        let mut scene = Scene::new();
        change(scene.catalogue.devices.get_mut(&DeviceId::new("CL2")).unwrap());
        let run = CableRun {
            label: "D-1/1".to_owned(),
            mark: OpeningId::new("D-1"),
            room: dw_core::RoomId::new("TR-1"),
            device: Some(DeviceId::new("CL2")),
            purpose: CableUse::Lock,
            length_m: Metres::new(length),
            cores: Vec::new(),
            existing: false,
            local: false,
        };
        let survey = &scene.survey;
        let bought = scene.run(|cx| purchases(cx, survey, &[run])).0.remove(0);
        (bought.cost, bought.reels.len())
    }

    fn priced(device: &mut Device, reel: i64, short: Option<i64>) {
        device.cable.reel_price = Some(Money::from_cents(reel));
        device.cable.short_reel.length = device.cable.reel;
        device.cable.short_reel.price = short.map(Money::from_cents);
    }

    #[test]
    fn a_reel_of_known_price_needs_no_price_of_a_metre() {
        let without_metre = |device: &mut Device| {
            priced(device, 7_000, None);
            device.cable.short_reel.length = None;
            device.price = None;
        };
        assert_eq!(check(60.0, without_metre), (Some(Money::from_cents(7_000)), 1));
        assert_eq!(check(160.0, without_metre), (None, 0));
    }

    #[test]
    fn of_two_reels_of_one_length_the_cheaper_is_bought() {
        assert_eq!(check(60.0, |device| priced(device, 7_000, Some(6_500))), (Some(Money::from_cents(6_500)), 1));
        assert_eq!(check(60.0, |device| priced(device, 6_000, Some(6_500))), (Some(Money::from_cents(6_000)), 1));
        // A reel of 100 m without a price of its own costs its metres, 80.00.
        assert_eq!(check(60.0, |device| priced(device, 9_000, None)), (Some(Money::from_cents(8_000)), 1));
    }
}
