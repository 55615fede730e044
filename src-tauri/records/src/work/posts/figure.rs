//! A post's own figure, beside which a demand is put: what its sheet or its grade states.
//!
//! Invariant: a figure somebody stated goes before the grade's; each keeps its origin in words, and
//! a design figure says that its factors are from memory.

use mechanics::Megapascals;
use mechanics::posts::{DesignBending, Section, design_bending, known_grade};

use super::OwnFigure;
use super::build::{Build, is_no_timber};
use super::ways::Stood;
use crate::job::PostFacts;
use crate::work::WorkError;

/// The bending strength on record for a post, else its grade's; none where neither is known.
pub(super) fn own(post: Option<&PostFacts>, of: &Stood) -> Result<Option<OwnFigure>, WorkError> {
    let Some((post, material)) = post.and_then(|p| Some((p, p.material.as_ref()?))) else {
        return Ok(None);
    };
    let section = of.post.section;
    let grade = material.grade.as_deref().and_then(known_grade);
    let by_grade = grade.and_then(|g| Some((g, g.bending?)));
    // The design rule is that of solid timber, which a tube is not. What nobody knows keeps the lesser
    // strength of one, and no moment: that would be a solid one's.
    let known = of.build == Build::Known;
    let solid = match section {
        _ if of.build.is_outside_only() || is_no_timber(post) => None,
        Section::Rectangle { along, .. } => Some(along),
        Section::Round { diameter } => Some(diameter),
        Section::RectangularTube { .. } | Section::RoundTube { .. } => None,
    };
    if let Some(stated) = material.bending_mpa {
        let origin = material.bending_origin.as_deref().map(str::trim);
        #[allow(clippy::cast_precision_loss)] // a few thousand MPa
        let strength = Megapascals(stated as f64);
        let origin = match origin.filter(|o| !o.is_empty()) {
            Some(origin) => format!("bending strength, {origin}"),
            None => "bending strength as recorded, origin not told".to_owned(),
        };
        let Some(depth) = solid else {
            return Ok(Some(strength_alone(origin, strength)));
        };
        let origin = format!(
            "{origin}; taken as characteristic: where the sheet says that it is for design, it is \
             itself the figure for a pull that stays"
        );
        let design = design_bending(strength, section, depth)?;
        return Ok(Some(figure_of(origin, strength, &design, known)));
    }
    let Some((grade, strength)) = by_grade else {
        return Ok(None);
    };
    let origin = format!(
        "characteristic bending strength of grade {}, {}, read where another document quotes it",
        grade.name, grade.document
    );
    let Some(depth) = solid else {
        return Ok(Some(strength_alone(origin, strength)));
    };
    let design = design_bending(strength, section, depth)?;
    Ok(Some(figure_of(origin, strength, &design, known)))
}

/// What to ask for where a grade is told for which no bending strength is known here; none where one is
/// told, or the grade has one.
pub(super) fn missing(post: Option<&PostFacts>) -> Option<String> {
    let material = post?.material.as_ref()?;
    let grade = material.grade.as_deref().map(str::trim);
    let grade = grade.filter(|grade| !grade.is_empty())?;
    let known = known_grade(grade);
    if material.bending_mpa.is_some() || known.is_some_and(|known| known.bending.is_some()) {
        return None;
    }
    Some(format!(
        "No bending strength is known here for grade {}. Ask for its figure, and tell it at the post's \
         material with where it is from.",
        known.map_or(grade, |known| known.name)
    ))
}

fn strength_alone(origin: String, strength: Megapascals) -> OwnFigure {
    OwnFigure {
        strength_mpa: strength.value(),
        origin,
        design_mpa: None,
        design_moment_nm: None,
        design_origin: None,
    }
}

fn figure_of(
    origin: String,
    strength: Megapascals,
    design: &DesignBending,
    known: bool,
) -> OwnFigure {
    OwnFigure {
        strength_mpa: strength.value(),
        origin,
        design_mpa: Some(design.strength.value()),
        design_moment_nm: known.then(|| design.moment.value()),
        design_origin: Some(format!(
            "× {} × {:.3} ÷ {} for a pull that stays, outdoors (EN 1995-1-1, factors from memory)",
            design.k_mod, design.k_h, design.gamma_m
        )),
    }
}
