//! Openings against the sphere that must not pass, and the gap of a face-fixed barrier.
//!
//! A clear opening as large as the sphere lets it pass, so only a smaller one meets the figure, and
//! none through which a probe has passed.

use super::{Finding, Layout, Opening, OpeningKind, Topic, Unmeasured, Verdict, mm};
use crate::error::MechanicsError;
use crate::rules::{OpeningPlace, OpeningRule, RuleSet, opening, source_note, sphere_beside};
use crate::units::Millimetres;

pub(super) fn findings(set: &RuleSet, layout: &Layout) -> Result<Vec<Finding>, MechanicsError> {
    let between = widest_between(layout)?;
    Ok(std::iter::once(&between)
        .chain(&layout.openings)
        .filter_map(|opening| match opening.kind {
            OpeningKind::FaceToEdge => Some(face_gap(set, layout, opening)),
            _ => sphere(set, layout, opening),
        })
        .chain(
            layout
                .unmeasured
                .iter()
                .filter_map(|o| asked(set, layout, o)),
        )
        .collect())
}

/// The widest opening between two wires of a layout, clear and square to them, at rest.
///
/// # Errors
/// Where the slope isn't below 90°.
pub fn widest_between(layout: &Layout) -> Result<Opening, MechanicsError> {
    let spacing = super::spacing_square(layout.widest_spacing, layout.spacing_taken, layout.slope)?;
    Ok(Opening {
        label: format!("{}: widest between wires", layout.label),
        kind: OpeningKind::BetweenWires,
        clear: (spacing - layout.diameter).max(Millimetres(0.0)),
        probe_passed: false,
    })
}

/// What the set asks of an opening that was not measured; nothing where it has no figure for it. An
/// opening that is too wide by its geometry is short before anybody offers a probe.
fn asked(set: &RuleSet, layout: &Layout, gap: &Unmeasured) -> Option<Finding> {
    let face = set.face_gap.as_ref();
    let (topic, asked, cite, rule) = match (gap.kind, face) {
        (OpeningKind::FaceToEdge, Some(rule)) => (
            Topic::FaceGap,
            rule.most_mm,
            &rule.cite,
            format!(
                "At most {} from a face-fixed barrier to the floor's edge",
                rule.most_mm
            ),
        ),
        (OpeningKind::FaceToEdge, None) => return None,
        // A set that names no triangle asks nothing below the line of the nosings.
        (OpeningKind::StairTriangle, _) if !names_the_triangle(set) => return None,
        (kind, _) => {
            let rule = sphere_at(set, layout, kind)?;
            (
                Topic::Opening,
                rule.sphere_mm,
                &rule.cite,
                format!("A sphere of {} must not pass", rule.sphere_mm),
            )
        }
    };
    let margin = gap.by_geometry.map(|clear| asked - clear);
    let (verdict, words) = match (gap.by_geometry, margin) {
        (Some(clear), Some(margin)) if clear.whole_nanometres() >= asked.whole_nanometres() => (
            Verdict::Short,
            format!("{clear} clear by geometry, {} too wide", margin.abs()),
        ),
        (Some(clear), Some(margin)) => (
            Verdict::Asked,
            format!("{clear} clear by geometry, {margin} smaller; not measured yet"),
        ),
        _ => (Verdict::Asked, "asked; not measured yet".to_owned()),
    };
    Some(Finding {
        topic,
        place: gap.label.clone(),
        required: mm(asked),
        actual: gap.by_geometry.and_then(mm),
        margin: margin.and_then(mm),
        verdict,
        source: source_note(set, cite),
        confirm: set.confirm.clone(),
        sentence: format!("{rule}: {words}. {}", gap.remark)
            .trim_end()
            .to_owned(),
    })
}

fn names_the_triangle(set: &RuleSet) -> bool {
    let triangle = |rule: &OpeningRule| rule.place == OpeningPlace::StairTriangle;
    set.openings.iter().any(triangle)
}

/// The sphere that must not pass through an opening of a kind.
fn sphere_at<'a>(set: &'a RuleSet, layout: &Layout, kind: OpeningKind) -> Option<&'a OpeningRule> {
    match kind {
        OpeningKind::StairTriangle => opening(set, OpeningPlace::StairTriangle),
        _ => sphere_beside(set, Some(layout.surface).filter(|_| layout.surface_told)),
    }
}

fn sphere(set: &RuleSet, layout: &Layout, gap: &Opening) -> Option<Finding> {
    let rule = sphere_at(set, layout, gap.kind)?;
    let passes = gap.clear.whole_nanometres() >= rule.sphere_mm.whole_nanometres();
    let margin = rule.sphere_mm - gap.clear;
    let gives_way = matches!(
        gap.kind,
        OpeningKind::BetweenWires | OpeningKind::FloorToWire | OpeningKind::WireToRail
    );
    let (verdict, words) = if passes {
        (Verdict::Short, format!("{} too wide", margin.abs()))
    } else if gap.kind == OpeningKind::FloorToWire && gap.clear.value() <= 0.0 {
        (
            Verdict::Short,
            "and the bottom wire would lie in the floor: heights or floor levels are not right"
                .to_owned(),
        )
    } else if gap.probe_passed {
        (
            Verdict::Short,
            format!(
                "{margin} smaller as read, and yet the probe passed: put it right and offer it again"
            ),
        )
    } else if gap.kind == OpeningKind::BetweenWires {
        let shown_by = if set.wires.is_some() {
            "tension or deflection by the document's table decides, then the probe"
        } else {
            "the probe decides; no table for wires is known here of this document"
        };
        (
            Verdict::Asked,
            format!("{margin} smaller; wires give way, so {shown_by}"),
        )
    } else if gives_way {
        (
            Verdict::MeetsFigure,
            format!("{margin} smaller at rest; the wire gives way, so offer the probe"),
        )
    } else {
        (Verdict::MeetsFigure, format!("{margin} smaller"))
    };
    let note = rule.note.as_deref().unwrap_or_default();
    Some(Finding {
        topic: Topic::Opening,
        place: gap.label.clone(),
        required: mm(rule.sphere_mm),
        actual: mm(gap.clear),
        margin: mm(margin),
        verdict,
        source: source_note(set, &rule.cite),
        confirm: set.confirm.clone(),
        sentence: format!(
            "A sphere of {} must not pass; {} clear, {words}. {note}",
            rule.sphere_mm, gap.clear
        )
        .trim_end()
        .to_owned(),
    })
}

fn face_gap(set: &RuleSet, layout: &Layout, gap: &Opening) -> Finding {
    let Some(rule) = &set.face_gap else {
        // Without a rule of its own the gap is an opening like any other.
        let as_opening = Opening {
            kind: OpeningKind::Other,
            ..gap.clone()
        };
        return sphere(set, layout, &as_opening).unwrap_or_else(|| Finding {
            topic: Topic::FaceGap,
            place: gap.label.clone(),
            required: None,
            actual: mm(gap.clear),
            margin: None,
            verdict: Verdict::AskFirst,
            source: source_note(set, &set.barrier_needed.cite),
            confirm: set.confirm.clone(),
            sentence: format!("{} clear; the rule set states no figure: ask.", gap.clear),
        });
    };
    let margin = rule.most_mm - gap.clear;
    let short = gap.clear.whole_nanometres() > rule.most_mm.whole_nanometres();
    let (verdict, words) = if short {
        (Verdict::Short, format!("{} too wide", margin.abs()))
    } else if gap.probe_passed {
        (
            Verdict::Short,
            format!("{margin} in hand, and yet the probe passed"),
        )
    } else {
        (Verdict::MeetsFigure, format!("{margin} in hand"))
    };
    Finding {
        topic: Topic::FaceGap,
        place: gap.label.clone(),
        required: mm(rule.most_mm),
        actual: mm(gap.clear),
        margin: mm(margin),
        verdict,
        source: source_note(set, &rule.cite),
        confirm: set.confirm.clone(),
        sentence: format!(
            "At most {} from a face-fixed barrier to the floor's edge; {} given, {words}.",
            rule.most_mm, gap.clear
        ),
    }
}
