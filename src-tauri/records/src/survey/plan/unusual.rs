//! Figures that can be and are hardly meant, and positions that do not go with the bays.
//!
//! Invariant: nothing is changed here; a figure is asked about or noted, never corrected. Bays and
//! inside-to-inside lengths are held against each other by `readings`. The limits are common
//! practice, no published source.

use mechanics::Millimetres;
use mechanics::plausible::{QUESTION_FROM, fits_positions};
use serde_json::Value;

use super::super::facts::BayRow;
use super::super::problem::{Outcome, shown};
use super::{Layout, Planner};
use crate::model::fields;
use crate::subject::{Subject, SubjectKind};

const MM: i64 = 1_000_000;

/// What a figure usually is, in millimetres: subject, field, name within the value, from, to. The
/// least is more than a foot or so below what is built, so that inches without their unit show.
const USUAL: &[(SubjectKind, &str, &str, i64, i64)] = {
    use SubjectKind as S;
    &[
        (S::Run, "height", "nm", 300, 3_000),
        (S::Run, "rail", "undersideNm", 300, 3_000),
        (S::Run, "opening", "nm", 0, 5_000),
        (S::Post, "opening", "nm", 0, 5_000),
        (S::Post, "section", "alongNm", 6, 1_000),
        (S::Post, "section", "acrossNm", 6, 1_000),
    ]
};

/// Posts stand up to this much into a bay, both halves together, whatever their sections are.
const POSTS_MM: f64 = 400.0;

/// What to ask about a value before it is recorded; none where nothing is odd.
pub(super) fn unusual(subject: SubjectKind, field: &str, value: &Value) -> Option<String> {
    let asked_elsewhere = matches!(subject, SubjectKind::Bay | SubjectKind::Wire);
    if asked_elsewhere || field == fields::JOB_SALT_DISTANCE.name {
        return None;
    }
    let mut found = None;
    each_length(value, "", &mut |name, nm| {
        if found.is_none() {
            found = question(subject, field, name, nm);
        }
    });
    found
}

fn question(subject: SubjectKind, field: &str, name: &str, nm: i64) -> Option<String> {
    let usual = USUAL
        .iter()
        .find(|(s, f, n, ..)| (*s, *f, *n) == (subject, field, name));
    if let Some((_, _, _, from, to)) = usual {
        let apart = !(from * MM..=to * MM).contains(&nm);
        return apart.then(|| {
            format!(
                "{} is unusual here, where {from} to {to} mm is common. Is the unit right?",
                text(nm)
            )
        });
    }
    #[allow(clippy::cast_possible_truncation)] // a hundred metres in nanometres
    let most = (QUESTION_FROM.value() * 1e6) as i64;
    let over = nm.saturating_abs() > most;
    over.then(|| format!("{} is over 100 m. Is it right?", text(nm)))
}

/// Every length within a value, with the name under which it stands.
fn each_length(value: &Value, name: &str, on: &mut impl FnMut(&str, i64)) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                each_length(value, name, on);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| each_length(item, name, on)),
        Value::Number(number) if name == "nm" || name.ends_with("Nm") => {
            number.as_i64().into_iter().for_each(|nm| on(name, nm));
        }
        _ => {}
    }
}

fn text(nm: i64) -> String {
    let (whole, part) = (nm / MM, (nm % MM).abs() / 100_000);
    match part {
        0 => format!("{whole} mm"),
        part => format!("{whole}.{part} mm"),
    }
}

impl Planner<'_, '_> {
    /// Notes a bay of the file that does not go with the positions of its posts.
    pub(super) fn beside_positions(&self, bay: &Subject, row: &BayRow, layout: &Layout) {
        if let Some(message) = layout.apart(bay).and_then(|mm| parts(row, mm)) {
            self.log.say(&row.path, Outcome::Noted, message);
        }
    }
}

/// What to note where a bay does not fit between the middles of its posts, level or along the slope.
fn parts(row: &BayRow, (level, along): (f64, f64)) -> Option<String> {
    let clear = row.clear.as_mm();
    let fits = |apart: f64| {
        let (least, most) = (Millimetres(apart - POSTS_MM), Millimetres(apart));
        fits_positions(Millimetres(clear), least, most)
    };
    (!fits(level) && !fits(along)).then(|| {
        format!(
            "{clear} mm clear from {} to {}, and their positions are {level} mm apart: one of the \
             three is not right",
            shown(&row.from),
            shown(&row.to)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn figures_far_from_what_is_built_are_asked_about() {
        use SubjectKind as S;
        let nm = |mm: i64| mm * MM;
        for (subject, field, value, asked) in [
            (S::Run, "height", json!({"nm": nm(1020)}), false),
            (S::Run, "height", json!({"nm": nm(25_908)}), true),
            (S::Run, "height", json!({"nm": nm(40)}), true),
            (S::Run, "fall", json!({"nm": nm(100_000)}), false),
            (S::Run, "fall", json!({"nm": nm(100_001)}), true),
            (S::Post, "floor", json!({"nm": nm(-300_000)}), true),
            (S::Post, "position", json!({"nm": nm(150_000)}), true),
            (
                S::Post,
                "opening",
                json!({"nm": nm(150_000), "result": null}),
                true,
            ),
            (S::Post, "opening", json!({"nm": 0}), false),
            (
                S::Post,
                "section",
                json!({"alongNm": nm(115), "acrossNm": nm(115)}),
                false,
            ),
            (
                S::Post,
                "section",
                json!({"alongNm": nm(115), "acrossNm": nm(2_921)}),
                true,
            ),
            (
                S::Post,
                "section",
                json!({"alongNm": nm(4), "acrossNm": nm(4)}),
                true,
            ),
            (
                S::Run,
                "wireHeights",
                json!({"nm": [nm(80), nm(150_000)]}),
                true,
            ),
            (S::Job, "saltDistance", json!({"nm": nm(900_000)}), false),
            (S::Bay, "clear", json!({"nm": nm(150_000)}), false),
        ] {
            let found = unusual(subject, field, &value);
            assert_eq!(found.is_some(), asked, "{field} {value}: {found:?}");
        }
        let asked = unusual(S::Run, "height", &json!({"nm": 25_908_500_000_i64})).unwrap();
        assert!(asked.starts_with("25908.5 mm is unusual"), "{asked}");
    }
}
