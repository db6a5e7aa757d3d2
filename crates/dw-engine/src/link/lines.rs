//! Readers on two data lines: reach by conductor, timing, time of a frame.

use dw_core::{DeviceId, Metres, Money};
use dw_job::catalogue::{Device, DeviceKind, Interface};
use std::collections::BTreeSet;

use super::readers::Line;
use super::rules::{DataLinesLong, DataLinesTiming, DataLinesTooLong, LinesUnsupervised};
use super::{DataLine, Given, data_lines};
use crate::Cx;

/// Pulse and interval of a reader that states none, µs. Source: usual figures, 50 µs and 1 to 2 ms; the slower.
const USUAL_US: (f64, f64) = (50.0, 2000.0);

/// Bits of the credential a frame is timed with. Source: SIA AC-01-1996.10, 26 bits.
const BITS: u32 = 26;

/// Reach over a conductor the texts name no reach for: as over the thinnest they do name (22 AWG).
const THINNEST: u32 = 22;

/// Every reader on two data lines.
pub(super) fn plan<'a>(cx: &mut Cx<'a>, given: &Given<'a>, lines: &[Line<'a>]) -> Vec<DataLine> {
    let on_lines: Vec<&Line<'_>> = lines.iter().filter(|line| line.interface == Interface::DataLines).collect();
    let models: BTreeSet<&DeviceId> = on_lines.iter().map(|line| &line.reader.id).collect();
    for id in models {
        let Some(reader) = cx.device(id) else { continue };
        let (pulse, interval) = timing(reader);
        if let Some(fault) = data_lines::timing_fault(pulse / 1000.0, interval / 1000.0) {
            cx.sink.report(&DataLinesTiming {
                device: reader.id.clone(),
                pulse_us: pulse,
                interval_us: interval,
                fault,
            });
        }
    }
    if !on_lines.is_empty() {
        cx.sink.report(&LinesUnsupervised { readers: on_lines.len(), of: lines.len() });
    }
    on_lines.into_iter().map(|line| one(cx, given, line)).collect()
}

fn timing(reader: &Device) -> (f64, f64) {
    (reader.link.pulse_us.unwrap_or(USUAL_US.0), reader.link.interval_us.unwrap_or(USUAL_US.1))
}

fn one<'a>(cx: &mut Cx<'a>, given: &Given<'a>, line: &Line<'a>) -> DataLine {
    let reach = line.awg.and_then(data_lines::reach).or_else(|| data_lines::reach(THINNEST));
    let (cautious_m, longest_m) = reach.map_or((Metres::ZERO, Metres::ZERO), |reach| (reach.cautious, reach.longest));
    let (opening, length) = (line.mark.clone(), line.length());
    if length > longest_m {
        let bus_reader = dearer_by(cx, line);
        cx.sink.report(&DataLinesTooLong {
            opening,
            reader: line.reader.id.clone(),
            length,
            longest: longest_m,
            bus_reader,
        });
    } else if length > cautious_m {
        cx.sink.report(&DataLinesLong { opening, awg: line.awg, length, cautious: cautious_m, longest: longest_m });
    }
    let (pulse, interval) = timing(line.reader);
    DataLine {
        mark: line.mark.clone(),
        reader: line.reader.id.clone(),
        decides: line.decides(given),
        port: if line.controller.is_some() { line.port } else { 0 },
        cable: line.run.label.clone(),
        length_m: length,
        awg: line.awg.filter(|awg| data_lines::reach(*awg).is_some()),
        cautious_m,
        longest_m,
        frame_ms: data_lines::frame_time(BITS, interval / 1000.0, pulse / 1000.0),
    }
}

/// The cheapest reader on a bus that takes the same proofs in the same places, and what it costs more; `None` where the
/// partner has no bus or the catalogue no such reader.
fn dearer_by(cx: &Cx<'_>, line: &Line<'_>) -> Option<(DeviceId, Money)> {
    if !line.partner.control.interfaces.contains(&Interface::Multidrop) {
        return None;
    }
    let here = line.reader.price?;
    let same = |device: &&Device| {
        let (ours, theirs) = (&line.reader.reading, &device.reading);
        device.interfaces.contains(&Interface::Multidrop)
            && ours.factors.iter().all(|factor| theirs.factors.contains(factor))
            && ours.places.iter().all(|place| theirs.places.contains(place))
            && device.environment.ip >= line.reader.environment.ip
    };
    let offered = cx.catalogue.offered(DeviceKind::Reader).filter(same);
    let (price, id) = offered.filter_map(|device| Some((device.price?, &device.id))).min()?;
    Some((id.clone(), if price > here { price - here } else { Money::ZERO }))
}
