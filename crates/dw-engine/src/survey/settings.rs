//! Policy with every value resolved: what the job says, else the code profile, else common practice.

use dw_core::{Celsius, Currency, Hours, Metres, Minutes};
use dw_job::Job;
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::{HeadEndKind, MoneyPolicy, Transport, UnitSystem};
use rust_decimal::Decimal;

use super::taken::Taken;
use super::{MoneySettings, Settings};
use crate::Cx;

const COMMON: &str = "common practice";

pub(super) fn settings(cx: &Cx<'_>, job: &Job, taken: &mut Taken) -> Settings {
    let (policy, profile) = (&job.policy, cx.profile);
    let (power, cable) = (&policy.power, &policy.cable);
    let sourced = |source: &Option<String>| source.clone().unwrap_or_else(|| COMMON.to_owned());
    let standby = profile.standby.unwrap_or(Hours::new(4.0));
    let alarm = profile.alarm.unwrap_or(Minutes::new(5.0));
    let recharge = profile.recharge.unwrap_or(Hours::new(24.0));
    let margin = profile.battery_margin_percent.unwrap_or(10.0);
    let conductor = profile.conductor_temperature.unwrap_or(Celsius::new(20.0));
    let mut percent = |given: Option<f64>, field: &str, value: f64, because: &str| {
        taken.or(given.as_ref(), "policy", field, value, &format!("{value} %"), because)
    };
    let spare =
        percent(policy.spare_percent, "spare_percent", 20.0, "UFC 4-021-02NF (2006) 9-1.4.2: plan 20 % spare capacity");
    let growth = percent(policy.growth_percent, "growth_percent", 10.0, COMMON);
    let supply_load = percent(
        power.supply_load_percent,
        "power.supply_load_percent",
        80.0,
        "common practice: load a supply to 75-80 %",
    );
    let end_of_life_because = profile.battery_end_of_life_source.clone();
    let end_of_life = percent(
        power.battery_end_of_life_percent,
        "power.battery_end_of_life_percent",
        profile.battery_end_of_life_percent.unwrap_or(80.0),
        end_of_life_because.as_deref().unwrap_or("IEEE 485 practice: replaced at 80 % of rated capacity"),
    );
    let margin = percent(
        power.battery_margin_percent,
        "power.battery_margin_percent",
        margin,
        &sourced(&profile.battery_margin_source),
    );
    let waste = percent(cable.waste_percent, "cable.waste_percent", 8.0, "common practice: 7-10 %");
    let fill = percent(cable.fill_percent, "cable.fill_percent", 40.0, COMMON);
    let length_growth = percent(
        cable.length_growth_percent,
        "cable.length_growth_percent",
        15.0,
        "common practice: lengths from plans are good to 10 to 15 %",
    );
    let false_match = 0.001;
    Settings {
        spare_percent: spare as u32,
        growth_share: growth / 100.0,
        factors_by_level: factors_by_level(&policy.factors_by_level, taken),
        transport: if policy.transport.is_empty() {
            Transport::ALL.iter().map(|row| row.1).collect()
        } else {
            policy.transport.clone()
        },
        head_end: taken.or(
            policy.head_end.as_ref(),
            "policy",
            "head_end",
            HeadEndKind::OwnComputer,
            "own-computer",
            COMMON,
        ),
        fail_mode: policy.fail_mode,
        max_false_match: taken.or(
            policy.max_false_match.as_ref(),
            "policy",
            "max_false_match",
            false_match,
            "0.001",
            "NIST SP 800-63A-4 s3.11: a search among all enrolled answers wrongly at most once in 1000",
        ),
        offline_days: taken.or(
            policy.offline_days.as_ref(),
            "policy",
            "offline_days",
            3.0,
            "3 days",
            "common practice: a long week-end",
        ),
        standby_h: taken.or(
            power.standby.as_ref(),
            "policy",
            "power.standby",
            standby,
            &standby.to_string(),
            &sourced(&profile.standby_source),
        ),
        alarm_min: taken.or(
            power.alarm.as_ref(),
            "policy",
            "power.alarm",
            alarm,
            &alarm.to_string(),
            &sourced(&profile.alarm_source),
        ),
        recharge_h: taken.or(
            power.recharge.as_ref(),
            "policy",
            "power.recharge",
            recharge,
            &recharge.to_string(),
            &sourced(&profile.recharge_source),
        ),
        battery_margin: 1.0 + margin / 100.0,
        battery_end_of_life: end_of_life / 100.0,
        supply_load_share: supply_load / 100.0,
        conductor_temperature_c: taken.or(
            power.conductor_temperature.as_ref(),
            "policy",
            "power.conductor_temperature",
            conductor,
            &conductor.to_string(),
            &sourced(&profile.conductor_temperature_source),
        ),
        lock_voltage_v: power.lock_voltage,
        slack_m: length(taken, cable.slack, "cable.slack", 1.0),
        drop_opening_m: length(taken, cable.drop_opening, "cable.drop_opening", 3.0),
        drop_room_m: length(taken, cable.drop_room, "cable.drop_room", 2.0),
        waste_share: waste / 100.0,
        fill_share: fill / 100.0,
        max_span_m: length(taken, cable.max_span, "cable.max_span", 50.0),
        length_growth_share: length_growth / 100.0,
        cable_families: families(cx, &cable.families, units(job), taken),
        spare_cores: taken.or(
            cable.spare_cores.as_ref(),
            "policy",
            "cable.spare_cores",
            0,
            "0",
            "standard core counts leave some spare",
        ),
        money: money(cx, &policy.money, taken),
        units: units(job),
        locale: taken.or(
            job.heading.locale.as_ref(),
            "job",
            "locale",
            "en-GB".to_owned(),
            "en-GB",
            "no locale is given",
        ),
    }
}

fn length(taken: &mut Taken, given: Option<Metres>, field: &str, metres: f64) -> Metres {
    let value = Metres::new(metres);
    taken.or(given.as_ref(), "policy", field, value, &value.to_string(), COMMON)
}

/// Metric unless the job says so or its papers are for the United States.
fn units(job: &Job) -> UnitSystem {
    let american = job.heading.locale.as_deref().is_some_and(|locale| locale.ends_with("-US"));
    job.heading.units.unwrap_or(if american { UnitSystem::Us } else { UnitSystem::Metric })
}

/// Cable families the job names; else the one of its units and the network's, where the catalogue has cables of the former.
fn families(cx: &Cx<'_>, given: &[String], units: UnitSystem, taken: &mut Taken) -> Vec<String> {
    let own = if units == UnitSystem::Us { "awg" } else { "metric" };
    let offered = |family: &str| {
        let named = |device: &Device| device.cable.family.as_deref() == Some(family);
        cx.catalogue.of_kind(DeviceKind::Cable).any(named)
    };
    if !given.is_empty() || !offered(own) {
        return given.to_vec();
    }
    let families: Vec<String> =
        [own, "network"].into_iter().filter(|family| offered(family)).map(str::to_owned).collect();
    let because = "conductor sizes of one system, that of the units of the job";
    taken.or(None, "policy", "cable.families", families.clone(), &families.join(", "), because)
}

fn factors_by_level(given: &[u32], taken: &mut Taken) -> [u32; 5] {
    let usual = [0, 1, 1, 2, 3];
    if given.is_empty() {
        taken.or(None, "policy", "factors_by_level", (), "0, 1, 1, 2, 3 at level 0 to 4", COMMON);
    }
    std::array::from_fn(|level| given.get(level).or(given.last()).copied().unwrap_or(usual[level]))
}

fn money(cx: &Cx<'_>, policy: &MoneyPolicy, taken: &mut Taken) -> MoneySettings {
    let share = |percent: f64| Decimal::from_f64_retain(percent).unwrap_or_default().round_dp(4) / Decimal::ONE_HUNDRED;
    let catalogue = cx.catalogue.heading.currency.clone().unwrap_or_else(Currency::none);
    let currency = taken.or(
        policy.currency.as_ref(),
        "policy",
        "money.currency",
        catalogue.clone(),
        catalogue.code(),
        "the currency of the catalogue",
    );
    let mut percent = |given: Option<f64>, field: &str, value: f64, because: &str| {
        taken.or(given.as_ref(), "policy", field, value, &format!("{value} %"), because)
    };
    let equipment = percent(
        policy.equipment_markup_percent,
        "money.equipment_markup_percent",
        0.0,
        "no mark-up is given: equipment at cost",
    );
    let labour = percent(
        policy.labour_markup_percent,
        "money.labour_markup_percent",
        0.0,
        "no mark-up is given: labour at cost",
    );
    let tax = percent(policy.tax_percent, "money.tax_percent", 0.0, "no tax is given: prices before tax");
    let discount = percent(policy.discount_percent, "money.discount_percent", 3.0, COMMON);
    let factor = taken.or(
        policy.out_of_hours_factor.as_ref(),
        "policy",
        "money.out_of_hours_factor",
        1.5,
        "1.5",
        "common practice: 1.5 to 2",
    );
    let years =
        taken.or(policy.whole_life_years.as_ref(), "policy", "money.whole_life_years", 10.0, "10 years", COMMON);
    MoneySettings {
        exchange_rate: Decimal::from_f64_retain(policy.exchange_rate.unwrap_or(1.0))
            .unwrap_or(Decimal::ONE)
            .round_dp(6),
        currency,
        equipment_markup: share(equipment),
        labour_markup: share(labour),
        tax: share(tax),
        tax_name: policy.tax_name.clone().unwrap_or_else(|| "Tax".to_owned()),
        out_of_hours_factor: Decimal::from_f64_retain(factor).unwrap_or(Decimal::ONE).round_dp(4),
        whole_life_years: years,
        discount_share: discount / 100.0,
        trench_metre: policy.trench_price_per_metre.filter(|price| price.amount() >= Decimal::ZERO),
    }
}

#[cfg(test)]
mod tests {
    use dw_core::DeviceId;
    use dw_job::{Catalogue, Profile};

    use super::*;

    fn families_of(offered: &[&str], given: &[&str], units: UnitSystem) -> Vec<String> {
        let mut catalogue = Catalogue::default();
        for family in offered {
            let mut cable = Device::new(family);
            cable.kind = Some(DeviceKind::Cable);
            cable.cable.family = Some((*family).to_owned());
            catalogue.devices.insert(DeviceId::new(family), cable);
        }
        let profile = Profile::default();
        let given: Vec<String> = given.iter().map(|family| (*family).to_owned()).collect();
        families(&Cx::new(&catalogue, &profile), &given, units, &mut Taken::default())
    }

    #[test]
    fn conductor_sizes_follow_the_units_where_the_policy_names_no_family() {
        let all = ["awg", "metric", "network"];
        assert_eq!(families_of(&all, &[], UnitSystem::Us), ["awg", "network"]);
        assert_eq!(families_of(&all, &[], UnitSystem::Metric), ["metric", "network"]);
        assert_eq!(families_of(&all, &["metric"], UnitSystem::Us), ["metric"], "the policy decides");
        assert_eq!(families_of(&["metric"], &[], UnitSystem::Us), [""; 0], "nothing of that system is offered");
    }
}
