//! Licences: the mix that covers the openings at least cost, by a dynamic programme over the openings.

use dw_core::{DeviceId, FigureId, Input, Money, Working};
use dw_job::catalogue::{Device, DeviceKind};

use super::head_end::over_years;
use super::rules::LicenceMissing;
use crate::Cx;
use crate::survey::Survey;

/// Most openings the mix is computed for; far above any estate, it bounds the table of an absurd job.
const MOST_OPENINGS: usize = 200_000;

/// The licences to buy, each with its count, in the order of ids.
pub(super) fn choose(cx: &mut Cx<'_>, survey: &Survey, openings: u32) -> Vec<(DeviceId, u32)> {
    if openings == 0 {
        return Vec::new();
    }
    let kind = survey.settings.head_end;
    let suits = |device: &&Device| device.head_end.is_none_or(|head_end| head_end == kind);
    let offered: Vec<&Device> = cx.catalogue.offered(DeviceKind::Licence).filter(suits).collect();
    let packs: Vec<(u32, Money)> = offered
        .iter()
        .map(|device| {
            let usable = device.price.and(device.limits.openings).unwrap_or(0);
            (usable, over_years(survey, device))
        })
        .collect();
    let Some((counts, cost)) = licence_mix(openings, &packs) else {
        cx.sink.report(&LicenceMissing { openings, offered: offered.len() });
        return Vec::new();
    };
    let mix: Vec<(DeviceId, u32)> =
        offered.iter().zip(counts).filter(|row| row.1 > 0).map(|(device, count)| (device.id.clone(), count)).collect();
    let named: Vec<String> = mix.iter().map(|(id, count)| format!("{count} x {id}")).collect();
    cx.sink.show(Working {
        figure: FigureId::new("job", "", "licences"),
        title: "Licences, price and yearly cost over the years counted",
        value: cost.into(),
        unit: "catalogue currency",
        formula: "least cost of any mix that covers the openings",
        inputs: vec![Input::new("openings", openings, ""), Input::new("mix", named.join(", "), "")],
        source: "dynamic programme over openings, exact",
    });
    mix
}

/// How many of each pack cover `openings` at least cost, and that cost.
///
/// **Formula**: best(0) = 0, best(n) = min over packs of best(n - size) + cost, where a pack larger than n covers it.
/// **Units**: a pack is its openings and its cost; packs of size 0 are not offered.
/// **Shape**: one count a pack; `None` when no pack is offered. **Tie**: fewer packs, then packs listed first.
///
/// ```
/// use dw_core::Money;
/// use dw_engine::capacity::licence_mix;
///
/// let packs = [(1, Money::from_cents(5800)), (8, Money::from_cents(41_600))];
/// let (counts, cost) = licence_mix(15, &packs).unwrap();
/// assert_eq!((counts, cost), (vec![7, 1], Money::from_cents(82_200)));
/// assert_eq!(licence_mix(16, &packs).unwrap().0, [0, 2]);
/// ```
pub fn licence_mix(openings: u32, packs: &[(u32, Money)]) -> Option<(Vec<u32>, Money)> {
    let openings = (openings as usize).min(MOST_OPENINGS);
    let offered = || packs.iter().enumerate().filter(|(_, pack)| pack.0 > 0);
    let mut best: Vec<(Money, u32, usize)> = vec![(Money::ZERO, 0, 0)];
    for covered in 1..=openings {
        let with = |(index, &(size, cost)): (usize, &(u32, Money))| {
            let before = best[covered.saturating_sub(size as usize)];
            (before.0 + cost, before.1 + 1, index)
        };
        let next = offered().map(with).min()?;
        best.push(next);
    }
    let mut counts = vec![0; packs.len()];
    let mut left = openings;
    while left > 0 {
        let pack = best[left].2;
        counts[pack] += 1;
        left = left.saturating_sub(packs[pack].0 as usize);
    }
    Some((counts, best[openings].0))
}
