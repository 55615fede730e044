//! What figures other than lengths usually are, and what figures of one value are beside each other.
//!
//! Invariant: each is asked about once and none is refused or changed; what can't be is refused by
//! `model::bounds`. What is usual is common practice, no published source. One file past 400 lines, since each
//! question stands beside the table of what is usual.

use mechanics::Millimetres;
use mechanics::plausible::{question_breaking, question_stiffness};
use serde_json::Value;

use super::convert::{construction, mm, mn, nm};
use super::odd_fittings::odd_terminals;
use super::odd_tools::odd_probe;
use crate::model::values::{Day, Length, Material, Rail, Section, StrandFigures};
use crate::subject::SubjectKind;

/// A figure, its unit as people say it, and what it usually is in that unit.
struct Usual {
    subject: SubjectKind,
    field: &'static str,
    name: &'static str,
    /// How many of the record's units one of people's is.
    per: f64,
    unit: &'static str,
    from: f64,
    to: f64,
}

/// Millinewtons in a kilonewton.
const KN: f64 = 1e6;

const USUAL: &[Usual] = {
    use SubjectKind as S;
    const fn of(
        (subject, field, name): (S, &'static str, &'static str),
        (per, unit): (f64, &'static str),
        (from, to): (f64, f64),
    ) -> Usual {
        Usual {
            subject,
            field,
            name,
            per,
            unit,
            from,
            to,
        }
    }
    &[
        of(
            (S::Run, "rail", "stiffnessNPerM"),
            (1_000.0, "N/mm"),
            (10.0, 5_000.0),
        ),
        of(
            (S::Post, "base", "turningNMPerRad"),
            (1_000.0, "kN·m/rad"),
            (5.0, 20_000.0),
        ),
        of((S::Run, "slope", "riseNm"), (1e6, "mm"), (50.0, 300.0)),
        of((S::Run, "slope", "goingNm"), (1e6, "mm"), (100.0, 1_200.0)),
        of(
            (S::Post, "material", "moisturePermille"),
            (10.0, "%"),
            (0.0, 40.0),
        ),
        of(
            (S::Strand, "figures", "stretchPpm"),
            (1.0, "ppm"),
            (0.0, 1_000.0),
        ),
        of(
            (S::FittingSet, "efficiency", "permille"),
            (10.0, "%"),
            (50.0, 100.0),
        ),
        of((S::FittingSet, "insertPull", "mn"), (KN, "kN"), (0.5, 50.0)),
        of(
            (S::FittingSet, "threadLimit", "mn"),
            (KN, "kN"),
            (0.5, 200.0),
        ),
        of((S::Tool, "errorPer10000", ""), (100.0, "%"), (0.5, 10.0)),
    ]
};

/// How far from a rail's middle its stiffness may be told to act.
const NEAR_RAIL: Millimetres = Millimetres(300.0);

/// What to ask about the figures of a value that are no lengths, and about those that do not go with
/// each other; none where nothing is odd.
pub(super) fn odd_figures(subject: SubjectKind, field: &str, value: &Value) -> Option<String> {
    use SubjectKind as S;
    let own = USUAL
        .iter()
        .filter(|u| (u.subject, u.field) == (subject, field));
    let unusual = own.filter_map(|usual| {
        let figure = match usual.name {
            "" => value.as_i64(),
            name => value.get(name)?.as_i64(),
        };
        usual.ask(figure?)
    });
    unusual
        .into_iter()
        .next()
        .or_else(|| match (subject, field) {
            (S::Strand, "figures") => odd_strand(value),
            (S::Run, "rail") => odd_rail(value),
            (S::Post, "material") => odd_modulus(value),
            (S::FittingSet, "terminals") => odd_terminals(value),
            (S::Job, "permitDate") => odd_permit(value),
            _ => None,
        })
}

impl Usual {
    fn ask(&self, figure: i64) -> Option<String> {
        #[allow(clippy::cast_precision_loss)] // figures within their bounds
        let figure = figure as f64 / self.per;
        let (from, to, unit) = (self.from, self.to, self.unit);
        (!(from..=to).contains(&figure)).then(|| {
            format!("{figure}\u{a0}{unit} is unusual here, where {from} to {to}\u{a0}{unit} is common. Is the unit right?")
        })
    }
}

/// Asks about breaking load and stiffness beside the strand's diameter.
fn odd_strand(figures: &Value) -> Option<String> {
    let figures: StrandFigures = serde_json::from_value(figures.clone()).ok()?;
    let diameter = nm(figures.diameter_nm);
    let breaking = figures
        .breaking_mn
        .and_then(|load| question_breaking(diameter, mn(load)));
    breaking.or_else(|| question_stiffness(diameter, construction(&figures), mn(figures.ea_mn)))
}

/// Asks where a rail's stiffness would act far from the rail.
fn odd_rail(rail: &Value) -> Option<String> {
    let rail: Rail = serde_json::from_value(rail.clone()).ok()?;
    let at = nm(rail.stiffness_height_nm?);
    let middle = nm(rail.underside_nm) + nm(rail.thickness_nm) / 2.0;
    ((at - middle).abs() > NEAR_RAIL).then(|| {
        format!(
            "The rail's stiffness would act at {at}, and the rail runs at {middle}. Is the unit right?"
        )
    })
}

/// How many times as thick a wall may be told as it was before, unasked.
const THICKER: i64 = 2;

/// Asks where a post that was told as hollow is to be solid, or its wall much thicker: what the wires ask
/// of it would fall to a part.
pub(super) fn no_longer_hollow(section: &Value, before: &Value) -> Option<String> {
    let now: Section = serde_json::from_value(section.clone()).ok()?;
    let before: Section = serde_json::from_value(before.clone()).ok()?;
    match (before.wall_nm, now.wall_nm) {
        (Some(was), Some(told)) if told <= was * THICKER => None,
        (Some(was), Some(told)) => Some(format!(
            "The post was told with a wall of {}, now with {}. Is it right?",
            nm(was),
            nm(told)
        )),
        (Some(was), None) => Some(format!(
            "The post was told as hollow, with a wall of {}. Has it none?",
            nm(was)
        )),
        (None, None) => (before.solid == Some(false) && now.solid != Some(false))
            .then(|| "The post was told as hollow. Is it solid?".to_owned()),
        (None, Some(_)) => None,
    }
}

/// What the modulus of a material that is no timber usually is in GPa, by a word in its name (from
/// memory, an input).
const MODULUS: &[(&[&str], f64, f64)] = &[
    (&["steel", "stainless", "iron"], 150.0, 220.0),
    (&["alumin", "alloy"], 60.0, 80.0),
    (&["metal", "brass", "bronze", "copper"], 40.0, 250.0),
    (
        &[
            "fibre",
            "fiber",
            "fibreglass",
            "fiberglass",
            "glass",
            "grp",
            "frp",
            "gfrp",
        ],
        5.0,
        60.0,
    ),
    (&["plastic", "vinyl", "pvc", "upvc", "composite"], 0.5, 60.0),
    (&["concrete", "stone"], 10.0, 60.0),
];
/// Up to here a modulus is a timber's, in GPa: that of the stiffest grades that are common (from memory,
/// an input).
pub(super) const TIMBER_TO_GPA: f64 = 22.0;
const TIMBER: (f64, f64) = (3.0, TIMBER_TO_GPA);

/// What a material is named, other than a timber: what its modulus usually is.
fn named_otherwise(name: &str) -> Option<(f64, f64)> {
    let kind = MODULUS.iter().find(|(words, ..)| named(name, words));
    kind.map(|(_, from, to)| (*from, *to))
}

/// Whether a material is no timber by a word in its name.
pub(super) fn is_named_no_timber(name: &str) -> bool {
    named_otherwise(name).is_some()
}

/// Whether one of the words stands in a name: whole words, since ironbark is a timber, and in two words,
/// too; aluminium has two spellings.
fn named(name: &str, words: &[&str]) -> bool {
    let is = |told: &str, word: &str| told == word || (word == "alumin" && told.starts_with(word));
    let name = name.to_lowercase();
    let told: Vec<&str> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|told| !told.is_empty())
        .collect();
    let after = told.iter().skip(1).map(Some).chain([None]);
    told.iter().zip(after).any(|(told, after)| {
        let timber = *told == "iron" && after.is_some_and(|next| ["bark", "wood"].contains(next));
        !timber && words.iter().any(|word| is(told, word))
    })
}

/// Asks about a modulus that no material of the name has.
fn odd_modulus(material: &Value) -> Option<String> {
    let material: Material = serde_json::from_value(material.clone()).ok()?;
    #[allow(clippy::cast_precision_loss)] // megapascals within their bounds
    let told = material.modulus_mpa? as f64 / 1_000.0;
    let (from, to) = named_otherwise(&material.name).unwrap_or(TIMBER);
    (!(from..=to).contains(&told)).then(|| {
        format!(
            "A modulus of {told}\u{a0}GPa is unusual for {}, where {from} to {to}\u{a0}GPa is common. Is the unit right?",
            crate::photos::visible(material.name.trim(), 40)
        )
    })
}

/// Years of a permit that are taken without a question.
const PERMITS: std::ops::RangeInclusive<i32> = 1990..=2100;

/// Asks about a permit of another century: a digit that slipped.
fn odd_permit(day: &Value) -> Option<String> {
    use chrono::Datelike;
    let day: Day = serde_json::from_value(day.clone()).ok()?;
    let day = day.date();
    (!PERMITS.contains(&day.year()))
        .then(|| format!("A permit of {day} is unusual. Is the year right?"))
}

/// Pushes on a probe that are taken without a question, in newtons: a hand gives 50 to 500, and standards push
/// with less than a thousand.
const PUSHES: std::ops::RangeInclusive<i64> = 30..=1_000;

/// What to ask about a push on a probe, in millinewtons; none where it is usual.
#[must_use]
pub fn odd_push(mn: i64) -> Option<String> {
    let usual = PUSHES.start() * 1_000..=PUSHES.end() * 1_000;
    (!usual.contains(&mn)).then(|| {
        format!(
            "A push of {} on a probe is unusual, where 50 to some hundred newtons are common. Is the unit right?",
            super::words::newtons(mn)
        )
    })
}

/// What to ask about the probe that was offered to an opening and about the push on it, as a reading tells both.
#[must_use]
pub fn odd_offer(with: &Value) -> Vec<String> {
    let of = |name: &str| with.get(name).and_then(Value::as_i64);
    let probe = of("probeNm").and_then(|nm| odd_probe(Length { nm }));
    let push = of("pushMn").and_then(odd_push);
    probe.into_iter().chain(push).collect()
}

/// Sizes of a pressed shank that are taken without a question, in millimetres.
const PRESSED: std::ops::RangeInclusive<f64> = 2.0..=30.0;

/// What to ask about a shank's size after pressing; none where it is usual.
pub(super) fn odd_pressed(size: Length) -> Option<String> {
    mechanics::plausible::question_usual("a pressed shank", mm(size), &PRESSED)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_post_that_would_bear_more_than_it_did_is_asked_about() {
        let section = |wall_mm: Option<i64>, solid: Option<bool>| {
            let wall = wall_mm.map(|mm| mm * 1_000_000);
            let section = Section {
                along_nm: 50_000_000,
                across_nm: 50_000_000,
                wall_nm: wall,
                solid,
            };
            serde_json::to_value(section).unwrap()
        };
        let asked = |now: &Value, before: &Value| {
            super::super::odd::odd_value(SubjectKind::Post, "section", now, &[before])
        };
        let tube = section(Some(3), Some(false));
        for (now, before, words) in [
            (section(Some(4), None), &tube, None),
            (section(Some(2), None), &tube, None),
            (
                section(Some(10), None),
                &tube,
                Some("a wall of 3 mm, now with 10 mm"),
            ),
            (section(None, Some(true)), &tube, Some("Has it none?")),
            (section(None, None), &tube, Some("Has it none?")),
            (
                section(None, Some(true)),
                &section(None, Some(false)),
                Some("Is it solid?"),
            ),
            (
                section(None, None),
                &section(None, Some(false)),
                Some("Is it solid?"),
            ),
            (section(Some(3), None), &section(None, Some(false)), None),
            (section(None, Some(true)), &section(None, None), None),
            (
                section(Some(20), None),
                &section(None, None),
                Some("1 to 12 mm is common"),
            ),
        ] {
            let told = asked(&now, before);
            match words {
                None => assert_eq!(told, None, "{now}"),
                Some(words) => assert!(told.clone().unwrap().contains(words), "{told:?}"),
            }
        }
    }

    #[test]
    fn figures_that_nothing_built_has_are_asked_about() {
        use SubjectKind as S;
        const MM: i64 = 1_000_000;
        let rail = |stiffness: i64, at: i64| {
            json!({"undersideNm": 985 * MM, "thicknessNm": 35 * MM,
                "stiffnessNPerM": stiffness, "stiffnessHeightNm": at * MM})
        };
        let post = |name: &str, mpa: i64| json!({"name": name, "modulusMpa": mpa});
        let strand = |breaking: i64, ea: i64, stretch: i64| {
            json!({"construction": "1x19", "diameterNm": 3_200_000, "eaMn": ea, "eaOrigin": "sheet",
                "breakingMn": breaking, "stretchPpm": stretch, "stretchOrigin": "sheet"})
        };
        for (subject, field, value, asked) in [
            (S::Run, "rail", rail(500_000, 1_000), None),
            (
                S::Run,
                "rail",
                rail(500_000_000, 1_000),
                Some("500000 N/mm is unusual here, where 10 to 5000 N/mm"),
            ),
            (
                S::Run,
                "rail",
                rail(500_000, 90_000),
                Some("would act at 90000 mm"),
            ),
            (S::Post, "material", post("hardwood", 14_000), None),
            (S::Post, "material", post("grey ironbark", 18_000), None),
            (
                S::Post,
                "material",
                post("grey ironbark", 180_000),
                Some("180 GPa is unusual for grey ironbark, where 3 to 22"),
            ),
            (S::Post, "material", post("aluminium 6061", 69_000), None),
            (
                S::Post,
                "material",
                post("hardwood", 140_000),
                Some("140 GPa is unusual for hardwood, where 3 to 22"),
            ),
            (S::Post, "material", post("stainless steel", 193_000), None),
            (
                S::Post,
                "material",
                post("aluminium", 700_000),
                Some("700 GPa is unusual for aluminium"),
            ),
            (
                S::Post,
                "material",
                json!({"name": "hardwood", "moisturePermille": 2_500}),
                Some("250 %"),
            ),
            (
                S::Strand,
                "figures",
                strand(8_500_000, 794_597_000, 300),
                None,
            ),
            (
                S::Strand,
                "figures",
                strand(85_000_000, 794_597_000, 300),
                Some("breaking load"),
            ),
            (
                S::Strand,
                "figures",
                strand(8_500_000, 7_945_970_000, 300),
                Some("axial stiffness"),
            ),
            (
                S::Strand,
                "figures",
                strand(8_500_000, 794_597_000, 30_000),
                Some("30000 ppm"),
            ),
            (
                S::FittingSet,
                "efficiency",
                json!({"permille": 65, "factorPercent": 300}),
                Some("6.5 %"),
            ),
            (
                S::FittingSet,
                "efficiency",
                json!({"permille": 700, "factorPercent": 300}),
                None,
            ),
            (S::Tool, "errorPer10000", json!(400), None),
            (S::Tool, "errorPer10000", json!(0), Some("0 % is unusual")),
            (S::Tool, "errorPer10000", json!(4), Some("0.04 %")),
            (S::Job, "permitDate", json!("2026-03-02"), None),
            (
                S::Job,
                "permitDate",
                json!("1826-03-02"),
                Some("1826-03-02"),
            ),
            (
                S::Job,
                "permitDate",
                json!("2999-03-02"),
                Some("2999-03-02"),
            ),
        ] {
            let found = odd_figures(subject, field, &value);
            match asked {
                None => assert_eq!(found, None, "{value}"),
                Some(words) => {
                    let plain = found.unwrap_or_default().replace('\u{a0}', " ");
                    assert!(plain.contains(words), "{value}: {plain}");
                }
            }
        }
        assert_eq!(odd_push(150_000), None);
        assert_eq!(odd_push(40_000), None);
        for unusual in [1_000, 15_000, 99_999_000] {
            assert!(odd_push(unusual).is_some(), "{unusual}");
        }
        assert_eq!(odd_pressed(Length { nm: 6_300_000 }), None);
        assert!(odd_pressed(Length { nm: 6_300 }).is_some());
    }
    #[test]
    fn a_modulus_is_asked_about_by_what_the_material_is_named() {
        for (name, gpa, asked) in [
            ("steel", 210, false),
            ("steel", 21, true),
            ("aluminium, wood grain finish", 70, false),
            ("aluminium, wood grain finish", 11, true),
            ("grey iron bark", 18, false),
            ("iron-wood", 180, true),
            ("grey iron bark", 30, true),
            ("pultruded glass fibre", 17, false),
            ("as stands", 11, false),
        ] {
            let material = json!({"name": name, "modulusMpa": gpa * 1000});
            let told = odd_modulus(&material);
            assert_eq!(told.is_some(), asked, "{name} {gpa}: {told:?}");
        }
    }
}
