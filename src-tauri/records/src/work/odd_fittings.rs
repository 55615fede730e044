//! What the figures of a fitting set's terminals usually are, and those of its threads beside each other.
//!
//! Invariant: each is asked about once and none is refused or changed; what can't be is refused by
//! `model::bounds`. What is usual is common practice for wire of 2 to 6 mm, no published source: wide enough for
//! every terminal of that size, and narrow enough that a digit too many or too few shows.

use mechanics::Millimetres;
use mechanics::plausible::unit_question;
use serde_json::Value;

use super::convert::mm;
use crate::model::values::{EndKind, Length};
use crate::model::{TERMINAL_FIGURES, TerminalFigure, bounds};

/// What a figure of a terminal usually is, in millimetres.
const USUAL: &[(&str, f64, f64)] = &[
    ("overallNm", 30.0, 250.0),
    ("mouthNm", 20.0, 200.0),
    ("insertionNm", 10.0, 100.0),
    ("growthNm", 0.0, 6.0),
    ("threadNm", 10.0, 200.0),
    ("leastEngagementNm", 3.0, 40.0),
    ("startNm", 0.5, 12.0),
    ("reserveNm", 0.0, 30.0),
    ("lockNutNm", 0.0, 15.0),
    ("threadDiameterNm", 3.0, 20.0),
    ("holeNm", 4.0, 30.0),
    ("holeDepthNm", 15.0, 200.0),
    ("seatNm", 0.0, 30.0),
    ("clearDepthNm", 10.0, 200.0),
    ("washerNm", 0.0, 10.0),
];

/// What part of its diameter a thread's pitch usually is: 1/8 is that of M6 × 0.75, 1/5 that of 1/4-20 (common
/// practice, no source).
const PITCH: std::ops::RangeInclusive<f64> = 0.1..=0.25;

/// What to ask about the terminals of a fitting set: every figure that is unusual, with its name and hand.
pub(super) fn odd_terminals(terminals: &Value) -> Option<String> {
    let asked = |hand: &str, of: &str| {
        let terminal = terminals.get(hand)?;
        let figures = odd_figures(terminal, of).into_iter();
        Some(
            figures
                .chain(odd_pitch(terminal, of))
                .collect::<Vec<String>>(),
        )
    };
    // What both are told alike is asked once.
    let both = asked("left", "of both terminals");
    let found: Vec<String> = match both.is_some() && both == asked("right", "of both terminals") {
        true => both.into_iter().flatten().collect(),
        false => [
            ("left", "of the left-hand terminal"),
            ("right", "of the right-hand terminal"),
        ]
        .into_iter()
        .filter_map(|(hand, of)| asked(hand, of))
        .flatten()
        .collect(),
    };
    (!found.is_empty()).then(|| found.join(" "))
}

fn told(terminal: &Value, name: &str) -> Option<Millimetres> {
    let nm = terminal.get(name)?.as_i64()?;
    Some(mm(Length { nm }))
}

/// Asks about figures that hardly any terminal has.
fn odd_figures(terminal: &Value, of: &str) -> Vec<String> {
    let kind = terminal.get("kind").cloned().unwrap_or_default();
    let kind: EndKind = serde_json::from_value(kind).unwrap_or(EndKind::Insert);
    let of_kind = |name: &str| -> Option<&TerminalFigure> {
        let mut all = TERMINAL_FIGURES.iter();
        all.find(|figure| figure.name == name && figure.is_of(kind))
    };
    let asked = USUAL.iter().filter_map(|(name, from, to)| {
        let (figure, length) = (of_kind(name)?, told(terminal, name)?);
        let usual = *from..=*to;
        (!usual.contains(&length.value())).then(|| {
            format!(
                "{} {of}: {length} is unusual, where {from} to {to} mm is common. {}",
                bounds::capital(figure.called_of(kind)),
                unit_question(length, &usual)
            )
        })
    });
    asked.collect()
}

/// Asks about a pitch that hardly any thread of the diameter has.
fn odd_pitch(terminal: &Value, of: &str) -> Option<String> {
    let diameter = told(terminal, "threadDiameterNm")?.value();
    let pitch = told(terminal, "pitchNm")?.value();
    (!PITCH.contains(&(pitch / diameter))).then(|| {
        format!(
            "A pitch {of}, {pitch}\u{a0}mm, is unusual for a thread of {diameter}\u{a0}mm, where {:.1} to \
             {:.1}\u{a0}mm is common. Is it right, and the unit?",
            diameter * PITCH.start(),
            diameter * PITCH.end()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    const MM: i64 = 1_000_000;

    fn asked(kind: &str, figures: &[(&str, i64)]) -> String {
        let mut left = json!({"kind": kind});
        for (name, nm) in figures {
            left[*name] = json!(nm);
        }
        odd_terminals(&json!({"left": left})).unwrap_or_default()
    }

    #[test]
    fn sets_of_the_library_are_asked_nothing() {
        for set in crate::library::fitting_sets() {
            let terminals = serde_json::to_value(&set.terminals).unwrap();
            assert_eq!(odd_terminals(&terminals), None, "{}", set.key);
        }
    }

    #[test]
    fn a_digit_too_many_or_too_few_is_asked_about() {
        // The worked job's figures, ten times and a tenth.
        for (name, right) in [
            ("overallNm", 72 * MM),
            ("insertionNm", 32 * MM),
            ("threadNm", 30 * MM),
            ("leastEngagementNm", 8 * MM),
            ("startNm", 2 * MM),
            ("threadDiameterNm", 6 * MM),
            ("holeNm", 9 * MM),
            ("holeDepthNm", 42 * MM),
        ] {
            assert_eq!(asked("insert", &[(name, right)]), "", "{name}");
            for wrong in [right * 10, right / 10] {
                let said = asked("insert", &[(name, wrong)]);
                assert!(
                    said.contains("left-hand terminal"),
                    "{name} {wrong}: {said}"
                );
            }
        }
        assert!(asked("insert", &[("lockNutNm", 32 * MM)]).contains("left-hand"));
        let alike = json!({"kind": "insert", "overallNm": 720 * MM});
        let once = odd_terminals(&json!({"left": alike, "right": alike})).unwrap();
        assert!(
            once.contains("of both terminals") && once.matches("720").count() == 1,
            "{once}"
        );
        // None at all is told as 0; two figures are both named.
        assert_eq!(asked("insert", &[("lockNutNm", 0)]), "");
        let both = asked("insert", &[("overallNm", 720 * MM), ("holeNm", 90 * MM)]);
        assert!(both.contains("720 mm") && both.contains("90 mm"), "{both}");
        let growth = asked("insert", &[("growthNm", 50 * MM)]);
        assert!(
            growth.contains("50 mm is unusual, where 0 to 6 mm"),
            "{growth}"
        );
        // An end without a thread has its own figures, and no other is looked at.
        assert_eq!(asked("fixedEnd", &[("threadNm", 300 * MM)]), "");
        assert!(asked("fixedEnd", &[("mouthNm", 600 * MM)]).contains("600"));
    }

    #[test]
    fn a_pitch_is_asked_about_beside_its_diameter() {
        let of = |diameter: i64, pitch: i64| {
            asked(
                "insert",
                &[("threadDiameterNm", diameter), ("pitchNm", pitch)],
            )
        };
        assert_eq!(of(6_350_000, 1_270_000), "");
        assert_eq!(of(6_000_000, 750_000), "");
        let said = of(6_000_000, 100_000).replace('\u{a0}', " ");
        assert!(
            said.contains(
                "A pitch of the left-hand terminal, 0.1 mm, is unusual for a thread of 6 mm, where 0.6 to 1.5 mm"
            ),
            "{said}"
        );
    }
}
