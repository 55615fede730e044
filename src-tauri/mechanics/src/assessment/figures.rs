//! Fall, height, climbing zone, pool and loads: single figures held against single rules.

use super::{Finding, Layout, Topic, Verdict, WireDirection, common_practice, mm};
use crate::rules::{
    RuleSet, Surface, Threshold, WarningAbout, fall_reaches, least_height, source_note,
};
use crate::units::Millimetres;

pub(super) fn findings(set: &RuleSet, layout: &Layout) -> Vec<Finding> {
    let mut found = vec![barrier_needed(set, layout)];
    found.extend(height(set, layout));
    found.extend(climbing(set, layout));
    found.extend(pool(set, layout));
    found.extend(warnings(set, layout));
    found
}

/// What the document only warns of: to be asked early, without a figure.
fn warnings(set: &RuleSet, layout: &Layout) -> Vec<Finding> {
    set.warnings
        .iter()
        .filter_map(|warning| {
            let topic = match warning.about {
                WarningAbout::HorizontalMembers => {
                    (layout.direction == WireDirection::Horizontal).then_some(Topic::Climbing)
                }
                WarningAbout::Pool => (layout.pool != Some(false)).then_some(Topic::Pool),
            }?;
            Some(Finding {
                topic,
                place: layout.label.clone(),
                required: None,
                actual: None,
                margin: None,
                verdict: Verdict::AskFirst,
                source: source_note(set, &warning.cite),
                confirm: set.confirm.clone(),
                sentence: format!("{} Ask before anything is ordered.", warning.text),
            })
        })
        .collect()
}

/// The loads that the document states, to be printed: nothing is computed from them.
pub(super) fn loads(set: &RuleSet, layout: &Layout) -> Vec<Finding> {
    set.loads
        .iter()
        .map(|load| {
            let force = match load.newtons {
                Some(newtons) => format!("Stated as {newtons} N; not computed here."),
                None => "Not computed here.".to_owned(),
            };
            Finding {
                topic: Topic::Loads,
                place: layout.label.clone(),
                required: None,
                actual: None,
                margin: None,
                verdict: Verdict::AskFirst,
                source: source_note(set, &load.cite),
                confirm: "licensed engineer".to_owned(),
                sentence: format!("{} {force}", load.what),
            }
        })
        .collect()
}

fn barrier_needed(set: &RuleSet, layout: &Layout) -> Finding {
    let rule = &set.barrier_needed;
    let asked = fall_reaches(rule, layout.fall);
    let from = match rule.threshold {
        Threshold::AtLeast => format!("from {}", rule.fall_mm),
        Threshold::MoreThan => format!("beyond {}", rule.fall_mm),
    };
    let within = match rule.within_mm {
        Some(distance) => format!(", looked for within {distance} of the edge"),
        None => String::new(),
    };
    let answer = if asked {
        "this clause asks for a barrier"
    } else {
        "this clause asks for none"
    };
    Finding {
        topic: Topic::BarrierNeeded,
        place: layout.label.clone(),
        required: mm(rule.fall_mm),
        actual: mm(layout.fall),
        // A trigger: a fall beyond it is missing nothing, it says that a barrier is asked for.
        margin: None,
        verdict: if asked {
            Verdict::Asked
        } else {
            Verdict::NotAsked
        },
        source: source_note(set, &rule.cite),
        confirm: set.confirm.clone(),
        sentence: format!(
            "Fall {}, a barrier is asked for {from}{within}: {answer}.",
            layout.fall
        ),
    }
}

fn height(set: &RuleSet, layout: &Layout) -> Option<Finding> {
    let over = match layout.surface {
        Surface::Level | Surface::ShortLanding => "above the floor",
        Surface::Stair => "above the nosings",
        Surface::Ramp => "above the ramp",
    };
    let Some(rule) = least_height(set, layout.surface) else {
        return Some(Finding {
            topic: Topic::Height,
            place: layout.label.clone(),
            required: None,
            actual: layout.barrier_height.and_then(mm),
            margin: None,
            verdict: Verdict::AskFirst,
            source: source_note(set, &set.barrier_needed.cite),
            confirm: set.confirm.clone(),
            sentence: "The rule set states no height for this surface: ask.".to_owned(),
        });
    };
    let note = rule.note.as_deref().unwrap_or_default();
    let (verdict, margin, sentence) = match layout.barrier_height {
        Some(actual) => {
            let margin = actual - rule.least_mm;
            let short = actual.whole_nanometres() < rule.least_mm.whole_nanometres();
            let (verdict, words) = if short {
                (Verdict::Short, format!("{} short", margin.abs()))
            } else {
                (Verdict::MeetsFigure, format!("{margin} over"))
            };
            (
                verdict,
                mm(margin),
                format!("{} asked {over}, {actual} given, {words}.", rule.least_mm),
            )
        }
        None => (
            Verdict::Asked,
            None,
            format!("{} asked {over}; not measured yet.", rule.least_mm),
        ),
    };
    Some(Finding {
        topic: Topic::Height,
        place: layout.label.clone(),
        required: mm(rule.least_mm),
        actual: layout.barrier_height.and_then(mm),
        margin,
        verdict,
        source: source_note(set, &rule.cite),
        confirm: set.confirm.clone(),
        sentence: format!("{sentence} {note}").trim_end().to_owned(),
    })
}

fn climbing(set: &RuleSet, layout: &Layout) -> Option<Finding> {
    let rule = set.climbing.as_ref()?;
    let in_zone = |height: &&Millimetres| {
        height.whole_nanometres() >= rule.from_mm.whole_nanometres()
            && height.whole_nanometres() <= rule.to_mm.whole_nanometres()
    };
    let count = layout.wire_heights.iter().filter(in_zone).count();
    let from = match rule.fall.threshold {
        Threshold::AtLeast => format!("from a fall of {}", rule.fall.fall_mm),
        Threshold::MoreThan => format!("only beyond a fall of {}", rule.fall.fall_mm),
    };
    let zone = format!("between {} and {}", rule.from_mm, rule.to_mm);
    let (verdict, words) = if !fall_reaches(&rule.fall, layout.fall) {
        (Verdict::NotAsked, format!("{} lies before it", layout.fall))
    } else if layout.direction != WireDirection::Horizontal {
        (
            Verdict::AskFirst,
            format!(
                "nothing level that helps climbing may lie {zone}: look at rails and other parts"
            ),
        )
    } else if count == 0 {
        (
            Verdict::AskFirst,
            format!("no wire is given {zone}; look at other parts there"),
        )
    } else {
        (
            Verdict::AskFirst,
            format!(
                "{count} wires lie {zone}, where nothing level may help climbing: ask before \
                 anything is ordered"
            ),
        )
    };
    Some(Finding {
        topic: Topic::Climbing,
        place: layout.label.clone(),
        required: mm(rule.fall.fall_mm),
        actual: mm(layout.fall),
        margin: mm(rule.fall.fall_mm - layout.fall),
        verdict,
        source: source_note(set, &rule.cite),
        confirm: set.confirm.clone(),
        sentence: format!("The climbing rule bites {from}: {words}."),
    })
}

fn pool(set: &RuleSet, layout: &Layout) -> Option<Finding> {
    let words = match layout.pool {
        Some(false) => return None,
        Some(true) => {
            "Pool boundary: other rules apply, and horizontal wires are often refused: ask \
             before anything is ordered."
        }
        None => "Not asked yet whether this is a pool's boundary: ask first.",
    };
    Some(Finding {
        topic: Topic::Pool,
        place: layout.label.clone(),
        required: None,
        actual: None,
        margin: None,
        verdict: Verdict::AskFirst,
        source: common_practice(set),
        confirm: set.confirm.clone(),
        sentence: words.to_owned(),
    })
}
