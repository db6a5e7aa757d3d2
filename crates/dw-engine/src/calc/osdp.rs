//! Calculators for the reader protocol OSDP (IEC 60839-11-5): frames and how long a line takes.

use dw_core::Input;

use super::{Args, CalcError, Calculator, InputSpec};
use crate::link::{osdp, polling};

const HEX: InputSpec = InputSpec::series("hex", "536508000460", "bytes as two digits each, base sixteen");
const ADDRESS: InputSpec = InputSpec::series("address", "0x65", "address of the device, base sixteen, 0x7F for all");
const COMMAND: InputSpec = InputSpec::number("command_bytes", (1.0, 1440.0), "length of the command").or("15");
const REPLY: InputSpec = InputSpec::number("reply_bytes", (1.0, 1440.0), "length of the empty answer").or("14");
const BIT_RATE: InputSpec = InputSpec::quantity("bit_rate", "bit/s", (1.0, 1e9), "bit rate").or("9600");
const BITS: InputSpec = InputSpec::number("bits_per_byte", (8.0, 16.0), "bits on the wire for a byte").or("10");
const PROCESSING: InputSpec =
    InputSpec::quantity("processing", "ms", (0.0, 1e4), "time a device takes to turn round, with gaps").or("10");
const READERS: InputSpec = InputSpec::count("readers", (1.0, 127.0), "readers on the line");
const SLOT: InputSpec =
    InputSpec::quantity("slot", "ms", (1e-3, 1e6), "time to ask one reader; instead of working it out").optional();

/// Frames and polling.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "osdp-crc",
        about: "CRC-16 of the bytes of a frame",
        inputs: &[HEX],
        run: |args| {
            let crc = osdp::crc(&bytes(args, "hex")?);
            let [low, high] = crc.to_le_bytes();
            let found = vec![Input::new("sent as", format!("{low:02X} {high:02X}"), "")];
            args.answer_with(&osdp::CRC_16, format!("0x{crc:04X}"), found)
        },
    },
    Calculator {
        name: "osdp-checksum",
        about: "One-byte checksum of the bytes of a frame",
        inputs: &[HEX],
        run: |args| args.answer(&osdp::CHECKSUM, format!("0x{:02X}", osdp::checksum(&bytes(args, "hex")?))),
    },
    Calculator {
        name: "osdp-frame",
        about: "A command frame in clear with its CRC, byte for byte",
        inputs: &[
            ADDRESS,
            InputSpec::count("sequence", (0.0, 3.0), "sequence number").or("0"),
            InputSpec::series("command", "0x60", "code of the command, base sixteen").or("0x60"),
            InputSpec::series("data", "00", "data, two digits a byte, base sixteen").optional(),
        ],
        run: |args| {
            let data = if args.was_given("data") { bytes(args, "data")? } else { Vec::new() };
            let sequence: u32 = args.get("sequence")?;
            let (address, code) = (one_byte(args, "address")?, one_byte(args, "command")?);
            let none = || CalcError::NoAnswer {
                why: "the protocol has no such frame".to_owned(),
                remedy: "give an address up to 0x7F and at most 1432 bytes of data",
            };
            let frame = osdp::command(address, u8::try_from(sequence).unwrap_or(u8::MAX), code, &data);
            args.answer(&osdp::COMMAND, osdp::hex(&frame.ok_or_else(none)?))
        },
    },
    Calculator {
        name: "osdp-reply-address",
        about: "Address byte a device answers with",
        inputs: &[ADDRESS],
        run: |args| {
            let address = one_byte(args, "address")?;
            args.answer(&osdp::REPLY_ADDRESS, format!("0x{:02X}", osdp::reply_address(address)))
        },
    },
    Calculator {
        name: "osdp-frame-length",
        about: "Length of a frame in clear or over the secure channel",
        inputs: &[
            InputSpec::count("data", (0.0, 1432.0), "bytes of data; 0 for a poll or an empty answer").optional(),
            InputSpec::count("card_bits", (1.0, 10_000.0), "bits of a card, for its report").optional(),
            InputSpec::word("mark", &["no", "yes"], "whether a mark byte leads, as before a command").or("no"),
            InputSpec::word("secure", &["no", "yes"], "whether it goes over the secure channel").or("no"),
        ],
        run: |args| {
            let (data, found) = match args.one_of(&["data", "card_bits"])? {
                "card_bits" => {
                    let data = osdp::card_data(args.get("card_bits")?);
                    (data, vec![Input::new("data", data, "bytes")])
                }
                name => (args.get(name)?, Vec::new()),
            };
            let length = osdp::frame_length(data, args.yes("mark"), args.yes("secure"));
            args.answer_with(&osdp::FRAME_LENGTH, length, found)
        },
    },
    Calculator {
        name: "osdp-slot",
        about: "Time to ask one reader and hear its answer",
        inputs: &[COMMAND, REPLY, BIT_RATE, BITS, PROCESSING],
        run: |args| args.answer(&polling::SLOT, worked_slot(args)?),
    },
    Calculator {
        name: "osdp-readers",
        about: "Readers that can be asked within a period",
        inputs: &[
            InputSpec::quantity("period", "ms", (1e-3, 1e6), "period within which each is asked once").or("200"),
            SLOT,
            COMMAND,
            REPLY,
            BIT_RATE,
            BITS,
            PROCESSING,
        ],
        run: |args| {
            let (slot, found) = slot(args)?;
            args.answer_with(&polling::READERS, polling::readers(slot, args.get("period")?), found)
        },
    },
    Calculator {
        name: "osdp-cycle",
        about: "Time to ask every reader of a line once, dead ones among them",
        inputs: &[
            READERS,
            InputSpec::count("dead", (0.0, 127.0), "readers that do not answer and are still asked").or("0"),
            SLOT,
            InputSpec::quantity("dead_slot", "ms", (0.0, 1e6), "time lost on one that does not answer").optional(),
            COMMAND,
            REPLY,
            BIT_RATE,
            BITS,
            PROCESSING,
        ],
        run: |args| {
            let (slot, mut found) = slot(args)?;
            let dead: u32 = args.get("dead")?;
            let dead_slot = match args.find("dead_slot") {
                Some(given) => given,
                None if dead == 0 => 0.0,
                None => {
                    let rates = (args.get("command_bytes")?, args.get("bit_rate")?, args.get("bits_per_byte")?);
                    let lost = polling::dead_slot_ms(rates.0, rates.1, rates.2, polling::REPLY_LIMIT_MS);
                    found.push(Input::new("dead_slot", lost, "ms"));
                    lost
                }
            };
            let cycle = polling::cycle_ms(args.get("readers")?, dead, slot, dead_slot);
            args.answer_with(&polling::CYCLE, cycle, found)
        },
    },
    Calculator {
        name: "osdp-wait",
        about: "Longest wait from a card read to its report",
        inputs: &[
            READERS,
            InputSpec::number("extra_reply_bytes", (0.0, 1440.0), "bytes a report is longer than an empty answer")
                .or("16"),
            SLOT,
            COMMAND,
            REPLY,
            BIT_RATE,
            BITS,
            PROCESSING,
        ],
        run: |args| {
            let (slot, mut found) = slot(args)?;
            let cycle = polling::cycle_ms(args.get("readers")?, 0, slot, 0.0);
            found.push(Input::new("cycle", cycle, "ms"));
            let (extra, rate) = (args.get("extra_reply_bytes")?, args.get("bit_rate")?);
            args.answer_with(&polling::WAIT, polling::wait_ms(cycle, extra, rate, args.get("bits_per_byte")?), found)
        },
    },
    Calculator {
        name: "osdp-offline",
        about: "Time from the last good exchange until a device counts as gone, and how often it is asked until then",
        inputs: &[InputSpec::quantity("cycle", "ms", (1e-3, 1e6), "time to ask every reader once").or("200")],
        run: |args| {
            let asked = polling::asked_before_offline(args.get("cycle")?);
            args.answer_with(&polling::OFFLINE, polling::OFFLINE_S, vec![Input::new("asked until then", asked, "")])
        },
    },
];

fn worked_slot(args: &Args) -> Result<f64, CalcError> {
    Ok(polling::slot_ms(
        args.get("command_bytes")?,
        args.get("reply_bytes")?,
        args.get("bit_rate")?,
        args.get("bits_per_byte")?,
        args.get("processing")?,
    ))
}

/// The slot given, or worked out and shown.
fn slot(args: &Args) -> Result<(f64, Vec<Input>), CalcError> {
    match args.find("slot") {
        Some(given) => Ok((given, Vec::new())),
        None => worked_slot(args).map(|slot| (slot, vec![Input::new("slot", slot, "ms")])),
    }
}

/// Bytes written as two digits each, blanks between them allowed.
fn bytes(args: &Args, name: &'static str) -> Result<Vec<u8>, CalcError> {
    let written = args.text(name)?;
    let plain: String = written.chars().filter(|c| !c.is_whitespace()).collect();
    let unreadable = || CalcError::Unreadable {
        key: name.to_owned(),
        value: written.chars().take(60).collect(),
        expected: "two digits for each byte, base sixteen, such as 5365".to_owned(),
        meant: None,
    };
    let plain = plain.strip_prefix("0x").unwrap_or(&plain);
    if !plain.len().is_multiple_of(2) || !plain.bytes().all(|digit| digit.is_ascii_hexdigit()) {
        return Err(unreadable());
    }
    let pair = |at: usize| u8::from_str_radix(&plain[at..at + 2], 16).map_err(|_| unreadable());
    (0..plain.len()).step_by(2).map(pair).collect()
}

/// One byte such as `0x65`, or `7` with one digit.
fn one_byte(args: &Args, name: &'static str) -> Result<u8, CalcError> {
    let written = args.text(name)?;
    let plain = written.trim();
    let plain = plain.strip_prefix("0x").or_else(|| plain.strip_prefix("0X")).unwrap_or(plain);
    u8::from_str_radix(plain, 16).map_err(|_| CalcError::Unreadable {
        key: name.to_owned(),
        value: written.chars().take(60).collect(),
        expected: "a byte, base sixteen, such as 0x65".to_owned(),
        meant: None,
    })
}
