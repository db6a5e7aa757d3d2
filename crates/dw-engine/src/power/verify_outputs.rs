//! Judges the outputs of every supply by code of its own: devices counted, loads added per output, class 2 by the power.

use dw_core::{Amps, Place};

use super::plan::{EnclosurePlan, OutputClass, OutputLoad, SupplyOutput};
use super::rules::LoadsNotBalanced;
use crate::Cx;
use crate::survey::Survey;

/// Difference that counts as agreement, in amperes and volts.
const CLOSE: f64 = 1e-6;

/// Raises `POW-901` for an enclosure whose outputs do not hold what it feeds.
pub(super) fn verify(cx: &mut Cx<'_>, survey: &Survey, enclosure: &EnclosurePlan) {
    let wrong = counted(enclosure).or_else(|| {
        let mut outputs = enclosure.outputs.iter();
        outputs.find_map(|output| added(enclosure, output).or_else(|| rated(cx, survey, enclosure, output)))
    });
    if let Some(what) = wrong.or_else(|| left_over(enclosure)) {
        cx.sink.report(&LoadsNotBalanced { place: Place::of(&enclosure.id), what });
    }
}

/// Lasting current and inrush of one device of a load.
fn one(enclosure: &EnclosurePlan, on: OutputLoad) -> Option<(f64, f64)> {
    let load = enclosure.loads.get(on.load)?;
    Some((load.active_a.get() / f64::from(load.count.max(1)), load.inrush_a.get()))
}

/// Every device that draws current hangs on one output or is left over.
fn counted(enclosure: &EnclosurePlan) -> Option<String> {
    enclosure.supply.as_ref()?;
    let placed = || enclosure.outputs.iter().flat_map(|output| &output.loads).chain(&enclosure.without_output);
    for (index, load) in enclosure.loads.iter().enumerate() {
        let draws = load.active_a + load.inrush_a > Amps::ZERO;
        let wanted = if draws { u64::from(load.count) } else { 0 };
        let found: u64 = placed().filter(|on| on.load == index).map(|on| u64::from(on.count)).sum();
        if found != wanted {
            return Some(format!("{found} of {wanted} {} hang on outputs or are left over", load.device));
        }
    }
    None
}

/// The loads of an output add up to what it states, and one device alone may be more than its rating, several not.
fn added(enclosure: &EnclosurePlan, output: &SupplyOutput) -> Option<String> {
    let (mut lasting, mut inrush, mut devices) = (0.0, 0.0_f64, 0_u64);
    for on in output.loads.iter().rev() {
        let Some((each, excess)) = one(enclosure, *on) else {
            return Some(format!("output {} feeds a load that is none of the enclosure", output.number));
        };
        lasting += each * f64::from(on.count);
        inrush = inrush.max(excess);
        devices += u64::from(on.count);
    }
    let peak = lasting + inrush;
    if (lasting - output.lasting_a.get()).abs() > CLOSE || (peak - output.peak_a.get()).abs() > CLOSE {
        let (stated, most) = (output.lasting_a, output.peak_a);
        let number = output.number;
        return Some(format!(
            "output {number} feeds {lasting:.3} A, {peak:.3} A at peak; {stated:.3}, {most:.3} stated"
        ));
    }
    let over = devices > 1 && peak > output.rating_a.get() + CLOSE;
    over.then(|| format!("{devices} devices take {peak:.3} A on output {} of {:.3}", output.number, output.rating_a))
}

/// Rating, voltage and class of an output follow from the catalogue and the room.
fn rated(cx: &Cx<'_>, survey: &Survey, enclosure: &EnclosurePlan, output: &SupplyOutput) -> Option<String> {
    let supply = &cx.device(enclosure.supply.as_ref()?)?.supply;
    let rating = supply.output_rating.or(supply.output)?.get();
    let coldest = survey.room(&enclosure.room)?.temperature_min_c.get();
    // Source: 3 mV a cell and kelvin below 25 °C, two volts a cell; only a charger raises its output.
    let raised = if enclosure.battery.is_some() {
        0.003 * (enclosure.nominal_v.get() / 2.0).max(1.0) * (25.0 - coldest).max(0.0)
    } else {
        0.0
    };
    let volts = supply.output_voltage?.get() + raised;
    // Source: NFPA 70-2017 chapter 9 table 11(B), by volt-amperes above 20 V.
    let within = if volts <= 20.0 { rating <= 5.0 + CLOSE } else { volts <= 60.0 && volts * rating <= 100.0 + CLOSE };
    let class = match (within, supply.class_2) {
        (false, _) => OutputClass::Beyond,
        (true, Some(true)) => OutputClass::Listed,
        (true, _) => OutputClass::NotListed,
    };
    let agrees = (output.rating_a.get() - rating).abs() <= CLOSE
        && (output.highest_v.get() - volts).abs() <= CLOSE
        && output.class_2 == class;
    (!agrees).then(|| format!("output {} is {rating:.3} A at {volts:.2} V, {class:?}", output.number))
}

/// What is left over fits on no output.
fn left_over(enclosure: &EnclosurePlan) -> Option<String> {
    enclosure.without_output.iter().find_map(|on| {
        let (each, excess) = one(enclosure, *on)?;
        let room = enclosure.outputs.iter().find(|output| {
            let inrush = (output.peak_a - output.lasting_a).get().max(excess);
            output.loads.is_empty() || output.lasting_a.get() + each + inrush < output.rating_a.get() - CLOSE
        })?;
        Some(format!("output {} still carries a device that is left over", room.number))
    })
}

#[cfg(test)]
mod tests {
    use dw_core::{Amps, Volts};

    use crate::power::plan::{OutputClass, PowerPlan};
    use crate::power::testing::*;

    #[test]
    fn outputs_edited_by_hand_are_caught_and_honest_ones_are_not() {
        let mut site = site();
        site.outputs(2, 0.6, true);
        assert_eq!(codes(&site.judge(|_| ())), [""; 0]);
        let edits: [fn(&mut PowerPlan); 7] = [
            |plan| plan.enclosures[0].outputs[0].lasting_a = Amps::new(0.1),
            |plan| plan.enclosures[0].outputs[0].rating_a = Amps::new(9.0),
            |plan| plan.enclosures[0].outputs[0].highest_v = Volts::new(12.0),
            |plan| plan.enclosures[0].outputs[0].class_2 = OutputClass::Beyond,
            |plan| plan.enclosures[0].outputs[1].loads.clear(),
            |plan| plan.enclosures[0].outputs[1].loads[0].load = 77,
            |plan| {
                let moved = plan.enclosures[0].outputs.remove(1);
                plan.enclosures[0].without_output = moved.loads.clone();
                plan.enclosures[0].outputs.push(crate::power::SupplyOutput {
                    loads: Vec::new(),
                    lasting_a: Amps::ZERO,
                    peak_a: Amps::ZERO,
                    ..moved
                });
            },
        ];
        for (number, edit) in edits.into_iter().enumerate() {
            assert_eq!(codes(&site.judge(edit)), ["POW-901"], "edit {number}");
        }
    }
}
