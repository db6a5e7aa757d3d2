//! Room that templates take: finger minutiae in the published record formats.

use crate::power::Formula;

/// A published record format of finger minutiae.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MinutiaeFormat {
    /// ISO/IEC 19794-2:2005 record.
    Iso19794,
    /// INCITS 378-2004 record.
    Incits378,
}

impl MinutiaeFormat {
    /// Bytes of the record header. Source: the formats, from an open implementation.
    const fn header(self) -> f64 {
        match self {
            Self::Iso19794 => 24.0,
            Self::Incits378 => 26.0,
        }
    }
}

/// Bytes of the header of each view. Source: ISO/IEC 19794-2:2005 and INCITS 378-2004, from an open implementation.
const VIEW_HEADER: f64 = 6.0;
/// Bytes of a minutia. Source: as above; the compact card form takes 3 (from memory).
const MINUTIA: f64 = 6.0;

/// Words of [`minutiae_record`].
pub const MINUTIAE_RECORD: Formula = Formula {
    title: "Finger minutiae record",
    unit: "bytes",
    formula: "record = header + views * (6 + 6 * minutiae); header 24 (ISO/IEC 19794-2:2005) or 26 (INCITS 378-2004)",
    source: "ISO/IEC 19794-2:2005 and INCITS 378-2004, from an open implementation",
};

/// Bytes of a record of finger minutiae without extended data.
///
/// **Formula** header + views (6 + 6 n). **Source** ISO/IEC 19794-2:2005; INCITS 378-2004.
///
/// ```
/// use dw_engine::identity::templates::{minutiae_record, MinutiaeFormat};
/// assert_eq!(minutiae_record(MinutiaeFormat::Iso19794, 2.0, 40.0), 516.0);
/// ```
pub fn minutiae_record(format: MinutiaeFormat, views: f64, minutiae: f64) -> f64 {
    format.header() + views * (VIEW_HEADER + MINUTIA * minutiae)
}

/// Words of a store of templates.
pub const STORE: Formula = Formula {
    title: "Template store",
    unit: "bytes",
    formula: "store = users * bytes_each",
    source: "product; keep templates where law and consent allow, a licensed adviser decides",
};
