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

/// Largest error of a gauge that is taken without a question, in parts of 10 000.
const ERROR_FROM: i64 = 1_000;

/// Air and wire temperatures that are taken without a question, in hundredths of a degree: a wire in
/// the sun is warmer than the air.
const AIR_USUAL: std::ops::RangeInclusive<i64> = -2_500..=4_800;
const WIRE_USUAL: std::ops::RangeInclusive<i64> = -2_500..=7_500;

/// What to ask about fields of a tool that are said now, beside what stands of it, which is none for
/// a new one; `today` is the day on the device's clock.
#[must_use]
pub fn odd_tool(said: &[(&str, &Value)], stands: Option<&Tool>, today: NaiveDate) -> Vec<String> {
    let now = Said(said);
    let mut odd = Vec::new();
    let kind: Option<ToolKind> = now.read(fields::TOOL_KIND.name);
    let kind = kind.or_else(|| stands.and_then(|t| t.kind));
    if stands.is_none() && kind.is_none() {
        odd.push(
            "No kind is told: a tool counts as gauge, press, probe or the like only with its kind."
                .to_owned(),
        );
    }
    odd.extend(range(&now, stands));
    let error: Option<i64> = now.read(fields::TOOL_ERROR.name);
    if let Some(error) = error.filter(|error| *error > ERROR_FROM) {
        odd.push(format!(
            "An error of plus or minus {} % is unusual, where a few per cent are common. Is it right?",
            error / 100
        ));
    }
    let compared: Option<Day> = now.read(fields::TOOL_COMPARED_ON.name);
    if let Some(day) = compared.filter(|day| day.date() > today) {
        odd.push(format!(
            "It would have been compared on {}, which has not come yet. Is the day right?",
            day.date()
        ));
    }
    let size: Option<Length> = now.read(fields::TOOL_SIZE.name);
    if let (Some(ToolKind::Probe), Some(size)) = (kind, size) {
        odd.extend(odd_probe(size));
    }
    odd
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
            odd_tool(&said, None, today)
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
            (vec![gauge.clone(), ("errorPer10000", json!(400))], None),
            (
                vec![gauge.clone(), ("errorPer10000", json!(4_000))],
                Some("plus or minus 40 %"),
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
