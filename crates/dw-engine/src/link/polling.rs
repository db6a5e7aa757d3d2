//! How long a bus takes to ask every reader, and what that means at the door.
//!
//! Source of the protocol's figures: OSDP v2.2 (IEC 60839-11-5); of the relations: queue of one server asked in turn.

use crate::power::Formula;

/// Bits on the wire for one byte: start, eight, stop. Source: OSDP v2.2, 8N1 (*from memory*).
pub const BITS_PER_BYTE: f64 = 10.0;

/// Time a device takes to turn round, with the gaps, ms. *Common practice*.
pub const PROCESSING_MS: f64 = 10.0;

/// Longest wait for a reply, ms. Source: OSDP v2.2 s5.7.
pub const REPLY_LIMIT_MS: f64 = 200.0;

/// Time after the last good exchange until a device counts as gone, s. Source: OSDP v2.2 s5.7.
pub const OFFLINE_S: f64 = 8.0;

/// Within this time every reader is asked once, ms: what a person at a door does not notice. *Common practice*.
pub const TARGET_MS: f64 = 200.0;

/// Bit rates a reader bus can be set to, bit/s. Source: OSDP v2.2, command to set communication.
pub const BIT_RATES: [u32; 5] = [9600, 19_200, 38_400, 57_600, 115_200];

/// Words of [`slot_ms`].
pub const SLOT: Formula = Formula {
    title: "Time to ask one reader",
    unit: "ms",
    formula: "slot = bits_per_byte * (command + reply) / bit_rate + processing",
    source: "derived; OSDP v2.2 frame lengths; processing time of 10 ms is common practice",
};

/// Time to ask one reader and hear its answer, ms.
///
/// **Formula** t = b (L_c + L_r) / B + t_proc.
/// **Units and range** bytes; bit/s above zero; ms.
/// **Source** derived.
///
/// ```
/// let ms = dw_engine::link::polling::slot_ms(9.0, 8.0, 9600.0, 10.0, 10.0);
/// assert!((ms - 27.708).abs() < 1e-3);
/// ```
pub fn slot_ms(command: f64, reply: f64, bit_rate: f64, bits_per_byte: f64, processing_ms: f64) -> f64 {
    1000.0 * bits_per_byte * (command + reply) / bit_rate + processing_ms
}

/// Words of [`readers`].
pub const READERS: Formula = Formula {
    title: "Readers asked within a period",
    unit: "",
    formula: "readers = floor(period / slot)",
    source: "derived",
};

/// Readers that can be asked within a period.
///
/// **Formula** n = ⌊T / slot⌋. **Source** derived.
///
/// ```
/// assert_eq!(dw_engine::link::polling::readers(40.208, 200.0), 4);
/// ```
pub fn readers(slot_ms: f64, period_ms: f64) -> u32 {
    libm::floor(period_ms / slot_ms + 1e-9).clamp(0.0, f64::from(u32::MAX)) as u32
}

/// Words of [`dead_slot_ms`].
pub const DEAD_SLOT: Formula = Formula {
    title: "Time lost on a reader that does not answer",
    unit: "ms",
    formula: "dead_slot = bits_per_byte * command / bit_rate + reply_limit",
    source: "OSDP v2.2 s5.7: a reply is awaited for 200 ms",
};

/// Time lost each cycle on a reader that is asked and does not answer, ms.
///
/// **Formula** t = b L_c / B + 200 ms. **Source** OSDP v2.2 s5.7.
///
/// ```
/// assert_eq!(dw_engine::link::polling::dead_slot_ms(15.0, 9600.0, 10.0, 200.0), 215.625);
/// ```
pub fn dead_slot_ms(command: f64, bit_rate: f64, bits_per_byte: f64, reply_limit_ms: f64) -> f64 {
    1000.0 * bits_per_byte * command / bit_rate + reply_limit_ms
}

/// Words of [`cycle_ms`].
pub const CYCLE: Formula = Formula {
    title: "Time to ask every reader once",
    unit: "ms",
    formula: "cycle = (readers - dead) * slot + dead * dead_slot",
    source: "derived; OSDP v2.2 s5.7 for readers that do not answer",
};

/// Time to ask every reader of a line once, ms, some of them dead and still asked.
///
/// **Formula** T = (N − d) slot + d dead_slot. **Source** derived.
///
/// ```
/// let ms = dw_engine::link::polling::cycle_ms(8, 1, 40.208, 215.62);
/// assert!((ms - 497.076).abs() < 1e-6);
/// ```
pub fn cycle_ms(readers: u32, dead: u32, slot_ms: f64, dead_slot_ms: f64) -> f64 {
    let dead = dead.min(readers);
    f64::from(readers - dead) * slot_ms + f64::from(dead) * dead_slot_ms
}

/// Words of [`wait_ms`].
pub const WAIT: Formula = Formula {
    title: "Longest wait from a card read to its report",
    unit: "ms",
    formula: "wait = cycle + bits_per_byte * extra / bit_rate",
    source: "derived: the reader was asked just before, and its report is longer than an empty answer",
};

/// Longest wait from a card read to the end of its report, ms.
///
/// **Formula** t = cycle + b (L_event − L_ack) / B. **Source** derived.
///
/// ```
/// let ms = dw_engine::link::polling::wait_ms(8.0 * 40.208, 16.0, 9600.0, 10.0);
/// assert!((ms - 338.33).abs() < 0.01);
/// ```
pub fn wait_ms(cycle_ms: f64, extra: f64, bit_rate: f64, bits_per_byte: f64) -> f64 {
    cycle_ms + 1000.0 * bits_per_byte * extra / bit_rate
}

/// Words of the time to offline.
pub const OFFLINE: Formula = Formula {
    title: "Time from the last good exchange until a device counts as gone",
    unit: "s",
    formula: "offline = 8 s, whatever the line",
    source: "OSDP v2.2 s5.7, as coded in two open libraries",
};

/// How often a silent device is asked before it counts as gone.
///
/// **Formula** n = ⌊8 s / cycle⌋. **Source** OSDP v2.2 s5.7.
///
/// ```
/// assert_eq!(dw_engine::link::polling::asked_before_offline(500.0), 16);
/// ```
pub fn asked_before_offline(cycle_ms: f64) -> u32 {
    readers(cycle_ms, OFFLINE_S * 1000.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_longer_line_never_answers_sooner_and_a_faster_one_never_later() {
        for pair in BIT_RATES.windows(2) {
            let slot = |rate: u32| slot_ms(15.0, 14.0, f64::from(rate), BITS_PER_BYTE, PROCESSING_MS);
            assert!(slot(pair[1]) < slot(pair[0]));
            for n in 1..40 {
                assert!(cycle_ms(n + 1, 0, slot(pair[0]), 0.0) > cycle_ms(n, 0, slot(pair[0]), 0.0));
            }
        }
    }

    #[test]
    fn more_dead_readers_than_there_are_count_as_all() {
        assert!((cycle_ms(3, 9, 10.0, 200.0) - 600.0).abs() < 1e-9);
    }
}
