//! Writes the EXIF block of a drawn picture: TIFF structure, big-endian.
//!
//! Tags and types: CIPA DC-008 (Exif) and TIFF 6.0. Only what the tests and the demo need.

/// What goes into the block; absent fields are left out.
#[derive(Debug, Clone, Default)]
pub(super) struct ExifBlock {
    pub(super) orientation: u16,
    /// "2026:10:06 09:15:30"
    pub(super) taken: Option<String>,
    /// "+11:00"
    pub(super) offset: Option<String>,
    /// Digits after the decimal point of the second.
    pub(super) fraction: Option<String>,
    /// Latitude and longitude.
    pub(super) position: Option<(Angle, Angle)>,
}

/// Degrees, minutes, seconds as numerator and denominator, with their letter.
#[derive(Debug, Clone)]
pub(super) struct Angle {
    pub(super) letter: char,
    pub(super) parts: [(u32, u32); 3],
}

impl Angle {
    /// From units of 1e-7 degree; the seconds carry five decimals, finer than the unit.
    pub(super) fn from_e7(e7: i64, positive: char, negative: char) -> Angle {
        let letter = if e7 < 0 { negative } else { positive };
        let e7 = e7.unsigned_abs();
        let (degrees, rest) = (e7 / 10_000_000, e7 % 10_000_000 * 60);
        let (minutes, rest) = (rest / 10_000_000, rest % 10_000_000 * 60);
        let part = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
        let parts = [
            (part(degrees), 1),
            (part(minutes), 1),
            (part(rest / 100), 100_000),
        ];
        Angle { letter, parts }
    }
}

const ASCII: u16 = 2;
const SHORT: u16 = 3;
const LONG: u16 = 4;
const RATIONAL: u16 = 5;
const UNDEFINED: u16 = 7;
const SOFTWARE: &str = "Tautbook fixtures: drawn, not photographed";

struct Field {
    tag: u16,
    kind: u16,
    count: u32,
    data: Vec<u8>,
}

/// The payload of the APP1 segment, from "Exif" on.
pub(super) fn app1(block: &ExifBlock) -> Vec<u8> {
    let exif = exif_fields(block);
    let gps = gps_fields(block);
    let mut main = vec![
        short(0x0112, block.orientation),
        ascii(0x0131, SOFTWARE),
        long(0x8769, 0),
        long(0x8825, 0),
    ];
    if gps.is_empty() {
        main.pop();
    }
    // The offsets of the inner directories depend only on sizes, so a first pass finds them.
    let exif_at = 8 + directory(&main, 8).len();
    let gps_at = exif_at + directory(&exif, exif_at).len();
    for field in &mut main {
        match field.tag {
            0x8769 => *field = long(0x8769, exif_at),
            0x8825 => *field = long(0x8825, gps_at),
            _ => {}
        }
    }
    let mut out = b"Exif\0\0MM\0*\0\0\0\x08".to_vec();
    out.extend(directory(&main, 8));
    out.extend(directory(&exif, exif_at));
    if !gps.is_empty() {
        out.extend(directory(&gps, gps_at));
    }
    out
}

fn exif_fields(block: &ExifBlock) -> Vec<Field> {
    let text = |tag, text: &Option<String>| text.as_deref().map(|text| ascii(tag, text));
    let version = Field {
        tag: 0x9000,
        kind: UNDEFINED,
        count: 4,
        data: b"0232".to_vec(),
    };
    [
        Some(version),
        text(0x9003, &block.taken),
        text(0x9011, &block.offset),
        text(0x9291, &block.fraction),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn gps_fields(block: &ExifBlock) -> Vec<Field> {
    let Some((lat, lon)) = &block.position else {
        return Vec::new();
    };
    let version = Field {
        tag: 0x0000,
        kind: 1,
        count: 4,
        data: vec![2, 3, 0, 0],
    };
    vec![
        version,
        ascii(0x0001, &lat.letter.to_string()),
        rationals(0x0002, &lat.parts),
        ascii(0x0003, &lon.letter.to_string()),
        rationals(0x0004, &lon.parts),
    ]
}

fn ascii(tag: u16, text: &str) -> Field {
    let mut data = text.as_bytes().to_vec();
    data.push(0);
    Field {
        tag,
        kind: ASCII,
        count: data.len() as u32,
        data,
    }
}

fn short(tag: u16, value: u16) -> Field {
    let [high, low] = value.to_be_bytes();
    Field {
        tag,
        kind: SHORT,
        count: 1,
        data: vec![high, low, 0, 0],
    }
}

fn long(tag: u16, value: usize) -> Field {
    Field {
        tag,
        kind: LONG,
        count: 1,
        data: (value as u32).to_be_bytes().to_vec(),
    }
}

fn rationals(tag: u16, parts: &[(u32, u32)]) -> Field {
    let data = parts
        .iter()
        .flat_map(|(n, d)| [n.to_be_bytes(), d.to_be_bytes()])
        .flatten();
    Field {
        tag,
        kind: RATIONAL,
        count: parts.len() as u32,
        data: data.collect(),
    }
}

/// One directory that starts at `at`, followed by the values that do not fit into it.
fn directory(fields: &[Field], at: usize) -> Vec<u8> {
    let mut out = (fields.len() as u16).to_be_bytes().to_vec();
    let mut values = Vec::new();
    let values_at = at + 2 + 12 * fields.len() + 4;
    for field in fields {
        out.extend(field.tag.to_be_bytes());
        out.extend(field.kind.to_be_bytes());
        out.extend(field.count.to_be_bytes());
        if field.data.len() <= 4 {
            let mut inline = field.data.clone();
            inline.resize(4, 0);
            out.extend(inline);
        } else {
            out.extend(((values_at + values.len()) as u32).to_be_bytes());
            values.extend(&field.data);
            // Values start on even offsets (TIFF 6.0).
            values.resize(values.len().next_multiple_of(2), 0);
        }
    }
    out.extend([0; 4]);
    out.extend(values);
    out
}
