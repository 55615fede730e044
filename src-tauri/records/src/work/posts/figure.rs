//! A post's own figure, beside which a demand is put: what its sheet or its grade states.
//!
//! Invariant: a figure somebody stated goes before the grade's; each keeps its origin in words, and
//! a design figure says that its factors are from memory.

use mechanics::Megapascals;
use mechanics::posts::{Section, design_bending, known_grade};

use super::OwnFigure;
use crate::job::PostFacts;
use crate::work::WorkError;

/// The bending strength on record for a post, else its grade's; none where neither is known.
pub(super) fn own(
    post: Option<&PostFacts>,
    section: Section,
) -> Result<Option<OwnFigure>, WorkError> {
    let Some(material) = post.and_then(|p| p.material.as_ref()) else {
        return Ok(None);
    };
    let grade = material.grade.as_deref().and_then(known_grade);
    let by_grade = grade.and_then(|g| Some((g, g.bending?)));
    if let Some(stated) = material.bending_mpa {
        let origin = material.bending_origin.as_deref().map(str::trim);
        #[allow(clippy::cast_precision_loss)] // a few thousand MPa
        return Ok(Some(OwnFigure {
            strength_mpa: stated as f64,
            origin: match origin.filter(|o| !o.is_empty()) {
                Some(origin) => format!("bending strength, {origin}"),
                None => "bending strength as recorded, origin not told".to_owned(),
            },
            design_mpa: None,
            design_moment_nm: None,
            design_origin: None,
        }));
    }
    let Some((grade, strength)) = by_grade else {
        return Ok(None);
    };
    // The design rule is that of solid timber, which a tube is not.
    let depth = match section {
        Section::Rectangle { along, .. } => along,
        Section::Round { diameter } => diameter,
        Section::RectangularTube { .. } | Section::RoundTube { .. } => return Ok(None),
    };
    let design = design_bending(strength, section, depth)?;
    Ok(Some(figure_of(
        grade.name,
        grade.document,
        strength,
        &design,
    )))
}

fn figure_of(
    grade: &str,
    document: &str,
    strength: Megapascals,
    design: &mechanics::posts::DesignBending,
) -> OwnFigure {
    OwnFigure {
        strength_mpa: strength.value(),
        origin: format!(
            "characteristic bending strength of grade {grade}, {document}, read where another \
             document quotes it"
        ),
        design_mpa: Some(design.strength.value()),
        design_moment_nm: Some(design.moment.value()),
        design_origin: Some(format!(
            "× {} × {:.3} ÷ {} for a pull that stays, outdoors (EN 1995-1-1, factors from memory)",
            design.k_mod, design.k_h, design.gamma_m
        )),
    }
}
