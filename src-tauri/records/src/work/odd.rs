//! What to ask about a figure that somebody reads or says now, before it is kept.
//!
//! Invariant: the rule is `mechanics::plausible`; here is chosen only what a length is held against.
//! Changes and refuses nothing. What is usual for a field is common practice, no published source.
//! One file past 400 lines, since the table of its own cases stands at its end.

use mechanics::Millimetres;
use mechanics::plausible::{
    BAY_USUAL, BOTTOM_USUAL, Beside, LengthQuestion, QUESTION_FROM, REFUSE_FROM, SPACING_USUAL,
    WIRE_USUAL, question_length, question_spread, question_usual, unit_question,
};
use serde_json::Value;

use super::convert::mm;
use super::cuts::{CutLine, cut_sheet};
use super::odd_figures::{no_longer_hollow, odd_figures};
use super::to_cut::bays_and_posts;
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::values::{DeductionBy, Length};
use crate::subject::SubjectKind;

/// Longest length that is taken at all, in millimetres.
pub const LONGEST_MM: f64 = REFUSE_FROM.0;

/// All that is to be asked about a wire's length, so that one answer is an answer to each: beside the
/// nearest wire that was read, beside what bays and posts add up to where it is in another unit, and
/// beside a cut that was released or made already. A wire read in another unit than the bays is
/// nothing to hold the next one against. Nothing where nothing is odd.
///
/// # Errors
/// When the length can't be, or a figure of the run can't.
pub fn odd_length(
    job: &Job<'_>,
    run: &Run,
    wire: u32,
    length: Length,
) -> Result<Vec<String>, WorkError> {
    let bays = bays_and_posts(run, |_| true)?.map(|between| between.sum());
    let nearest = run
        .wires
        .iter()
        .filter(|w| w.number != wire)
        .filter_map(|w| {
            let last = w.lengths.last()?.tips.last()?.value?;
            Some((w.number.abs_diff(wire), w.number, last))
        })
        .filter(|(.., last)| unit_beside(run, bays, mm(*last)).is_none())
        .min_by_key(|(apart, number, _)| (*apart, *number))
        .map(|(_, number, last)| (format!("wire {number}"), mm(last)));
    let beside = nearest.as_ref().map(|(name, length)| Beside {
        name,
        length: *length,
        alike: true,
    });
    let odd = question_length(mm(length), beside)?;
    let sheet = cut_sheet(job, run.id)?;
    let line = sheet.lines.iter().find(|line| line.wire == wire);
    Ok(odd
        .map(|asked| asked.sentence().to_owned())
        .or_else(|| unit_beside(run, bays, mm(length)))
        .or_else(|| unusual_wire(length).filter(|_| nearest.is_none() && bays.is_none()))
        .into_iter()
        .chain(line.and_then(|line| leaves_its_window(line, length)))
        .collect())
}

/// What to ask about an inside-to-inside length that has nothing beside it; none where it is usual.
#[must_use]
pub fn unusual_wire(length: Length) -> Option<String> {
    question_usual("a wire", mm(length), &WIRE_USUAL)
}

/// Asks where a wire is in another unit than what bays and posts add up to.
fn unit_beside(run: &Run, bays: Option<Millimetres>, length: Millimetres) -> Option<String> {
    let name = format!("what bays and posts of run {} add up to", run.name);
    let beside = Beside {
        name: &name,
        length: bays?,
        alike: false,
    };
    match question_length(length, Some(beside)) {
        Ok(Some(
            asked @ (LengthQuestion::InchesOrMillimetres { .. }
            | LengthQuestion::MetresOrCentimetres { .. }),
        )) => Some(asked.sentence().to_owned()),
        _ => None,
    }
}

/// What to ask about how far a length may be off, before it is kept; none where it is usual.
///
/// # Errors
/// When no reading could be off by so much.
pub fn odd_spread(spread: Length) -> Result<Option<String>, WorkError> {
    Ok(question_spread(mm(spread))?)
}

/// What to ask about where a post would stand: too near to another of its run for a bay, as a place
/// told in another unit is; none where nothing is odd. `others` are the posts of the run with their
/// names and places.
#[must_use]
pub fn odd_place<'a>(
    at: Length,
    others: impl IntoIterator<Item = (&'a str, Length)>,
) -> Option<String> {
    let apart = |(name, other): (&'a str, Length)| (mm(other) - mm(at), name);
    let (nearest, name) = others
        .into_iter()
        .map(apart)
        .map(|(apart, name)| (apart.abs(), name))
        .min_by(|a, b| a.0.value().total_cmp(&b.0.value()))?;
    (nearest.value() < *BAY_USUAL.start()).then(|| {
        format!(
            "The post would stand {nearest} from {name}, where a bay of {:.0} to {:.0} mm is \
             common. {}",
            BAY_USUAL.start(),
            BAY_USUAL.end(),
            unit_question(nearest, &BAY_USUAL)
        )
    })
}

/// The same of a post in a run that is known.
#[must_use]
pub fn odd_place_in(run: &Run, post: ItemId, at: Length) -> Option<String> {
    let others = run.posts.iter().filter(|p| p.id != post);
    let placed = others.filter_map(|p| Some((p.name.as_str(), *p.position.shown()?)));
    odd_place(at, placed)
}

/// Asks where a wire is released or cut already and the new length leaves that cut outside the
/// window that it opens.
pub(crate) fn leaves_its_window(line: &CutLine, length: Length) -> Option<String> {
    let issued = line.issued.as_ref().map(|issued| issued.cut_mm);
    let cut = line.cut_done_mm.or(issued)?;
    let moved = length.as_mm() - line.inside_mm?;
    // The window that it was released by: what a trial wire teaches, or as computed.
    let by = line.issued.as_ref().and_then(|issued| issued.deduction);
    let learned = line.learned.as_ref();
    let learned = learned.filter(|_| by == Some(DeductionBy::Learned));
    let learned = learned.map(|cut| (cut.shortest_mm, cut.longest_mm));
    let (shortest, longest) = learned.or(line.shortest_mm.zip(line.longest_mm))?;
    let (shortest, longest) = (shortest + moved, longest + moved);
    if (shortest..=longest).contains(&cut) {
        return None;
    }
    let done = match line.cut_done_mm {
        Some(_) => "is cut at",
        None => "is released at",
    };
    if longest <= 0.0 {
        return Some(format!(
            "{} {done} {cut:.0} mm; nothing could be cut for a length of {:.1} mm. Was it read rightly?",
            line.name,
            length.as_mm()
        ));
    }
    let (from, to) = words::window(shortest, longest);
    Some(format!(
        "{} {done} {cut:.0} mm; with this length it would have to lie within {from} and {to}. Was it \
         read rightly?",
        line.name
    ))
}

const MM: i64 = 1_000_000;

/// Usual distance of two wires as drilled, millimetres: as [`SPACING_USUAL`].
#[allow(clippy::cast_possible_truncation)] // a hand's breadth
const DRILLED: (i64, i64) = (*SPACING_USUAL.start() as i64, *SPACING_USUAL.end() as i64);

/// What a figure usually is, in millimetres: subject, field, name within the value, from, to. The
/// least is more than a foot or so below what is built, so that inches without their unit show.
const USUAL: &[(SubjectKind, &str, &str, i64, i64)] = {
    use SubjectKind as S;
    &[
        (S::Run, "height", "nm", 300, 3_000),
        (S::Run, "rail", "undersideNm", 300, 3_000),
        (S::Run, "rail", "thicknessNm", 5, 300),
        (S::Job, "fall", "nm", 300, 100_000),
        (S::Run, "fall", "nm", 300, 100_000),
        (S::Job, "comingFloor", "nm", 0, 150),
        (S::Run, "opening", "nm", 0, 5_000),
        (S::Post, "opening", "nm", 0, 5_000),
        (S::Post, "section", "alongNm", 6, 1_000),
        (S::Post, "section", "acrossNm", 6, 1_000),
        (S::Post, "section", "wallNm", 1, 12),
        (S::Post, "drilled", "nm", DRILLED.0, DRILLED.1),
        (S::Post, "base", "spacingNm", 30, 600),
        (S::FittingSet, "throughHole", "nm", 3, 30),
        (S::FittingSet, "fixedDeduction", "nm", 10, 250),
    ]
};

/// Lengths that are often over a hundred metres: a distance on the map, and strand as it is sold.
const LONG: &[(SubjectKind, &str)] = {
    use SubjectKind as S;
    &[
        (S::Job, "saltDistance"),
        (S::Job, "cutting"),
        (S::Batch, "metres"),
    ]
};

/// What to ask about a value of a field before it is kept, whoever says it: a length that is far from
/// what is usual there, over a hundred metres, or in another unit than one that it replaces, of
/// which `stands` are all that stand on its key. None where nothing is odd; bays and wires are
/// asked about where they are read, and nobody types what a picture tells.
#[must_use]
pub fn odd_value(
    subject: SubjectKind,
    field: &str,
    value: &Value,
    stands: &[&Value],
) -> Option<String> {
    use SubjectKind as S;
    if matches!(subject, S::Bay | S::Wire | S::Photo) {
        return None;
    }
    let mut found = None;
    each_length(value, "", &mut |name, nm| {
        if found.is_none() {
            found = unusual(subject, field, name, nm);
        }
    });
    if (subject, field) == (S::Run, "wireHeights") {
        found = found.or_else(|| odd_heights(value));
    }
    if (subject, field) == (S::Post, "floor") {
        found = found.or_else(|| odd_level(value));
    }
    let section = (subject, field) == (S::Post, "section");
    let replaces = stands.iter().find_map(|before| {
        let hollow = || section.then(|| no_longer_hollow(value, before))?;
        other_unit(value, before).or_else(hollow)
    });
    replaces
        .or(found)
        .or_else(|| odd_figures(subject, field, value))
}

/// Asks about the bottom wire, then about the first two that are too near or too far apart.
fn odd_heights(value: &Value) -> Option<String> {
    let heights: Vec<Millimetres> = value
        .get("nm")?
        .as_array()?
        .iter()
        .filter_map(|height| {
            Some(mm(Length {
                nm: height.as_i64()?,
            }))
        })
        .collect();
    let bottom = heights.first().and_then(|bottom| {
        question_usual("the bottom wire above the floor", *bottom, &BOTTOM_USUAL)
    });
    bottom.or_else(|| {
        let beside = heights.iter().zip(heights.iter().skip(1));
        (1_u32..).zip(beside).find_map(|(wire, (lower, upper))| {
            let what = format!("wire {wire} to wire {}", wire + 1);
            question_usual(&what, *upper - *lower, &SPACING_USUAL)
        })
    })
}

/// Asks about a floor level that is less than a rule shows, as metres without their unit are, or
/// further from the first post's than a storey.
fn odd_level(value: &Value) -> Option<String> {
    const STOREY: i64 = 5_000;
    let level = value.get("nm")?.as_i64()?;
    let apart = level.saturating_abs();
    if level == 0 || (MM..=STOREY * MM).contains(&apart) {
        return None;
    }
    let shown = Millimetres(Length { nm: level }.as_mm());
    Some(format!(
        "A floor level of {shown} is unusual, where 1 to {STOREY} mm up or down is common, or none. \
         Is the unit right?"
    ))
}

fn unusual(subject: SubjectKind, field: &str, name: &str, nm: i64) -> Option<String> {
    let usual = USUAL
        .iter()
        .find(|(s, f, n, ..)| (*s, *f, *n) == (subject, field, name));
    // No fall at all is a fall that people tell.
    if let Some((_, _, _, from, to)) = usual.filter(|_| field != "fall" || nm != 0) {
        let apart = !(from * MM..=to * MM).contains(&nm);
        return apart.then(|| {
            #[allow(clippy::cast_precision_loss)] // a hundred metres at most
            let usual = *from as f64..=*to as f64;
            format!(
                "{} is unusual here, where {from} to {to} mm is common. {}",
                text(nm),
                unit_question(mm(Length { nm }), &usual)
            )
        });
    }
    #[allow(clippy::cast_possible_truncation)] // a hundred metres in nanometres
    let most = (QUESTION_FROM.value() * 1e6) as i64;
    let over = nm.saturating_abs() > most && !LONG.contains(&(subject, field));
    over.then(|| format!("{} is over 100 m. Is it right?", text(nm)))
}

/// Asks where a length of a value is to the one of the same name before as inches are to millimetres;
/// lists are not held against each other.
fn other_unit(value: &Value, before: &Value) -> Option<String> {
    let (Value::Object(now), Value::Object(before)) = (value, before) else {
        return None;
    };
    now.iter().find_map(|(name, now)| {
        let before = before.get(name)?;
        let (true, Some(nm), Some(was)) = (is_length(name), now.as_i64(), before.as_i64()) else {
            return other_unit(now, before);
        };
        let beside = Beside {
            name: "what is told now",
            length: mm(Length { nm: was }),
            alike: false,
        };
        match question_length(mm(Length { nm }), Some(beside)) {
            Ok(Some(asked @ LengthQuestion::InchesOrMillimetres { .. })) => {
                Some(asked.sentence().to_owned())
            }
            // Ten times may be a correction; a thousand is none.
            Ok(Some(
                ref asked @ LengthQuestion::MetresOrCentimetres {
                    length, perhaps, ..
                },
            )) if perhaps.value() > length.value() * 100.0 => Some(asked.sentence().to_owned()),
            // A level or a gap may be nothing or less, and what is long was asked about.
            _ => None,
        }
    })
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
        Value::Number(number) if is_length(name) => {
            number.as_i64().into_iter().for_each(|nm| on(name, nm));
        }
        _ => {}
    }
}

fn is_length(name: &str) -> bool {
    name == "nm" || name.ends_with("Nm")
}

fn text(nm: i64) -> String {
    let (whole, part) = (nm / MM, (nm % MM).abs() / 100_000);
    match part {
        0 => format!("{whole} mm"),
        part => format!("{whole}.{part} mm"),
    }
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
            (S::Job, "fall", json!({"nm": 16_020_000}), true),
            (S::Job, "fall", json!({"nm": 0}), false),
            (S::Post, "drilled", json!({"nm": nm(85)}), false),
            (S::Post, "drilled", json!({"nm": nm(9)}), true),
            (
                S::Post,
                "base",
                json!({"kind": "plate", "spacingNm": nm(250), "seen": true}),
                false,
            ),
            (
                S::Post,
                "base",
                json!({"kind": "plate", "spacingNm": nm(2_500), "seen": true}),
                true,
            ),
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
            (
                S::Run,
                "wireHeights",
                json!({"nm": [nm(76), nm(152)]}),
                false,
            ),
            (
                S::Run,
                "wireHeights",
                json!({"nm": [nm(76), 83_600_000]}),
                true,
            ),
            (
                S::Run,
                "wireHeights",
                json!({"nm": [nm(76), nm(227)]}),
                true,
            ),
            (S::Run, "wireHeights", json!({"nm": [nm(7), nm(83)]}), true),
            (
                S::Run,
                "rail",
                json!({"undersideNm": nm(980), "thicknessNm": nm(40)}),
                false,
            ),
            (
                S::Run,
                "rail",
                json!({"undersideNm": nm(980), "thicknessNm": 40_000}),
                true,
            ),
            (S::Post, "floor", json!({"nm": nm(-73)}), false),
            (S::Post, "floor", json!({"nm": 0}), false),
            (S::Post, "floor", json!({"nm": 73_000}), true),
            (S::Job, "saltDistance", json!({"nm": nm(900_000)}), false),
            (S::Batch, "metres", json!({"nm": nm(305_000)}), false),
            (S::Job, "cutting", json!({"newReelNm": nm(305_000)}), false),
            (
                S::Photo,
                "position",
                json!({"latE7": 1, "lonE7": 1, "accuracyNm": nm(150_000)}),
                false,
            ),
            (S::Bay, "clear", json!({"nm": nm(150_000)}), false),
        ] {
            let found = odd_value(subject, field, &value, &[]);
            assert_eq!(found.is_some(), asked, "{field} {value}: {found:?}");
        }
        let high = json!({"nm": 25_908_500_000_i64});
        let asked = odd_value(S::Run, "height", &high, &[]).unwrap();
        assert!(asked.starts_with("25908.5 mm is unusual"), "{asked}");
    }

    #[test]
    fn a_length_in_another_unit_than_the_one_it_replaces_is_asked_about() {
        use SubjectKind as S;
        let at = |mm: i64| json!({"nm": mm * MM});
        let slope = |rise: i64| json!({"riseNm": rise * MM, "goingNm": 250 * MM, "risers": 4});
        for (field, now, before, asked) in [
            ("fall", at(2_900), vec![at(2_950)], false),
            ("fall", at(114), vec![at(2_900)], true),
            ("fall", at(73_660), vec![at(2_900)], true),
            // Far apart is no slip by itself: a correction may be large.
            ("fall", at(300), vec![at(2_900)], false),
            ("fall", at(114), vec![], true),
            ("fall", at(0), vec![at(2_900)], false),
            ("fall", at(2_900), vec![at(0)], false),
            ("fall", at(114), vec![at(110), at(2_900)], true),
            ("fall", json!(null), vec![at(2_900)], false),
            ("slope", slope(7), vec![slope(178)], true),
            ("slope", slope(180), vec![slope(178)], false),
            (
                "wireHeights",
                json!({"nm": [50 * MM, 125 * MM]}),
                vec![json!({"nm": [76 * MM, 1_250 * MM]})],
                false,
            ),
            ("wireCount", json!(1), vec![json!(25)], false),
        ] {
            let stands: Vec<&Value> = before.iter().collect();
            let found = odd_value(S::Run, field, &now, &stands);
            assert_eq!(
                found.is_some(),
                asked,
                "{field} {now} {before:?}: {found:?}"
            );
        }
        let asked = odd_value(S::Run, "fall", &at(114), &[&at(2_900)]).unwrap();
        assert!(
            asked.contains("25 times less than what is told now") && asked.contains("Inches?"),
            "{asked}"
        );
    }
}
