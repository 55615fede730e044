//! What to ask about what is told of a tool, and about a probe, before it is kept.
//!
//! Limits are common practice, no published source. Changes and refuses nothing.

use chrono::NaiveDate;
use mechanics::plausible::question_usual;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::convert::mm;
use super::words;
use crate::job::things::Tool;
use crate::model::fields;
use crate::model::values::{Day, Force, Length, ToolKind};

/// Usual diameter of a probe, millimetres: the spheres of rule sets are 80 to 200.
const PROBE_USUAL: std::ops::RangeInclusive<f64> = 80.0..=200.0;

/// Air and wire temperatures that are taken without a question, in hundredths of a degree: a wire in
/// the sun is warmer than the air.
const AIR_USUAL: std::ops::RangeInclusive<i64> = -2_500..=4_800;
const WIRE_USUAL: std::ops::RangeInclusive<i64> = -2_500..=7_500;

/// What to ask about fields of a tool that are said now, beside what stands of it, which is none for
/// a new one, each with the field that it is about; `today` is the day on the device's clock, where it
/// is told.
#[must_use]
pub fn odd_tool(
    said: &[(&str, &Value)],
    stands: Option<&Tool>,
    today: Option<NaiveDate>,
) -> Vec<(&'static str, String)> {
    let now = Said(said);
    let mut odd = Vec::new();
    let kind: Option<ToolKind> = now.read(fields::TOOL_KIND.name);
    let kind = kind.or_else(|| stands.and_then(|t| t.kind));
    if stands.is_none() && kind.is_none() {
        let sentence =
            "No kind is told: a tool counts as gauge, press, probe or the like only with its kind.";
        odd.push((fields::TOOL_KIND.name, sentence.to_owned()));
    }
    odd.extend(range(&now, stands).map(|sentence| (fields::TOOL_RANGE_TO.name, sentence)));
    let on: Option<Day> = now.read(fields::TOOL_COMPARED_ON.name);
    let due: Option<Day> = now.read(fields::TOOL_DUE.name);
    let told = on.is_some() || due.is_some();
    let come = |day: &&Day| today.is_some_and(|today| day.date() > today);
    if let Some(day) = on.as_ref().filter(come) {
        let sentence = format!(
            "It would have been compared on {}, which has not come yet. Is the day right?",
            day.date()
        );
        odd.push((fields::TOOL_COMPARED_ON.name, sentence));
    }
    let on = on.as_ref().or_else(|| stands?.compared_on.as_ref());
    let due = due.as_ref().or_else(|| stands?.due.as_ref());
    if let Some((due, on)) = due
        .zip(on)
        .filter(|(due, on)| told && due.date() < on.date())
    {
        let sentence = format!(
            "It would be due again on {}, before it was compared on {}. Is the day right?",
            due.date(),
            on.date()
        );
        odd.push((fields::TOOL_DUE.name, sentence));
    }
    let size: Option<Length> = now.read(fields::TOOL_SIZE.name);
    if let (Some(ToolKind::Probe), Some(size)) = (kind, size) {
        odd.extend(odd_probe(size).map(|sentence| (fields::TOOL_SIZE.name, sentence)));
    }
    let mass: Option<i64> = now.read(fields::TOOL_MASS.name);
    if let Some(mg) = mass.filter(|mg| !MASS_USUAL_MG.contains(mg)) {
        let sentence = format!(
            "A mass to hang on a wire is some two kilograms, and this one is {}. Is it in the right unit?",
            words::kilograms(mg)
        );
        odd.push((fields::TOOL_MASS.name, sentence));
    }
    odd
}

/// A mass that is hung on a wire, in milligrams: rule sets ask for two kilograms.
const MASS_USUAL_MG: std::ops::RangeInclusive<i64> = 200_000..=20_000_000;

/// How many times less than the set tension a reading may be unasked: kilonewtons typed as newtons are
/// a thousand.
const TIMES_LESS: i64 = 100;

/// What to ask about a tension that a gauge reads: outside what the gauge is told to read, or next to
/// nothing beside the run's set tension. None where nothing is odd.
#[must_use]
pub fn odd_reading(gauge: Option<&Tool>, force: Force, set: Option<Force>) -> Option<String> {
    let read = words::newtons(force.mn);
    let outside = gauge.and_then(|gauge| {
        let below = gauge.range_from.filter(|from| force.mn < from.mn);
        let above = gauge.range_to.filter(|to| force.mn > to.mn);
        let end = below.or(above)?;
        let way = if below.is_some() { "from" } else { "up to" };
        Some(format!(
            "{read} is outside what {} reads, {way} {}. Is it right?",
            gauge.name,
            words::newtons(end.mn)
        ))
    });
    let nothing = set.filter(|set| force.mn < set.mn / TIMES_LESS);
    outside.or_else(|| {
        nothing.map(|set| {
            format!(
                "{read} is next to nothing beside the set tension of {}. Is it in newtons?",
                words::newtons(set.mn)
            )
        })
    })
}

fn range(now: &Said<'_>, stands: Option<&Tool>) -> Option<String> {
    let (from, to) = (fields::TOOL_RANGE_FROM.name, fields::TOOL_RANGE_TO.name);
    if !now.has(from) && !now.has(to) {
        return None;
    }
    let of = |name: &str, stood: Option<Force>| match now.has(name) {
        true => now.read::<Force>(name),
        false => stood,
    };
    let least = of(from, stands.and_then(|t| t.range_from))?;
    let most = of(to, stands.and_then(|t| t.range_to))?;
    (least.mn >= most.mn).then(|| {
        format!(
            "It would read from {} up to {}: nothing lies between. Is one of them in the other's place?",
            words::newtons(least.mn),
            words::newtons(most.mn)
        )
    })
}

/// What to ask about a probe's diameter; none where it is usual.
#[must_use]
pub fn odd_probe(size: Length) -> Option<String> {
    question_usual("a probe", mm(size), &PROBE_USUAL)
}

/// What to ask about the temperatures of a round, in hundredths of a degree Celsius.
#[must_use]
pub fn odd_temperatures(air: Option<i64>, wire: Option<i64>) -> Option<String> {
    let told = [("An air", air, &AIR_USUAL), ("A wire", wire, &WIRE_USUAL)];
    told.into_iter().find_map(|(what, cdeg, usual)| {
        let cdeg = cdeg.filter(|c| !usual.contains(c))?;
        Some(format!(
            "{what} temperature of {} °C is unusual. Is it in degrees Celsius?",
            cdeg / 100
        ))
    })
}

struct Said<'a>(&'a [(&'a str, &'a Value)]);

impl Said<'_> {
    fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(said, _)| *said == name)
    }

    fn read<T: DeserializeOwned>(&self, name: &str) -> Option<T> {
        let (_, value) = self.0.iter().find(|(said, _)| *said == name)?;
        serde_json::from_value((*value).clone()).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_no_tool_is_like_is_asked_about() {
        let today = NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
        let ask = |said: &[(&str, Value)]| {
            let said: Vec<(&str, &Value)> = said.iter().map(|(n, v)| (*n, v)).collect();
            let odd = odd_tool(&said, None, Some(today)).into_iter();
            odd.map(|(_, sentence)| sentence).collect::<Vec<String>>()
        };
        let gauge = ("kind", json!("tensionGauge"));
        let n = |newtons: i64| json!({"mn": newtons * 1_000});
        for (said, asked) in [
            (vec![gauge.clone()], None),
            (vec![("name", json!("G-1"))], Some("No kind is told")),
            (
                vec![gauge.clone(), ("rangeFrom", n(300)), ("rangeTo", n(2_500))],
                None,
            ),
            (
                vec![gauge.clone(), ("rangeFrom", n(2_500)), ("rangeTo", n(300))],
                Some("from 2500 N up to 300 N"),
            ),
            (
                vec![gauge.clone(), ("comparedOn", json!("2026-03-02"))],
                None,
            ),
            (
                vec![gauge.clone(), ("comparedOn", json!("2026-03-03"))],
                Some("has not come yet"),
            ),
            (
                vec![
                    gauge.clone(),
                    ("comparedOn", json!("2026-03-02")),
                    ("due", json!("2025-03-02")),
                ],
                Some("due again on 2025-03-02, before it was compared on 2026-03-02"),
            ),
            (
                vec![
                    ("kind", json!("probe")),
                    ("size", json!({"nm": 125_000_000})),
                ],
                None,
            ),
            (
                vec![("kind", json!("probe")), ("size", json!({"nm": 4_920_000}))],
                Some("4.9 mm is unusual for a probe"),
            ),
            // A die is no probe.
            (
                vec![("kind", json!("die")), ("size", json!({"nm": 4_920_000}))],
                None,
            ),
        ] {
            let found = ask(&said);
            match asked {
                None => assert_eq!(found, Vec::<String>::new(), "{said:?}"),
                Some(words) => {
                    assert_eq!(found.len(), 1, "{found:?}");
                    let plain = found[0].replace('\u{a0}', " ");
                    assert!(plain.contains(words), "{plain}");
                }
            }
        }
    }

    #[test]
    fn readings_that_no_gauge_gives_are_asked_about() {
        let n = |newtons: f64| Force::from_newtons(newtons);
        let gauge = Tool {
            id: "a".repeat(26).parse().unwrap(),
            name: "G-02".into(),
            kind: Some(ToolKind::TensionGauge),
            range: None,
            range_from: Some(n(300.0)),
            range_to: Some(n(2_500.0)),
            error_per_10000: None,
            compared_with: None,
            compared_on: None,
            due: None,
            certificate: None,
            size: None,
            mass_mg: None,
            reference: None,
        };
        for (by, read, asked) in [
            (Some(&gauge), 300.0, None),
            (Some(&gauge), 1_490.0, None),
            (
                Some(&gauge),
                150.0,
                Some("150 N is outside what G-02 reads, from 300 N"),
            ),
            (Some(&gauge), 2_600.0, Some("up to 2500 N")),
            (None, 150.0, None),
            (None, 1.5, Some("beside the set tension of 1500 N")),
        ] {
            let found = odd_reading(by, n(read), Some(n(1_500.0)));
            match asked {
                None => assert_eq!(found, None, "{read}"),
                Some(words) => {
                    let plain = found.unwrap_or_default().replace('\u{a0}', " ");
                    assert!(plain.contains(words), "{plain}");
                }
            }
        }
    }

    #[test]
    fn temperatures_that_no_day_has_are_asked_about() {
        for (air, wire, asked) in [
            (Some(2_400), Some(6_000), None),
            (None, None, None),
            (Some(7_500), None, Some("An air temperature of 75 °C")),
            (
                Some(2_400),
                Some(8_500),
                Some("A wire temperature of 85 °C"),
            ),
        ] {
            let found = odd_temperatures(air, wire);
            match asked {
                None => assert_eq!(found, None),
                Some(words) => assert!(found.unwrap().starts_with(words)),
            }
        }
    }
}
