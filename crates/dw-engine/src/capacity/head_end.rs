//! Which head-end, and how many of it.

use dw_core::{DeviceId, FigureId, Input, Money, Working};
use dw_job::catalogue::{Device, DeviceKind};
use rust_decimal::Decimal;

use super::rules::{HeadEndMissing, HeadEndOpeningsExceeded, LimitNotStated};
use crate::Cx;
use crate::survey::Survey;

/// The head-end of the kind wanted that costs least over the years counted, and how many of it.
///
/// **Formula**: number = openings / openings of one, rounded up; cost = number x (price + yearly cost x years).
/// **Shape**: `None` and 0 when nothing is under control or none of that kind holds everybody. **Tie**: fewer, then by id.
pub(super) fn choose(cx: &mut Cx<'_>, survey: &Survey, openings: u32, everybody: u32) -> (Option<DeviceId>, u32) {
    if openings == 0 {
        return (None, 0);
    }
    let wanted = survey.settings.head_end;
    let of_kind: Vec<&Device> =
        cx.catalogue.offered(DeviceKind::HeadEnd).filter(|device| device.head_end == Some(wanted)).collect();
    for device in of_kind.iter().filter(|device| device.limits.openings.is_none()) {
        cx.sink.report(&LimitNotStated {
            device: device.id.clone(),
            key: "limits.openings",
            what: "openings",
            needed: openings,
        });
    }
    for device in of_kind.iter().filter(|device| device.limits.cards.is_none()) {
        cx.sink.report(&LimitNotStated {
            device: device.id.clone(),
            key: "limits.cards",
            what: "people",
            needed: everybody,
        });
    }
    let holds = |device: &&&Device| device.limits.cards.is_some_and(|cards| cards >= everybody);
    let best = of_kind
        .iter()
        .filter(holds)
        .filter_map(|device| Some((device, number(openings, device.limits.openings?)?)))
        .min_by_key(|(device, number)| (cost(survey, device, *number), *number, device.id.clone()));
    let Some((device, number)) = best else {
        cx.sink.report(&HeadEndMissing { wanted, openings, everybody });
        return (None, 0);
    };
    let limit = device.limits.openings.unwrap_or(openings);
    if number > 1 {
        cx.sink.report(&HeadEndOpeningsExceeded { device: device.id.clone(), openings, limit, number });
    }
    cx.sink.show(Working {
        figure: FigureId::new("job", "", "head_ends"),
        title: "Head-ends",
        value: number.into(),
        unit: "",
        formula: "openings / openings_of_one, rounded up",
        inputs: vec![Input::new("openings", openings, ""), Input::new("openings_of_one", limit, "")],
        source: "limits of the catalogue; least price and yearly cost over the years counted",
    });
    (Some(device.id.clone()), number)
}

fn number(openings: u32, limit: u32) -> Option<u32> {
    (limit > 0).then(|| openings.div_ceil(limit))
}

/// What a device costs to buy and keep over the years counted, without interest: for comparing only.
fn cost(survey: &Survey, device: &Device, number: u32) -> Money {
    over_years(survey, device) * number
}

/// Price and yearly cost of one over the years counted.
pub(super) fn over_years(survey: &Survey, device: &Device) -> Money {
    let years = Decimal::from_f64_retain(survey.settings.money.whole_life_years).unwrap_or(Decimal::ONE).round_dp(2);
    device.price.unwrap_or_default() + device.yearly_cost.unwrap_or_default().times(years)
}
