//! What people type: lengths in millimetres or feet, inches and fractions, forces, masses, lists of wires.
//!
//! Reading is exact: 1/64 in is 396 875 nm, and no floating-point number is involved. One file past 400 lines,
//! since each way of typing stands beside the others that it must not be taken for.

use crate::error::RecordError;
use crate::model::values::{Force, Length};
use crate::subject::MOST_WIRES;

/// Nanometres in an inch (exact by definition, 25.4 mm).
pub const INCH_NM: i64 = 25_400_000;

/// Unit in which a length was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetres, with a decimal point or comma.
    Millimetres,
    /// Feet, inches and fractions: `23' 11 3/16"`, `287 3/16`, `11.5`.
    Inches,
}

fn refuse(text: &str, want: &str) -> RecordError {
    let shown: String = text.chars().take(40).collect();
    RecordError::Input(format!("{shown:?} is not a number here. Type {want}."))
}

/// Reads a length. A unit that stands behind it counts before the one that is told: `62in` is inches
/// wherever it is typed.
///
/// # Errors
/// When the text is no such number, or finer than a nanometre.
pub fn length(text: &str, unit: LengthUnit) -> Result<Length, RecordError> {
    let plain = plain(text);
    let (bare, own) = own_unit(&plain);
    let told = match unit {
        LengthUnit::Millimetres => Unit::Metric(6),
        LengthUnit::Inches => Unit::Inches,
    };
    let (nm, want) = match own.unwrap_or(told) {
        Unit::Metric(places) => (decimal(bare, places), "millimetres, like 7294 or 75.8"),
        Unit::Inches => (inches(bare), "inches, like 287 3/16 or 23' 11 3/16\""),
    };
    if nm.is_none() && bare.len() > LONGEST_DIGITS && bare.bytes().all(|b| b.is_ascii_digit()) {
        let shown: String = text.chars().take(40).collect();
        return Err(RecordError::Input(format!(
            "{shown:?} is over 1 km. Is the unit right?"
        )));
    }
    nm.map(|nm| Length { nm }).ok_or_else(|| refuse(text, want))
}

/// Digits before a length in any unit is over a kilometre, whatever they are.
const LONGEST_DIGITS: usize = 7;

/// What was typed, with the unit that it was read in: its own, or the one that was told.
#[must_use]
pub fn said(text: &str, unit: LengthUnit) -> String {
    let plain = plain(text);
    let typed: String = text.trim().chars().take(40).collect();
    match (own_unit(&plain).1, unit) {
        (Some(_), _) => typed,
        (None, LengthUnit::Millimetres) => format!("{typed} mm"),
        (None, LengthUnit::Inches) => format!("{typed} in"),
    }
}

/// A unit as it is written behind a number; metric ones by how many places a nanometre is down.
#[derive(Clone, Copy)]
enum Unit {
    Metric(usize),
    Inches,
}

/// What was typed in one way of writing: small letters, straight marks, feet as a mark. Phones type
/// curled marks by themselves.
fn plain(text: &str) -> String {
    const SAME: [(&str, &str); 13] = [
        ("′", "'"),
        ("’", "'"),
        ("″", "\""),
        ("”", "\""),
        ("''", "\""),
        ("feet.", "'"),
        ("foot.", "'"),
        ("feet", "'"),
        ("foot", "'"),
        ("ft.", "'"),
        ("ft", "'"),
        (" /", "/"),
        ("/ ", "/"),
    ];
    let words: Vec<&str> = text.split_whitespace().collect();
    let typed = words.join(" ").to_lowercase();
    SAME.iter()
        .fold(typed, |text, (written, plain)| text.replace(written, plain))
}

/// What stands before a unit, and that unit; feet say that inches are meant.
fn own_unit(plain: &str) -> (&str, Option<Unit>) {
    const WRITTEN: [(&str, Unit); 8] = [
        ("mm", Unit::Metric(6)),
        ("cm", Unit::Metric(7)),
        ("m", Unit::Metric(9)),
        ("inches", Unit::Inches),
        ("inch", Unit::Inches),
        ("in.", Unit::Inches),
        ("in", Unit::Inches),
        ("\"", Unit::Inches),
    ];
    let written = WRITTEN
        .iter()
        .find_map(|(name, unit)| Some((plain.strip_suffix(name)?.trim_end(), Some(*unit))));
    let feet = plain.contains('\'').then_some(Unit::Inches);
    // Feet with inches behind them and no inches between are no length.
    let written = written.filter(|(bare, _)| !bare.ends_with('\''));
    written.unwrap_or((plain, feet))
}

/// Reads a force in newtons.
///
/// # Errors
/// When the text is no number.
pub fn force(text: &str) -> Result<Force, RecordError> {
    let plain = text.trim().trim_end_matches('N').trim();
    decimal(plain, 3)
        .map(|mn| Force { mn })
        .ok_or_else(|| refuse(text, "newtons, like 1490"))
}

/// A force as it was typed, with its unit.
#[must_use]
pub fn said_force(text: &str) -> String {
    let typed: String = text.trim().chars().take(40).collect();
    match typed.ends_with('N') {
        true => typed,
        false => format!("{typed} N"),
    }
}

/// Reads a mass in milligrams: in grams, unless `kg` stands behind it.
#[must_use]
pub fn mass(text: &str) -> Option<i64> {
    let plain = text.trim().to_lowercase();
    let (bare, places) = match (plain.strip_suffix("kg"), plain.strip_suffix('g')) {
        (Some(bare), _) => (bare, 6),
        (None, Some(bare)) => (bare, 3),
        (None, None) => (plain.as_str(), 3),
    };
    decimal(bare.trim_end(), places)
}

/// A mass as it was typed, with its unit.
#[must_use]
pub fn said_mass(text: &str) -> String {
    let typed: String = text.trim().chars().take(40).collect();
    match typed.to_lowercase().ends_with('g') {
        true => typed,
        false => format!("{typed} g"),
    }
}

/// Reads a decimal number as an integer with `places` places; point or comma, sign allowed.
#[must_use]
pub fn decimal(text: &str, places: usize) -> Option<i64> {
    let (negative, digits) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, part) = match digits.split_once(['.', ',']) {
        Some((whole, part)) => (whole, part),
        None => (digits, ""),
    };
    let all_digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
    if whole.len() + part.len() == 0
        || part.len() > places
        || !all_digits(whole)
        || !all_digits(part)
    {
        return None;
    }
    let text = format!("{whole}{part:0<places$}");
    let value: i64 = text
        .parse()
        .ok()
        .filter(|v| *v <= crate::canonical::LARGEST_INTEGER)?;
    Some(if negative { -value } else { value })
}

fn inches(text: &str) -> Option<i64> {
    let text = text.trim();
    let (negative, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim()),
        None => (false, text),
    };
    if text.starts_with(['-', '−']) || text.ends_with('-') {
        return None;
    }
    let (feet, rest) = match text.split_once('\'') {
        Some((feet, rest)) => (
            feet.trim()
                .parse::<i64>()
                .ok()
                .filter(|f| (0..100_000).contains(f))?,
            rest,
        ),
        None => (0, text),
    };
    let rest = rest.trim();
    let mut nm = feet.checked_mul(12 * INCH_NM)?;
    // A dash is written between inches and their fraction as a blank is.
    let between = |c: char| c.is_whitespace() || c == '-';
    let mut parts = rest.split(between).filter(|part| !part.is_empty());
    match (parts.next(), parts.next(), parts.next()) {
        (None, None, None) if feet > 0 => {}
        (Some(one), None, None) if one.contains('/') => nm += fraction(one)?,
        (Some(whole), None, None) => {
            // Six places of an inch are 25.4 nm: finer than any tape.
            let millionths = decimal(whole, 6).filter(|n| *n >= 0)?;
            nm += millionths.checked_mul(254)? / 10;
        }
        (Some(whole), Some(part), None) => {
            let whole = whole
                .parse::<i64>()
                .ok()
                .filter(|w| (0..1_000_000).contains(w))?;
            nm += whole * INCH_NM + fraction(part)?;
        }
        _ => return None,
    }
    Some(if negative { -nm } else { nm })
}

fn fraction(text: &str) -> Option<i64> {
    let (over, under) = text.split_once('/')?;
    let (over, under): (i64, i64) = (over.parse().ok()?, under.parse().ok()?);
    let known = [2, 4, 8, 16, 32, 64].contains(&under);
    (known && over > 0 && over < under).then(|| over * INCH_NM / under)
}

/// Reads a list of wires: `1-12`, `1–4, 7`, `6`. Sorted, each once.
///
/// # Errors
/// When the text is no such list or names a wire beyond the largest run.
pub fn wires(text: &str) -> Result<Vec<u32>, RecordError> {
    let wrong = || {
        let shown: String = text.chars().take(40).collect();
        RecordError::Input(format!(
            "{shown:?} names no wires. Type wires like 1-12 or 1, 3, 5-7, the lower number first."
        ))
    };
    let mut found = Vec::new();
    for part in text.split([',', ';', ' ']).filter(|p| !p.trim().is_empty()) {
        let number = |t: &str| -> Option<u32> {
            t.trim()
                .parse()
                .ok()
                .filter(|n| (1..=MOST_WIRES).contains(n))
        };
        match part.split_once(['-', '–']) {
            Some((from, to)) => {
                let (from, to) = (
                    number(from).ok_or_else(wrong)?,
                    number(to).ok_or_else(wrong)?,
                );
                if from > to {
                    return Err(wrong());
                }
                found.extend(from..=to);
            }
            None => found.push(number(part).ok_or_else(wrong)?),
        }
    }
    if found.is_empty() {
        return Err(wrong());
    }
    found.sort_unstable();
    found.dedup();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_that_is_too_long_is_told_as_over_a_kilometre() {
        let told = length("999999999999", LengthUnit::Millimetres).unwrap_err();
        assert!(
            told.to_string()
                .ends_with("is over 1 km. Is the unit right?")
        );
        let told = length("7294x", LengthUnit::Millimetres).unwrap_err();
        assert!(told.to_string().contains("is not a number here"));
    }

    /// The table that the screens' own reading is held to as well.
    #[test]
    fn lengths_are_read_as_the_screens_read_them() {
        #[derive(serde::Deserialize)]
        struct Case {
            text: String,
            unit: String,
            nm: Option<i64>,
        }
        let path = concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/../../fixtures/typed/lengths.json"
        );
        let cases: Vec<Case> =
            serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        assert!(cases.len() > 1500);
        let mut otherwise = Vec::new();
        for case in cases {
            let unit = match case.unit.as_str() {
                "mm" => LengthUnit::Millimetres,
                _ => LengthUnit::Inches,
            };
            let read = length(&case.text, unit).ok().map(|length| length.nm);
            if read != case.nm {
                otherwise.push((case.text, case.unit, case.nm, read));
            }
        }
        assert_eq!(otherwise, []);
    }

    #[test]
    fn lengths_are_read_exactly() {
        let table = [
            ("7294", LengthUnit::Millimetres, 7_294_000_000),
            ("75,8", LengthUnit::Millimetres, 75_800_000),
            ("75.8 mm", LengthUnit::Millimetres, 75_800_000),
            ("-3", LengthUnit::Millimetres, -3_000_000),
            ("1/64", LengthUnit::Inches, 396_875),
            (
                "287 3/16",
                LengthUnit::Inches,
                287 * INCH_NM + 3 * INCH_NM / 16,
            ),
            (
                "23' 11 3/16\"",
                LengthUnit::Inches,
                (23 * 12 + 11) * INCH_NM + 3 * INCH_NM / 16,
            ),
            ("11.5", LengthUnit::Inches, 292_100_000),
            ("6'", LengthUnit::Inches, 72 * INCH_NM),
            ("6'", LengthUnit::Millimetres, 72 * INCH_NM),
            ("5 ft 6 in", LengthUnit::Millimetres, 66 * INCH_NM),
            ("62in", LengthUnit::Millimetres, 62 * INCH_NM),
            ("62 inches", LengthUnit::Millimetres, 62 * INCH_NM),
            ("62″", LengthUnit::Millimetres, 62 * INCH_NM),
            ("1380 mm", LengthUnit::Inches, 1_380_000_000),
            ("138 cm", LengthUnit::Millimetres, 1_380_000_000),
            ("1,8m", LengthUnit::Millimetres, 1_800_000_000),
        ];
        for (text, unit, nm) in table {
            assert_eq!(length(text, unit).unwrap().nm, nm, "{text}");
        }
        for bad in [
            "",
            "NaN",
            "inf",
            "1e9",
            "7 294",
            "0x10",
            "١٢",
            "--3",
            "1.0000001",
            "mm",
            "62 in in",
            "7mm294",
        ] {
            assert!(length(bad, LengthUnit::Millimetres).is_err(), "{bad}");
        }
        for bad in ["", "3/7", "5/4", "1 2 3", "x", "'"] {
            assert!(length(bad, LengthUnit::Inches).is_err(), "{bad}");
        }
    }

    #[test]
    fn what_was_typed_is_told_with_the_unit_that_it_was_read_in() {
        let (mm, inches) = (LengthUnit::Millimetres, LengthUnit::Inches);
        for (text, unit, told) in [
            ("7294", mm, "7294 mm"),
            (" 287 3/16 ", inches, "287 3/16 in"),
            ("62in", mm, "62in"),
            ("7,294 m", mm, "7,294 m"),
            ("1380 mm", inches, "1380 mm"),
            ("6'", mm, "6'"),
            ("5 ft 6 in", mm, "5 ft 6 in"),
        ] {
            assert_eq!(said(text, unit), told);
        }
        assert_eq!(said_force(" 1490,5 "), "1490,5 N");
        assert_eq!(said_force("1490 N"), "1490 N");
    }

    #[test]
    fn a_mass_is_grams_unless_it_says_kilograms() {
        for (text, mg, told) in [
            ("1998", 1_998_000, "1998 g"),
            ("200 g", 200_000, "200 g"),
            ("0,2kg", 200_000, "0,2kg"),
            (" 2.003 KG ", 2_003_000, "2.003 KG"),
        ] {
            assert_eq!(mass(text), Some(mg), "{text}");
            assert_eq!(said_mass(text), told);
        }
        for text in ["2 lb", "200 mg", "g", "kg", "", "7 oz"] {
            assert_eq!(mass(text), None, "{text}");
        }
    }

    #[test]
    fn lists_of_wires_are_read() {
        assert_eq!(wires("1-3, 5").unwrap(), [1, 2, 3, 5]);
        assert_eq!(wires("6").unwrap(), [6]);
        for bad in ["", "0", "3-1", "a", "1-999"] {
            let told = wires(bad).unwrap_err().to_string();
            assert!(told.contains("names no wires"), "{told}");
        }
    }
}
