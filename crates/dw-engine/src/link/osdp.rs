//! Frames of the open reader protocol OSDP (IEC 60839-11-5, OSDP v2.2): how they are built, checked, and how long they are.
//!
//! Frames are laid out as: 0x53, address, length (low byte first), control, security block, code, data, code of
//! authentication, check. Layout and figures as coded in two open libraries; `docs/calculations/link.md` says which
//! frames were compared with them.

use crate::power::Formula;

/// First byte of a frame. Source: OSDP v2.2.
pub const START: u8 = 0x53;

/// Highest address of a device. Source: OSDP v2.2.
pub const HIGHEST_ADDRESS: u8 = 0x7E;

/// Address that every device listens to. Source: OSDP v2.2.
pub const BROADCAST: u8 = 0x7F;

/// Code of the command that asks for news. Source: OSDP v2.2.
pub const POLL: u8 = 0x60;

/// Bit of the address that marks a reply. Source: OSDP v2.2.
const REPLY: u8 = 0x80;

/// Bit of the control byte that says a CRC follows. Source: OSDP v2.2.
const WITH_CRC: u8 = 0x04;

/// Bytes of a frame without data: start, address, length, control, code. Source: OSDP v2.2.
const FRAME: u32 = 6;

/// Bytes of the CRC at the end, low byte first. Source: OSDP v2.2.
const CRC: u32 = 2;

/// Bytes a secure channel adds: security block of two, code of authentication of four. Source: OSDP v2.2.
const SECURE: u32 = 2 + 4;

/// Encrypted data comes in blocks of this many bytes, always padded by at least one. Source: OSDP v2.2 (AES-128).
const BLOCK: u32 = 16;

/// Bytes of a card report before its bits: reader, format, number of bits in two. Source: OSDP v2.2.
const CARD_HEADER: u32 = 4;

/// Longest data we build a frame for: a packet of 1,440 bytes (OSDP v2.2 s5.6) holds no more.
const LONGEST_DATA: usize = 1440 - (FRAME + CRC) as usize;

/// Words of [`crc`].
pub const CRC_16: Formula = Formula {
    title: "CRC-16 of a frame",
    unit: "",
    formula: "polynomial 0x1021, start 0x1D0F, not reflected, no final exclusive or; low byte is sent first",
    source: "OSDP v2.2 (IEC 60839-11-5) as in two open libraries; check value of 123456789 is 0xE5CC",
};

/// CRC-16 of a frame without its last two bytes.
///
/// **Formula** polynomial 0x1021, start value 0x1D0F, not reflected, no final exclusive or.
/// **Source** OSDP v2.2 (IEC 60839-11-5).
///
/// ```
/// assert_eq!(dw_engine::link::osdp::crc(b"123456789"), 0xE5CC);
/// ```
pub fn crc(bytes: &[u8]) -> u16 {
    let mut crc: u16 = 0x1D0F;
    for byte in bytes {
        crc ^= u16::from(*byte) << 8;
        for _ in 0..8 {
            crc = if crc & 0x8000 == 0 { crc << 1 } else { (crc << 1) ^ 0x1021 };
        }
    }
    crc
}

/// Words of [`checksum`].
pub const CHECKSUM: Formula = Formula {
    title: "Checksum of a frame",
    unit: "",
    formula: "two's complement of the sum of the bytes, modulo 256",
    source: "OSDP v2.2 (IEC 60839-11-5) as in an open library",
};

/// One-byte checksum of a frame, for devices that do not know the CRC.
///
/// **Source** OSDP v2.2 (IEC 60839-11-5).
///
/// ```
/// assert_eq!(dw_engine::link::osdp::checksum(&[0x53, 0x00, 0x08, 0x00, 0x00, 0x61, 0x00]), 0x44);
/// ```
pub fn checksum(bytes: &[u8]) -> u8 {
    bytes.iter().fold(0u8, |sum, byte| sum.wrapping_add(*byte)).wrapping_neg()
}

/// Words of [`reply_address`].
pub const REPLY_ADDRESS: Formula = Formula {
    title: "Address byte of a reply",
    unit: "",
    formula: "reply = address or 0x80",
    source: "OSDP v2.2 (IEC 60839-11-5)",
};

/// Address byte a device answers with.
///
/// ```
/// assert_eq!(dw_engine::link::osdp::reply_address(0x65), 0xE5);
/// ```
pub fn reply_address(address: u8) -> u8 {
    address | REPLY
}

/// Words of [`command`].
pub const COMMAND: Formula = Formula {
    title: "Command frame",
    unit: "",
    formula: "0x53, address, length low, length high, control, code, data, CRC low, CRC high",
    source: "OSDP v2.2 (IEC 60839-11-5) as in two open libraries",
};

/// A command in clear, with CRC; `None` when address or sequence number do not exist or the data is too long.
///
/// **Units and range** address 0 to 0x7E, or 0x7F for all; sequence number 0 to 3, 0 only at the start of talk.
/// **Source** OSDP v2.2 (IEC 60839-11-5).
///
/// ```
/// use dw_engine::link::osdp::{POLL, command};
/// let poll = command(0x65, 0, POLL, &[]).unwrap();
/// assert_eq!(poll, [0x53, 0x65, 0x08, 0x00, 0x04, 0x60, 0x60, 0x90]);
/// ```
pub fn command(address: u8, sequence: u8, code: u8, data: &[u8]) -> Option<Vec<u8>> {
    if address > BROADCAST || sequence > 3 || data.len() > LONGEST_DATA {
        return None;
    }
    let length = u16::try_from(data.len()).ok()? + (FRAME + CRC) as u16;
    let [low, high] = length.to_le_bytes();
    let mut frame = vec![START, address, low, high, WITH_CRC | sequence, code];
    frame.extend_from_slice(data);
    let crc = crc(&frame);
    frame.extend(crc.to_le_bytes());
    Some(frame)
}

/// Words of [`frame_length`].
pub const FRAME_LENGTH: Formula = Formula {
    title: "Length of a frame",
    unit: "bytes",
    formula: "length = mark + 6 + data + CRC 2; secure: + 2 + 4, and data padded to the next whole 16 bytes",
    source: "OSDP v2.2 (IEC 60839-11-5); lengths captured from a running open library",
};

/// Length of a frame with CRC, in bytes.
///
/// **Formula** 8 + data, one more with a leading mark byte; over a secure channel 6 more and the data, if any, padded by
/// one byte at least to a multiple of 16.
/// **Source** OSDP v2.2 (IEC 60839-11-5).
///
/// ```
/// use dw_engine::link::osdp::{card_data, frame_length};
/// assert_eq!(frame_length(0, true, false), 9); // POLL with mark
/// assert_eq!(frame_length(0, true, true), 15);
/// assert_eq!(frame_length(card_data(26), false, false), 16);
/// assert_eq!(frame_length(card_data(26), false, true), 30);
/// ```
pub fn frame_length(data: u32, mark: bool, secure: bool) -> u32 {
    let data = if secure && data > 0 { (data / BLOCK).saturating_add(1).saturating_mul(BLOCK) } else { data };
    let channel = if secure { SECURE } else { 0 };
    data.saturating_add(u32::from(mark) + FRAME + CRC + channel)
}

/// Bytes of data in the report of a card with this many bits.
///
/// **Formula** 4 + ⌈bits/8⌉. **Source** OSDP v2.2.
pub fn card_data(bits: u32) -> u32 {
    CARD_HEADER + bits.div_ceil(8)
}

/// Bytes as people write them: `53650800`.
pub fn hex(bytes: &[u8]) -> String {
    let digits = bytes.iter().flat_map(|byte| [byte >> 4, byte & 0x0F]);
    digits.filter_map(|digit| char::from_digit(digit.into(), 16)).map(|digit| digit.to_ascii_uppercase()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_of_the_standard_are_built_byte_for_byte() {
        let built = |address, code, data: &[u8]| hex(&command(address, 0, code, data).unwrap());
        assert_eq!(built(0x65, POLL, &[]), "5365080004606090");
        assert_eq!(built(0, 0x61, &[0]), "53000900046100C066");
        assert_eq!(built(BROADCAST, 0x6E, &[0, 0x80, 0x25, 0, 0]), "537F0D00046E00802500006E38");
    }

    #[test]
    fn the_crc_is_the_one_a_general_crc_library_gives_for_these_parameters() {
        const ALGORITHM: crc::Algorithm<u16> = crc::Algorithm {
            width: 16,
            poly: 0x1021,
            init: 0x1D0F,
            refin: false,
            refout: false,
            xorout: 0,
            check: 0xE5CC,
            residue: 0,
        };
        let judge = crc::Crc::<u16>::new(&ALGORITHM);
        let mut bytes = Vec::new();
        for number in 0..600u32 {
            assert_eq!(crc(&bytes), judge.checksum(&bytes), "{} bytes", bytes.len());
            bytes.push((number.wrapping_mul(2_654_435_761) >> 24) as u8);
        }
    }

    #[test]
    fn a_frame_that_arrives_whole_leaves_no_remainder_and_a_flipped_bit_does() {
        let mut frame = command(7, 2, POLL, &[1, 2, 3]).unwrap();
        let (body, check) = frame.split_at(frame.len() - 2);
        assert_eq!(crc(body).to_le_bytes(), check);
        frame[5] ^= 1;
        let (body, check) = frame.split_at(frame.len() - 2);
        assert_ne!(crc(body).to_le_bytes(), check);
    }

    #[test]
    fn what_does_not_exist_is_not_built() {
        assert_eq!(command(0x80, 0, POLL, &[]), None);
        assert_eq!(command(1, 4, POLL, &[]), None);
        assert_eq!(command(1, 0, POLL, &[0; LONGEST_DATA + 1]), None);
        assert!(command(1, 0, POLL, &[0; LONGEST_DATA]).is_some());
    }

    #[test]
    fn the_built_frame_has_the_length_that_is_counted_with() {
        for data in [0usize, 1, 5, 17] {
            let frame = command(3, 1, POLL, &vec![0; data]).unwrap();
            assert_eq!(frame.len() as u32, frame_length(data as u32, false, false));
        }
        assert_eq!(frame_length(16, false, true), 8 + 6 + 32, "sixteen bytes go out as thirty-two");
    }

    #[test]
    fn the_figures_in_code_are_those_of_the_data_folder() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/osdp_constants.csv"));
        let find = |name: &str| {
            let line = text.lines().find(|line| line.starts_with(&format!("{name},"))).unwrap();
            let value = line.split(',').nth(1).unwrap();
            value.strip_prefix("0x").map_or_else(|| value.parse().unwrap(), |hex| u32::from_str_radix(hex, 16).unwrap())
        };
        let ours = [
            ("som", u32::from(START)),
            ("address_max", u32::from(HIGHEST_ADDRESS)),
            ("broadcast", u32::from(BROADCAST)),
            ("reply_flag", u32::from(REPLY)),
            ("crc_bytes", CRC),
            ("encrypted_data_block", BLOCK),
            ("max_bus_packet_bytes", LONGEST_DATA as u32 + FRAME + CRC),
            ("poll_clear_bytes", frame_length(0, true, false)),
            ("ack_clear_bytes", frame_length(0, false, false)),
            ("card26_clear_bytes", frame_length(card_data(26), false, false)),
            ("poll_secure_bytes", frame_length(0, true, true)),
            ("ack_secure_bytes", frame_length(0, false, true)),
            ("card26_secure_bytes", frame_length(card_data(26), false, true)),
            ("reply_timeout_ms", crate::link::polling::REPLY_LIMIT_MS as u32),
            ("offline_s", crate::link::polling::OFFLINE_S as u32),
            ("bits_per_byte", crate::link::polling::BITS_PER_BYTE as u32),
            ("default_baud", crate::link::polling::BIT_RATES[0]),
        ];
        for (name, value) in ours {
            assert_eq!(value, find(name), "{name}");
        }
    }

    /// Rows of a file recorded from an open library by `scripts/judge_link.py`, without the line of keys.
    fn recorded(text: &str) -> impl Iterator<Item = Vec<&str>> {
        text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
    }

    #[test]
    fn an_open_library_builds_the_same_frames() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/judges/osdp_frames.csv"));
        let mut rows = 0;
        for row in recorded(text) {
            let byte = |at: usize| row[at].parse::<u8>().unwrap();
            let pair = |at: usize| u8::from_str_radix(&row[3][at..at + 2], 16).unwrap();
            let data: Vec<u8> = (0..row[3].len()).step_by(2).map(pair).collect();
            assert_eq!(hex(&command(byte(0), byte(1), byte(2), &data).unwrap()), row[4]);
            rows += 1;
        }
        assert!(rows > 50);
    }

    #[test]
    fn an_open_library_sends_secure_frames_of_the_same_lengths() {
        let text =
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/judges/osdp_secure_lengths.csv"));
        let rows: Vec<Vec<u32>> =
            recorded(text).map(|row| row.iter().map(|number| number.parse().unwrap()).collect()).collect();
        assert!(rows.len() > 8);
        for row in rows {
            assert_eq!(frame_length(row[0], false, true), row[1], "{} bytes of data", row[0]);
        }
    }
}
