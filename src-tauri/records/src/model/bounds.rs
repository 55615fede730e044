//! Bounds of the figures that fields hold: what can't be, whoever says it.
//!
//! Invariant: a figure outside its bounds is refused where it is said, and where one stands in a
//! record already it is read as not told, so that one slip never stops the work on the rest. The
//! bounds are wide: they catch slips of unit and sign, and judge nothing. One file past 400 lines, since
//! the bounds and the cases that hold them stand together.

mod marks;
mod together;

use serde_json::Value;

use super::fields::FieldSpec;
use super::unfit::plainly;
use super::values::{Force, Length};
use crate::subject::{MOST_WIRES, SubjectKind};
use together::together;
pub(crate) use together::{mouth_wrong, overhang_wrong, stud_wrong, thread_wrong};

/// Least and largest figure under a name within a field's value; the empty name is the value.
struct Bound {
    subject: SubjectKind,
    field: &'static str,
    name: &'static str,
    from: i64,
    to: i64,
}

const fn of(
    subject: SubjectKind,
    field: &'static str,
    name: &'static str,
    (from, to): (i64, i64),
) -> Bound {
    Bound {
        subject,
        field,
        name,
        from,
        to,
    }
}

const MM: i64 = 1_000_000;
const METRE: i64 = 1_000 * MM;
/// One kilonewton in millinewtons.
const KN: i64 = 1_000_000;
/// A newton, in millinewtons: below one there is no tension that anybody sets or states.
const NEWTON: i64 = 1_000;
const COUNT: (i64, i64) = (0, 1_000_000);

const BOUNDS: &[Bound] = {
    use SubjectKind as S;
    &[
        // Half the reading: beyond that a gauge tells nothing.
        of(S::Tool, "errorPer10000", "", (0, 5_000)),
        of(S::Tool, "massMg", "", (1, 1_000_000_000)),
        of(S::Tool, "rangeFrom", "mn", (0, 1_000 * KN)),
        of(S::Tool, "rangeTo", "mn", (NEWTON, 1_000 * KN)),
        of(S::Tool, "size", "nm", (1, 10 * METRE)),
        // No post is softer than a soft plastic: below that the unit is another.
        of(S::Post, "material", "modulusMpa", (100, 250_000)),
        of(S::Post, "material", "bendingMpa", (1, 3_000)),
        of(S::Post, "material", "moisturePermille", (0, 3_000)),
        of(S::Post, "angle", "cdeg", (0, 18_000)),
        of(S::Post, "friction", "fromPermille", (0, 2_000)),
        of(S::Post, "friction", "toPermille", (0, 2_000)),
        of(S::Post, "pull", "mn", (1, 100 * KN)),
        of(S::Post, "pull", "atNm", (1, 10 * METRE)),
        of(S::Post, "pull", "movedNm", (1, METRE)),
        of(S::Post, "base", "bolts", (0, 1_000)),
        of(S::Post, "support", "embedmentNm", (1, 10 * METRE)),
        of(S::Post, "support", "edgeNm", (1, 100 * METRE)),
        of(S::Post, "support", "gateClearNm", (1, 100 * METRE)),
        of(S::Post, "support", "gateLeafNm", (1, 100 * METRE)),
        of(S::Post, "support", "gateLeafThickNm", (1, METRE)),
        of(S::Post, "support", "gateHingeGapNm", (0, METRE)),
        of(S::Bay, "lowSpot", "levelNm", (-100 * METRE, 100 * METRE)),
        of(S::Bay, "lowSpot", "fromLeftNm", (0, 1_000 * METRE)),
        of(S::Post, "base", "spacingNm", (1, 10 * METRE)),
        of(S::Post, "base", "turningNMPerRad", (1, 1_000_000_000)),
        of(S::Post, "end", "asideNm", (-METRE, METRE)),
        of(S::Post, "drilled", "nm", (1, METRE)),
        of(S::Post, "tensionLimit", "mn", (NEWTON, 1_000 * KN)),
        of(S::Run, "height", "nm", (1, 100 * METRE)),
        of(S::Run, "rail", "thicknessNm", (0, METRE)),
        of(S::Run, "rail", "stiffnessNPerM", (1, 1_000_000_000_000)),
        of(S::Run, "rail", "stiffnessHeightNm", (1, 100 * METRE)),
        of(S::Run, "slope", "risers", (1, 10_000)),
        of(S::Run, "slope", "overhangNm", (0, METRE)),
        of(S::Run, "warmth", "cutCdeg", (-6_000, 9_000)),
        of(S::Run, "warmth", "tensionedCdeg", (-6_000, 9_000)),
        of(S::Run, "wireHeights", "nm", (1, 1_000 * METRE)),
        of(S::Run, "wireCount", "", (0, MOST_WIRES as i64)),
        of(S::Run, "tensions", "requiredMn", (NEWTON, 1_000 * KN)),
        of(S::Run, "tensions", "setMn", (NEWTON, 1_000 * KN)),
        of(S::Run, "tensions", "upperMn", (NEWTON, 1_000 * KN)),
        of(S::Run, "tensions", "passesMn", (NEWTON, 1_000 * KN)),
        of(S::Run, "trialWire", "", (1, MOST_WIRES as i64)),
        of(S::Strand, "figures", "diameterNm", (1, 100 * MM)),
        of(
            S::Strand,
            "figures",
            "breakingMn",
            (100 * NEWTON, 10_000 * KN),
        ),
        of(S::Strand, "figures", "stretchPpm", (0, 100_000)),
        of(S::FittingSet, "terminals", "growthNm", (0, METRE)),
        of(S::FittingSet, "terminals", "leastEngagementNm", (0, METRE)),
        of(S::FittingSet, "terminals", "startNm", (0, METRE)),
        of(S::FittingSet, "terminals", "reserveNm", (0, METRE)),
        of(S::FittingSet, "terminals", "lockNutNm", (0, METRE)),
        of(S::FittingSet, "terminals", "seatNm", (0, METRE)),
        of(S::FittingSet, "terminals", "washerNm", (0, METRE)),
        of(S::FittingSet, "terminals", "unequalStartNm", (0, METRE)),
        of(S::FittingSet, "terminals", "clearDepthNm", (0, METRE)),
        of(S::FittingSet, "throughHole", "nm", (1, METRE)),
        of(S::FittingSet, "fixedDeduction", "nm", (0, METRE)),
        of(S::FittingSet, "efficiency", "permille", (1, 1_000)),
        of(S::FittingSet, "efficiency", "factorPercent", (100, 10_000)),
        of(S::FittingSet, "threadLimit", "mn", (NEWTON, 10_000 * KN)),
        of(S::FittingSet, "insertPull", "mn", (NEWTON, 10_000 * KN)),
        of(S::Batch, "metres", "nm", (0, 100_000 * METRE)),
        of(S::Batch, "ordered", "", COUNT),
        of(S::Batch, "arrival", "countedLeft", COUNT),
        of(S::Batch, "arrival", "countedRight", COUNT),
        of(S::Batch, "arrival", "short", COUNT),
        of(S::Batch, "arrival", "wrong", COUNT),
        of(S::Visit, "lengthCheck", "knownNm", (1, 1_000 * METRE)),
        of(S::Visit, "lengthCheck", "readNm", (1, 1_000 * METRE)),
        of(S::Job, "comingFloor", "nm", (0, METRE)),
        of(S::Job, "allowances", "sample", COUNT),
        of(S::Job, "allowances", "scrap", COUNT),
        of(S::Job, "allowances", "over", COUNT),
        of(S::Job, "allowances", "sampleStrandNm", (0, 1_000 * METRE)),
        of(S::Job, "allowances", "scrapStrandNm", (0, 1_000 * METRE)),
        of(S::Job, "leastWood", "nm", (0, METRE)),
        of(S::Job, "cutting", "kerfNm", (0, 100 * MM)),
        of(S::Job, "cutting", "endTrimNm", (0, 10 * METRE)),
        of(S::Job, "cutting", "leastUsableNm", (0, 100 * METRE)),
        of(S::Job, "cutting", "newReelNm", (1, 1_000 * METRE)),
        of(S::Job, "sampleCrimp", "pullMn", (1, 1_000 * KN)),
        of(S::Job, "sampleCrimp", "heldS", (1, 1_000_000)),
        of(S::Job, "sampleCrimp", "markMovedNm", (0, METRE)),
        of(S::Job, "sampleCrimp", "firstNm", (1, METRE)),
        of(S::Job, "sampleCrimp", "secondNm", (1, METRE)),
        of(S::Wire, "threadLeft", "nm", (0, METRE)),
        of(S::Wire, "endOut", "nm", (0, METRE)),
        of(S::Wire, "markMoved", "nm", (0, METRE)),
        of(S::Wire, "turns", "turns", (0, 1_000)),
        // Short wires are told in flats alone: six of them, not one turn.
        of(S::Wire, "turns", "flats", (0, 60)),
        of(S::Batch, "scrapped", "nm", (1, 1_000 * METRE)),
        of(S::Wire, "kept", "nm", (1, 1_000 * METRE)),
        of(S::Wire, "length", "nm", (1, 1_000 * METRE)),
        of(S::Bay, "clear", "nm", (1, 1_000 * METRE)),
        of(S::Wire, "tension", "mn", (1, 1_000 * KN)),
        of(S::Wire, "deflection", "nm", (0, 10 * METRE)),
        of(S::Wire, "deflection", "massMg", (1, 1_000_000_000)),
        of(S::Photo, "position", "latE7", (-900_000_000, 900_000_000)),
        of(
            S::Photo,
            "position",
            "lonE7",
            (-1_800_000_000, 1_800_000_000),
        ),
        of(S::Photo, "position", "accuracyNm", (0, i64::MAX)),
    ]
};

/// Sizes that must be more than nothing wherever they occur.
const SIZES: &[&str] = &[
    "nm",
    "alongNm",
    "acrossNm",
    "wallNm",
    "undersideNm",
    "riseNm",
    "goingNm",
    "overallNm",
    "mouthNm",
    "insertionNm",
    "threadNm",
    "threadDiameterNm",
    "pitchNm",
    "holeNm",
    "holeDepthNm",
    "diameterNm",
    "eaMn",
    "mn",
];

const ONE_KM_NM: i64 = 1_000_000_000_000;

/// Refuses a value that the field's type does not take, and figures that can't be; a withdrawal
/// fits every field.
///
/// # Errors
/// One sentence that names the field and the figure.
pub fn check(spec: &FieldSpec, value: &Value) -> Result<(), String> {
    if value.is_null() {
        return Ok(());
    }
    (spec.value_named)(value)
        .map_err(|reason| format!("{} ({}): {}", spec.called(), spec.name, plainly(&reason)))?;
    named(spec, value).map_or(Ok(()), Err)
}

/// The same as [`figures`], with what the field is in front.
#[must_use]
pub fn named(spec: &FieldSpec, value: &Value) -> Option<String> {
    let reason = figures(spec.subject, spec.name, value)?;
    Some(format!("{}: {reason}", spec.called()))
}

/// What in a value of a field can't be, in words; none when every figure can.
#[must_use]
pub fn figures(subject: SubjectKind, field: &str, value: &Value) -> Option<String> {
    let mut wrong = None;
    each(value, "", &mut |name, n| {
        if wrong.is_none() {
            wrong = wrong_figure(subject, field, name, n);
        }
    });
    wrong.or_else(|| together(subject, field, value))
}

fn wrong_figure(subject: SubjectKind, field: &str, name: &str, n: i64) -> Option<String> {
    let called = match name {
        "" | "nm" | "mn" | "cdeg" => "it".to_owned(),
        "permille" => "the efficiency".to_owned(),
        name => {
            let bare = [
                "Nm", "Mn", "Mpa", "Mg", "Cdeg", "Permille", "Percent", "NPerM", "Ppm",
            ]
            .iter()
            .find_map(|unit| name.strip_suffix(unit));
            spaced(bare.unwrap_or(name))
        }
    };
    let bound = BOUNDS
        .iter()
        .find(|b| b.subject == subject && b.field == field && b.name == name);
    if let Some(bound) = bound {
        return (!(bound.from..=bound.to).contains(&n)).then(|| {
            format!(
                "{called} is {} and must {}",
                shown(unit_of(bound), n),
                words(bound)
            )
        });
    }
    // Floor levels and marks may lie below what they are measured from; a wire is too long or too short.
    let signed = matches!(field, "floor" | "position" | "outBy");
    // Zero is a real reading of what moved, stretched or stands at the datum.
    if !signed && SIZES.contains(&name) && (n < 0 || (n == 0 && !matches!(name, "nm" | "mn"))) {
        let zero = if matches!(name, "nm" | "mn") {
            ""
        } else {
            " or zero"
        };
        return Some(format!("{called} can't be negative{zero}"));
    }
    // How far the sea is, is no size of the work.
    let long = field != "saltDistance" && is_length(name);
    (long && n.unsigned_abs() > ONE_KM_NM.unsigned_abs())
        .then(|| format!("{called} is over 1 km; it may be in another unit"))
}

/// The text with a capital first, as a sentence begins.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A name of the record in words: `floorLevel` is `floor level`.
#[must_use]
pub fn spaced(word: &str) -> String {
    let mut text = String::with_capacity(word.len() + 4);
    for letter in word.chars() {
        if letter.is_ascii_uppercase() {
            text.push(' ');
            text.push(letter.to_ascii_lowercase());
        } else {
            text.push(letter);
        }
    }
    text
}

fn words(bound: &Bound) -> String {
    let name = unit_of(bound);
    let to = shown(name, bound.to);
    // A nanometre, a millinewton or a milligram only says that nothing is no size.
    let tiny = is_length(name) || is_force(name) || is_mass(name);
    match bound.from {
        1 if is_stiffness(name) => format!(
            "be more than 0 and at most {to}; leave it empty where nothing is known to hold"
        ),
        1 if tiny => format!("be more than 0 and at most {to}"),
        from => format!("lie within {} to {to}", shown(name, from)),
    }
}

/// The name that tells the unit: the field's own where the value is the figure.
fn unit_of(bound: &Bound) -> &'static str {
    if bound.name.is_empty() {
        bound.field
    } else {
        bound.name
    }
}

/// A figure with its unit, which the end of its name tells.
pub(crate) fn shown(name: &str, n: i64) -> String {
    let told = match name {
        name if is_length(name) => format!("{} mm", Length { nm: n }.as_mm()),
        name if is_force(name) => format!("{} N", Force { mn: n }.as_newtons()),
        name if is_mass(name) => format!("{} g", parts(n, 3)),
        name if name.ends_with("Mpa") => format!("{n} MPa"),
        name if is_stiffness(name) => format!("{} N/mm", parts(n, 3)),
        name if name.ends_with("Ppm") => format!("{} mm/m", parts(n, 3)),
        name if name.ends_with("Per10000") => format!("{} %", parts(n, 2)),
        name if name.to_ascii_lowercase().ends_with("permille") => format!("{} %", parts(n, 1)),
        name if name.ends_with("Percent") => parts(n, 2),
        "cdeg" => format!("{}°", parts(n, 2)),
        name if name.ends_with("Cdeg") => format!("{} °C", parts(n, 2)),
        _ => n.to_string(),
    };
    told.replace('-', "−")
}

/// A whole number of tenths, hundredths or thousandths as a decimal fraction, exact.
fn parts(n: i64, digits: u32) -> String {
    let one = 10_u64.pow(digits);
    let (whole, rest) = (n.unsigned_abs() / one, n.unsigned_abs() % one);
    let sign = if n < 0 { "-" } else { "" };
    let all = format!("{sign}{whole}.{rest:0width$}", width = digits as usize);
    all.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn is_mass(name: &str) -> bool {
    name.ends_with("Mg")
}

fn is_length(name: &str) -> bool {
    name == "nm" || name.ends_with("Nm")
}

fn is_stiffness(name: &str) -> bool {
    name.ends_with("NPerM")
}

fn is_force(name: &str) -> bool {
    name == "mn" || name.ends_with("Mn")
}

fn each(value: &Value, name: &str, seen: &mut impl FnMut(&str, i64)) {
    match value {
        Value::Number(n) => {
            if let Some(n) = n.as_i64() {
                seen(name, n);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| each(item, name, seen)),
        Value::Object(map) => map.iter().for_each(|(name, inner)| each(inner, name, seen)),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::fields;
    use serde_json::json;

    fn told(subject: SubjectKind, field: &str, value: &Value) -> Result<(), String> {
        check(fields::find(subject, field).unwrap(), value)
    }

    #[test]
    fn every_bound_names_a_field_that_there_is() {
        for bound in BOUNDS {
            assert!(
                fields::find(bound.subject, bound.field).is_some(),
                "{}",
                bound.field
            );
            assert!(bound.from <= bound.to, "{}", bound.field);
        }
    }

    #[test]
    fn nonsense_is_refused_and_what_can_be_is_taken() {
        use SubjectKind as S;
        let rail = |stiffness: i64| {
            json!({"undersideNm": 1, "thicknessNm": 0, "stiffnessNPerM": stiffness,
                "stiffnessHeightNm": 1})
        };
        let material = |modulus: i64| json!({"name": "oak", "modulusMpa": modulus});
        // A stud of 72 mm that swallows 32 mm: 40 mm are left for its thread.
        let stud = |hand: &str, thread: i64| {
            json!({"hand": hand, "kind": "insert", "overallNm": 72 * MM, "insertionNm": 32 * MM,
                "growthNm": 0, "threadNm": thread * MM, "leastEngagementNm": 12 * MM,
                "startNm": 5 * MM, "reserveNm": 0, "lockNutNm": 0, "threadDiameterNm": 6 * MM,
                "pitchNm": MM, "holeNm": 8 * MM, "holeDepthNm": 40 * MM})
        };
        let terminals = |thread: i64| json!({"left": stud("LH", thread), "right": stud("RH", 30), "origin": "a sheet"});
        let part =
            |permille: i64, factor: i64| json!({"permille": permille, "factorPercent": factor});
        for (subject, field, no, yes) in [
            (S::Tool, "errorPer10000", json!(20_000), json!(200)),
            (S::Tool, "errorPer10000", json!(-400), json!(0)),
            (S::Tool, "massMg", json!(-1), json!(1_998_000)),
            (S::Run, "wireCount", json!(-3), json!(12)),
            (S::Run, "wireCount", json!(201), json!(200)),
            (S::Run, "rail", rail(-5), rail(5_000)),
            (S::Post, "material", material(-5), material(10_000)),
            (S::Post, "material", material(1), material(100)),
            (
                S::FittingSet,
                "efficiency",
                part(5_000, 300),
                part(900, 300),
            ),
            (S::FittingSet, "efficiency", part(900, 0), part(1_000, 100)),
            (
                S::Wire,
                "markMoved",
                json!({"nm": -3_000_000}),
                json!({"nm": 0}),
            ),
            (S::Wire, "threadLeft", json!({"nm": -1}), json!({"nm": 0})),
            (
                S::Wire,
                "turns",
                json!({"turns": 5, "flats": 99}),
                json!({"turns": 0, "flats": 6}),
            ),
            (
                S::Post,
                "section",
                json!({"alongNm": 50, "acrossNm": 90, "wallNm": 25}),
                json!({"alongNm": 50, "acrossNm": 90, "wallNm": 24}),
            ),
            (
                S::Post,
                "section",
                json!({"alongNm": 50, "acrossNm": 50, "wallNm": 3, "solid": true}),
                json!({"alongNm": 50, "acrossNm": 50, "wallNm": 3, "solid": false}),
            ),
            (S::FittingSet, "terminals", terminals(300), terminals(40)),
            (
                S::Run,
                "wireHeights",
                json!({"nm": [100, -1]}),
                json!({"nm": [100, 200]}),
            ),
        ] {
            let refused = told(subject, field, &no).unwrap_err();
            let called = fields::find(subject, field).unwrap().called();
            assert!(refused.starts_with(&format!("{called}: ")), "{refused}");
            assert_eq!(told(subject, field, &yes), Ok(()), "{field}");
        }
        assert_eq!(told(S::Post, "floor", &json!({"nm": -1})), Ok(()));
        for (subject, field, no, yes, words) in [
            (
                S::Run,
                "slope",
                json!({"riseNm": 2000 * MM, "goingNm": 10 * MM}),
                json!({"riseNm": 178 * MM, "goingNm": 250 * MM}),
                "a rise of 2000 mm on a going of 10 mm is steeper than 75°",
            ),
            (
                S::Run,
                "wireHeights",
                json!({"nm": [228 * MM, 152 * MM, 76 * MM]}),
                json!({"nm": [76 * MM, 152 * MM, 228 * MM]}),
                "wire 2 stands at 152 mm and the wire below it at 228 mm",
            ),
            (
                S::Run,
                "wireHeights",
                json!({"nm": [76 * MM, 76 * MM]}),
                json!({"nm": []}),
                "wire 2 stands at 76 mm and the wire below it at 76 mm",
            ),
            (
                S::Run,
                "height",
                json!({"nm": 0}),
                json!({"nm": 1_020 * MM}),
                "more than 0",
            ),
            (
                S::Post,
                "drilled",
                json!({"nm": 0}),
                json!({"nm": 76 * MM}),
                "more than 0",
            ),
            (
                S::Post,
                "material",
                json!({"name": "oak", "modulusMpa": 999_999}),
                json!({"name": "oak", "modulusMpa": 14_000}),
                "modulus is 999999 MPa",
            ),
            (
                S::Job,
                "comingFloor",
                json!({"nm": 2 * METRE}),
                json!({"nm": 20 * MM}),
                ": it is 2000 mm",
            ),
            (
                S::FittingSet,
                "fixedDeduction",
                json!({"nm": 8 * METRE}),
                json!({"nm": 55 * MM}),
                ": it is 8000 mm",
            ),
            (
                S::Tool,
                "errorPer10000",
                json!(20_000),
                json!(450),
                ": it is 200 % and must lie within 0 % to 50 %",
            ),
            (
                S::Run,
                "rail",
                json!({"undersideNm": 1, "thicknessNm": 0, "stiffnessNPerM": 0}),
                json!({"undersideNm": 1, "thicknessNm": 0, "stiffnessNPerM": 500_000}),
                ": stiffness is 0 N/mm and must be more than 0 and at most 1000000000 N/mm; leave it empty",
            ),
            (
                S::Tool,
                "massMg",
                json!(-500),
                json!(1_998_500),
                ": it is −0.5 g and must be more than 0 and at most 1000000 g",
            ),
            (
                S::Run,
                "warmth",
                json!({"cutCdeg": 2_000, "tensionedCdeg": 12_050}),
                json!({"cutCdeg": 2_000, "tensionedCdeg": 1_250}),
                ": tensioned is 120.5 °C and must lie within −60 °C to 90 °C",
            ),
        ] {
            let refused = told(subject, field, &no).unwrap_err();
            assert!(refused.contains(words), "{refused}");
            assert!(!refused.contains(&format!("({field})")), "{refused}");
            assert_eq!(told(subject, field, &yes), Ok(()), "{field}");
        }
        assert_eq!(told(S::Tool, "errorPer10000", &Value::Null), Ok(()));
    }
}
