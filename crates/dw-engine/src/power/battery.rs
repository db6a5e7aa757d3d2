//! Standby batteries: how much charge is asked for, what temperature, age and rate of discharge take, and charging.

use dw_core::{AmpHours, Amps, Celsius, Hours, Volts, Watts};

use super::Formula;

/// Words of [`standby_and_alarm`].
pub const STANDBY_AND_ALARM: Formula = Formula {
    title: "Charge for standby and alarm",
    unit: "Ah",
    formula: "charge = standby_load * standby + alarm_load * alarm",
    source: "Standby + alarm method of NFPA 72",
};

/// Charge drawn in standby and in the alarm after it, before any margin.
///
/// **Formula** Ah = I_s t_s + I_a t_a.
/// **Units** A and hours.
/// **Source** method of NFPA 72.
///
/// ```
/// use dw_core::{Amps, Hours, Minutes};
/// use dw_engine::power::battery::standby_and_alarm;
/// let ah = standby_and_alarm(Amps::new(0.42), Hours::new(24.0), Amps::new(3.8), Minutes::new(5.0).into());
/// assert!((ah.get() - 10.3967).abs() < 0.0001);
/// ```
pub fn standby_and_alarm(standby: Amps, standby_time: Hours, alarm: Amps, alarm_time: Hours) -> AmpHours {
    standby * standby_time + alarm * alarm_time
}

/// Words of a battery with its margin.
pub const WITH_MARGIN: Formula = Formula {
    title: "Capacity with margin",
    unit: "Ah",
    formula: "capacity = charge * margin",
    source: "NFPA 72: 1.20 in the 2010 to 2019 editions, 1.25 in 2022",
};

/// Words of [`temperature_factor`].
pub const TEMPERATURE_FACTOR: Formula = Formula {
    title: "Factor on capacity for temperature",
    unit: "",
    formula: "factor = table(temperature), linear between rows, at least 1",
    source: "IEEE Std 485 table 1; no credit is taken above 25 °C",
};

/// Degrees Fahrenheit and factor. Source: IEEE Std 485 table 1 (25 to 35 °F from memory).
pub const TEMPERATURE_TABLE: [(f64, f64); 21] = [
    (25.0, 1.520),
    (30.0, 1.430),
    (35.0, 1.350),
    (40.0, 1.300),
    (45.0, 1.250),
    (50.0, 1.190),
    (55.0, 1.150),
    (60.0, 1.110),
    (65.0, 1.080),
    (66.0, 1.072),
    (67.0, 1.064),
    (68.0, 1.056),
    (69.0, 1.048),
    (70.0, 1.040),
    (71.0, 1.034),
    (72.0, 1.029),
    (73.0, 1.023),
    (74.0, 1.017),
    (75.0, 1.011),
    (76.0, 1.006),
    (77.0, 1.000),
];

/// Factor on the capacity of a lead-acid battery for the coldest it gets, at least 1.
///
/// **Formula** linear between the rows of the table.
/// **Range** −3.9 °C (25 °F) and above; `None` below the table. Above 25 °C the factor stays 1: a smaller battery for
/// a warm room would fail in a cool week.
/// **Source** IEEE Std 485 table 1.
///
/// ```
/// use dw_core::Celsius;
/// use dw_engine::power::battery::temperature_factor;
/// assert_eq!(temperature_factor(Celsius::new(10.0)), Some(1.19));
/// assert_eq!(temperature_factor(Celsius::new(35.0)), Some(1.0));
/// assert_eq!(temperature_factor(Celsius::new(-10.0)), None);
/// ```
pub fn temperature_factor(temperature: Celsius) -> Option<f64> {
    let fahrenheit = temperature.get() * 1.8 + 32.0;
    interpolate(&TEMPERATURE_TABLE, fahrenheit).map(|factor| libm::round(factor * 1e9) / 1e9).or({
        // The table ends at 77 °F; beyond it no credit is taken.
        if fahrenheit > 77.0 { Some(1.0) } else { None }
    })
}

/// The value at `x` of a curve given by points in rising order, linear between them; `None` outside.
pub(super) fn interpolate(points: &[(f64, f64)], x: f64) -> Option<f64> {
    if let Some(exact) = points.iter().find(|point| (point.0 - x).abs() < 1e-9) {
        return Some(exact.1);
    }
    let (low, high) = points.iter().zip(points.iter().skip(1)).find(|(low, high)| low.0 < x && x < high.0)?;
    Some(low.1 + (high.1 - low.1) * (x - low.0) / (high.0 - low.0))
}

/// Words of [`aged`].
pub const AGED: Formula = Formula {
    title: "Capacity when new for a charge still wanted at the end of life",
    unit: "Ah",
    formula: "capacity = charge / (end_of_life_percent / 100)",
    source: "IEEE Std 485 and 1013: a battery is at its end at 80 % of rated capacity",
};

/// Capacity when new that still gives a charge at the end of the battery's life. Divides by 0.8 or multiplies by 1.25,
/// never both, and not on top of a margin that already covers ageing.
///
/// **Formula** C = Ah / e.
/// **Range** e above 0, at most 1; 0.8 in IEEE practice.
/// **Source** IEEE Std 485, IEEE Std 1013.
///
/// ```
/// assert_eq!(dw_engine::power::battery::aged(dw_core::AmpHours::new(100.0), 0.8).get(), 125.0);
/// ```
pub fn aged(charge: AmpHours, end_of_life: f64) -> AmpHours {
    charge / end_of_life
}

/// Words of a capacity for a depth of discharge.
pub const FOR_DEPTH: Formula = Formula {
    title: "Capacity for a largest depth of discharge",
    unit: "Ah",
    formula: "capacity = charge / (depth_percent / 100)",
    source: "IEEE Std 1013, depth of discharge adjustment",
};

/// Words of [`corrected`].
pub const CORRECTED: Formula = Formula {
    title: "Corrected battery size",
    unit: "Ah",
    formula: "size = uncorrected * temperature_factor * margin / (end_of_life_percent / 100)",
    source: "IEEE Std 485: temperature factor, design margin and ageing",
};

/// Battery size from the largest section.
///
/// **Formula** C = C₀ k_T m / e.
/// **Range** k_T at least 1; design margin 1.10 to 1.15 usual; e 0.8.
/// **Source** IEEE Std 485.
///
/// ```
/// let c = dw_engine::power::battery::corrected(dw_core::AmpHours::new(61.445), 1.19, 1.15, 0.8);
/// assert!((c.get() - 105.1094).abs() < 0.001);
/// ```
pub fn corrected(uncorrected: AmpHours, temperature_factor: f64, margin: f64, end_of_life: f64) -> AmpHours {
    uncorrected * temperature_factor * margin / end_of_life
}

/// Words of [`energy_method`].
pub const ENERGY_METHOD: Formula = Formula {
    title: "Battery capacity by the energy method",
    unit: "Ah",
    formula: "capacity = energy * ageing * temperature_factor * rate_factor / (voltage * depth_percent / 100)",
    source: "Energy method of battery sizing, worked example of an open electrical engineering wiki (from memory)",
};

/// Battery capacity from energy, all factors multiplied. They are taken as given: a temperature factor below 1 is the
/// caller's own decision.
///
/// **Formula** C = E k_a k_T k_c / (V d).
/// **Units and range** E in VA·h; V and d above zero.
/// **Source** open electrical engineering wiki (from memory).
///
/// ```
/// let c = dw_engine::power::battery::energy_method(3242.8, 1.25, 0.956, 1.1, dw_core::Volts::new(120.0), 0.8);
/// assert!((c.get() - 44.4027).abs() < 0.001);
/// ```
pub fn energy_method(energy: f64, ageing: f64, temperature: f64, rate: f64, voltage: Volts, depth: f64) -> AmpHours {
    AmpHours::new(energy * ageing * temperature * rate / (voltage.get() * depth))
}

/// Words of [`peukert_time`].
pub const PEUKERT_TIME: Formula = Formula {
    title: "Discharge time at a current",
    unit: "h",
    formula: "time = rated * (capacity / (current * rated))^peukert",
    source: "Peukert's law, rated-hour form (textbook)",
};

/// Discharge time of a battery whose capacity is rated over a number of hours.
///
/// **Formula** t = H (C / (I H))^n.
/// **Units and range** C in Ah over H hours; I above zero; n 1.05 to 1.15 sealed glass mat, 1.1 to 1.25 gel, 1.2 to 1.6
/// flooded (from memory).
/// **Assumes** one constant current; far below the rated current the law promises more than the rated capacity, which
/// sizing here never counts on.
/// **Source** Peukert's law, rated-hour form.
///
/// ```
/// use dw_core::{AmpHours, Amps, Hours};
/// let t = dw_engine::power::battery::peukert_time(AmpHours::new(100.0), Hours::new(20.0), Amps::new(10.0), 1.2);
/// assert!((t.get() - 8.7055).abs() < 0.0001);
/// ```
pub fn peukert_time(capacity: AmpHours, rated: Hours, current: Amps, exponent: f64) -> Hours {
    rated * libm::pow(capacity.get() / (current.get() * rated.get()), exponent)
}

/// Words of [`peukert_time_one_ampere`].
pub const PEUKERT_TIME_ONE_AMPERE: Formula = Formula {
    title: "Discharge time at a current, from the capacity at one ampere",
    unit: "h",
    formula: "time = capacity / current^peukert",
    source: "Peukert's law, one-ampere form (textbook): capacity is that at 1 A, not a 20 h rating",
};

/// Discharge time from the capacity at one ampere.
///
/// **Formula** t = C₁ / Iⁿ. C₁ is what the battery gives at 1 A; a 20 h rating put here gives a wrong answer.
/// **Source** Peukert's law, one-ampere form.
///
/// ```
/// use dw_core::{AmpHours, Amps};
/// let t = dw_engine::power::battery::peukert_time_one_ampere(AmpHours::new(250.0), Amps::new(20.0), 1.3);
/// assert!((t.get() - 5.0886).abs() < 0.0001);
/// ```
pub fn peukert_time_one_ampere(capacity: AmpHours, current: Amps, exponent: f64) -> Hours {
    Hours::new(capacity.get() / libm::pow(current.get(), exponent))
}

/// Words of the charge delivered by the one-ampere form.
pub const PEUKERT_CHARGE_ONE_AMPERE: Formula = Formula {
    title: "Charge delivered at a current, from the capacity at one ampere",
    unit: "Ah",
    formula: "charge = current * capacity / current^peukert",
    source: "Peukert's law, one-ampere form (textbook)",
};

/// Words of [`rate_capacity`].
pub const RATE_CAPACITY: Formula = Formula {
    title: "Rated capacity that lasts through standby and alarm",
    unit: "Ah",
    formula: "the capacity at which standby * use(standby_load) + alarm * use(alarm_load) = 1; use(load) = max(load / capacity, (load * rated / capacity)^peukert / rated)",
    source: "Peukert's law, rated-hour form, summed over two loads; no credit below the rated current",
};

/// Share of a battery that an hour at a current uses: never less than the plain charge.
fn use_of_an_hour(capacity: f64, current: f64, rated: f64, exponent: f64) -> f64 {
    let by_rate = libm::pow(current * rated / capacity, exponent) / rated;
    (current / capacity).max(by_rate)
}

/// Rated capacity of a battery that just lasts through a standby load and an alarm load after it.
///
/// Each hour at current I uses 1/t(I) of the battery, and never less than I/C: a slow discharge earns no credit. The
/// shares of standby and alarm together are one; solved for the capacity by halving.
///
/// **Formula** t_s u(I_s) + t_a u(I_a) = 1 with u(I) = max(I/C, (I H/C)ⁿ/H).
/// **Units and range** C rated over H hours; n at least 1; currents and times none negative.
/// **Source** Peukert's law, rated-hour form.
///
/// ```
/// use dw_core::{Amps, Hours};
/// use dw_engine::power::battery::rate_capacity;
/// // 10 A for 8.7055 h exhausts a battery of 100 Ah rated over 20 h at n = 1.2.
/// let c = rate_capacity((Amps::new(10.0), Hours::new(8.7055)), (Amps::ZERO, Hours::ZERO), Hours::new(20.0), 1.2);
/// assert!((c.get() - 100.0).abs() < 0.001);
/// ```
pub fn rate_capacity(standby: (Amps, Hours), alarm: (Amps, Hours), rated: Hours, exponent: f64) -> AmpHours {
    let plain = standby_and_alarm(standby.0, standby.1, alarm.0, alarm.1).get();
    if plain <= 0.0 {
        return AmpHours::ZERO;
    }
    let hours = rated.get();
    let of = |capacity: f64| {
        let use_of =
            |(current, time): (Amps, Hours)| time.get() * use_of_an_hour(capacity, current.get(), hours, exponent);
        use_of(standby) + use_of(alarm)
    };
    let effect = |(current, time): (Amps, Hours)| time.get() * libm::pow(current.get(), exponent);
    let by_rate = hours * libm::pow((effect(standby) + effect(alarm)) / hours, 1.0 / exponent);
    // Both at once need at least the larger and at most the sum of the two.
    let (mut low, mut high) = (plain.max(by_rate), plain + by_rate);
    if of(low) <= 1.0 + 1e-12 {
        return AmpHours::new(low);
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if of(middle) > 1.0 { low = middle } else { high = middle }
    }
    AmpHours::new(high)
}

/// Halvings of an interval: enough for every digit of a double. Source: 2^-60 of the interval.
const HALVINGS: u32 = 60;

/// Words of [`runtime`].
pub const RUNTIME: Formula = Formula {
    title: "Time a battery carries a load",
    unit: "h",
    formula: "time = min(usable / load, rated * (usable / (load * rated))^peukert); usable = capacity * end_of_life_percent / 100 / temperature_factor",
    source: "Peukert's law, rated-hour form; IEEE Std 485 table 1 for temperature; no credit below the rated current",
};

/// Time a battery carries a load; a load below the rated current earns no credit. `None` for no load.
///
/// **Formula** t = min(C/I, H (C/(I H))ⁿ).
/// **Units** usable capacity C in Ah, its rating H in hours.
/// **Source** Peukert's law, rated-hour form.
///
/// ```
/// use dw_core::{AmpHours, Amps, Hours};
/// use dw_engine::power::battery::runtime;
/// let t = runtime(AmpHours::new(7.0), Hours::new(20.0), Amps::new(0.1), 1.15).unwrap();
/// assert_eq!(t.get(), 70.0); // not 78.6 h
/// ```
pub fn runtime(usable: AmpHours, rated: Hours, load: Amps, exponent: f64) -> Option<Hours> {
    let plain = Hours::try_new(usable.get() / load.get())?;
    Some(plain.min(peukert_time(usable, rated, load, exponent)))
}

/// Charge put back for each ampere-hour taken out. Source: *common practice* (charging loss of lead-acid batteries).
pub const CHARGE_FACTOR: f64 = 1.15;

/// Words of [`charger_current`].
pub const CHARGER_CURRENT: Formula = Formula {
    title: "Output a charger must give",
    unit: "A",
    formula: "charger = standby_load + 1.15 * capacity / recharge",
    source: "Common practice; recharge within 48 h in NFPA 731-2008, 24 h in the 2006 edition",
};

/// Output that carries the standby load and recharges the battery in time.
///
/// **Formula** I = I_s + 1.15 Ah / t.
/// **Range** t above zero.
/// **Source** common practice.
///
/// ```
/// use dw_core::{AmpHours, Amps, Hours};
/// let i = dw_engine::power::battery::charger_current(Amps::new(0.5), AmpHours::new(24.0), Hours::new(24.0));
/// assert!((i.get() - 1.65).abs() < 1e-12);
/// ```
pub fn charger_current(standby: Amps, capacity: AmpHours, recharge: Hours) -> Amps {
    standby + Amps::new(CHARGE_FACTOR * capacity.get() / recharge.get())
}

/// Words of [`recharge_time`].
pub const RECHARGE_TIME: Formula = Formula {
    title: "Time to recharge",
    unit: "h",
    formula: "time = 1.15 * charge / charging",
    source: "Common practice",
};

/// Time to put a charge back; `None` when nothing is left to charge with.
///
/// **Formula** t = 1.15 Ah / I.
/// **Source** common practice.
///
/// ```
/// use dw_core::{AmpHours, Amps};
/// use dw_engine::power::battery::recharge_time;
/// assert_eq!(recharge_time(AmpHours::new(10.0), Amps::new(1.0)).map(|t| t.get()), Some(11.5));
/// assert_eq!(recharge_time(AmpHours::new(10.0), Amps::ZERO), None);
/// ```
pub fn recharge_time(charge: AmpHours, charging: Amps) -> Option<Hours> {
    if charging.get() <= 0.0 { None } else { Hours::try_new(CHARGE_FACTOR * charge.get() / charging.get()) }
}

/// Words of [`float_voltage`].
pub const FLOAT_VOLTAGE: Formula = Formula {
    title: "Float voltage of one cell",
    unit: "V/cell",
    formula: "float = at_25 + coefficient / 1000 * (temperature - 25)",
    source: "Published lead-acid charging notes: 2.25-2.30 V a cell at 25 °C, -3 mV a cell and kelvin",
};

/// Float voltage of one lead-acid cell at a temperature.
///
/// **Formula** V = V₂₅ + k (T − 25).
/// **Units and range** V₂₅ 2.25 to 2.30 V; k in V/K, −0.003.
/// **Source** published lead-acid charging notes.
///
/// ```
/// use dw_core::{Celsius, Volts};
/// let v = dw_engine::power::battery::float_voltage(Volts::new(2.30), -0.003, Celsius::new(35.0));
/// assert!((v.get() - 2.27).abs() < 1e-9);
/// ```
pub fn float_voltage(at_25: Volts, coefficient: f64, temperature: Celsius) -> Volts {
    at_25 + Volts::new(coefficient * (temperature.get() - 25.0))
}

/// Volts a cell and kelvin that a charger lowers its output by. Source: published lead-acid charging notes.
pub const FLOAT_COEFFICIENT: f64 = -0.003;

/// Words of [`float_life_10c`].
pub const FLOAT_LIFE_10C: Formula = Formula {
    title: "Float life by the 10 °C rule",
    unit: "year",
    formula: "life = life_at_25 * 0.5^((temperature - 25) / 10)",
    source: "Published lead-acid notes: life halves for each 10 °C",
};

/// Float life of a battery: halves for each 10 °C above 25 °C. Below 25 °C no gain is counted.
///
/// **Formula** L = L₂₅ · 0.5^((T − 25)/10).
/// **Source** published lead-acid notes.
///
/// ```
/// assert_eq!(dw_engine::power::battery::float_life_10c(10.0, dw_core::Celsius::new(35.0)), 5.0);
/// ```
pub fn float_life_10c(life_at_25: f64, temperature: Celsius) -> f64 {
    life_at_25 * libm::pow(0.5, ((temperature.get() - 25.0) / 10.0).max(0.0))
}

/// Words of [`float_life_15f`].
pub const FLOAT_LIFE_15F: Formula = Formula {
    title: "Float life by the 15 °F rule",
    unit: "year",
    formula: "life = life_at_25 * 0.5^((temperature - 25) / (15 / 1.8))",
    source: "Published lead-acid notes: life halves for each 15 °F above 77 °F (IEEE 450/1188, from memory)",
};

/// Float life of a battery: halves for each 15 °F above 77 °F. Below it no gain is counted.
///
/// **Formula** L = L₇₇ · 0.5^((T_F − 77)/15).
/// **Source** published lead-acid notes.
///
/// ```
/// let life = dw_engine::power::battery::float_life_15f(10.0, dw_core::Celsius::new((92.0 - 32.0) / 1.8));
/// assert!((life - 5.0).abs() < 1e-9);
/// ```
pub fn float_life_15f(life_at_25: f64, temperature: Celsius) -> f64 {
    life_at_25 * libm::pow(0.5, ((temperature.get() - 25.0) * 1.8 / 15.0).max(0.0))
}

/// Words of [`power_to_current`].
pub const POWER_TO_CURRENT: Formula = Formula {
    title: "Current of a load of constant power, for battery sizing",
    unit: "A",
    formula: "current = power / (least_percent / 100 * nominal)",
    source: "IEEE Std 485 practice: the maker's least voltage, or 95 % of nominal",
};

/// Current a load of constant power is counted at.
///
/// **Formula** I = P / V_min; V_min is the maker's least voltage, or 95 % of nominal.
/// **Range** V_min above zero.
/// **Source** IEEE Std 485 practice.
///
/// ```
/// use dw_core::{Volts, Watts};
/// let i = dw_engine::power::battery::power_to_current(Watts::new(100.0), Volts::new(0.95 * 24.0));
/// assert!((i.get() - 4.386).abs() < 0.001);
/// ```
pub fn power_to_current(power: Watts, least: Volts) -> Amps {
    power / least
}

/// Words of [`parallel_strings`].
pub const PARALLEL_STRINGS: Formula = Formula {
    title: "Strings in parallel",
    unit: "",
    formula: "strings = required / string, rounded up",
    source: "IEEE Std 485: strings in parallel add capacity, batteries in series add voltage",
};

/// Number of strings that reach a capacity together.
///
/// **Formula** n = ⌈C / C_string⌉.
/// **Range** string above zero; at most 1,000,000.
/// **Source** IEEE Std 485.
///
/// ```
/// use dw_core::AmpHours;
/// assert_eq!(dw_engine::power::battery::parallel_strings(AmpHours::new(281.0), AmpHours::new(104.0)), 3);
/// ```
pub fn parallel_strings(required: AmpHours, string: AmpHours) -> u32 {
    libm::ceil(required.get() / string.get() - 1e-9).clamp(0.0, 1e6) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_temperature_table_in_code_is_the_one_in_the_data_folder() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/ieee485_temperature.csv"));
        let rows: Vec<(f64, f64)> = text
            .lines()
            .filter(|line| !line.starts_with('#'))
            .skip(1)
            .map(|line| line.split(',').collect::<Vec<_>>())
            .map(|row| (row[0].parse().unwrap(), row[2].parse().unwrap()))
            .filter(|row: &(f64, f64)| row.0 <= 77.0)
            .collect();
        assert_eq!(rows, TEMPERATURE_TABLE);
    }

    #[test]
    fn a_rated_battery_at_its_rated_current_lasts_its_rated_hours_at_any_exponent() {
        for exponent in [1.0, 1.1, 1.25, 1.6] {
            let time = peukert_time(AmpHours::new(100.0), Hours::new(20.0), Amps::new(5.0), exponent);
            assert!((time.get() - 20.0).abs() < 1e-12);
        }
    }
}
