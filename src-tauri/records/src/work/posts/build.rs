//! How a post is built behind its outside: solid, hollow, or nobody told which.
//!
//! Invariant: a post of no timber, or one told as hollow, is never reckoned as solid without a word, which
//! would make it many times stiffer and stronger; one of nobody knows what is taken as solid, and every
//! stress says so.

use mechanics::posts::{STEEL, Section, known_grade};

use crate::job::PostFacts;
use crate::model::values;
use crate::work::convert::nm;
use crate::work::odd_figures::{TIMBER_TO_GPA, is_named_no_timber};

/// How a post is built, as far as that is told.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Build {
    /// Solid or with a wall, as told; or of timber, which is solid.
    Known,
    /// Neither that nor what the post is of: its stress is that of a solid one.
    TakenAsSolid,
    /// Of no timber, or hollow, and without a wall: why nothing follows from the outside alone.
    OutsideOnly(String),
}

impl Build {
    /// Whether nothing of the section counts but its outside.
    pub(super) fn is_outside_only(&self) -> bool {
        matches!(self, Self::OutsideOnly(_))
    }
}

/// Whether a post is hollow or of no timber, as far as that is told: nothing said of wood holds in it.
pub(in crate::work) fn is_no_solid_timber(post: &PostFacts) -> bool {
    let hollow = built(post).is_some_and(|(section, build)| {
        matches!(section, Section::RectangularTube { .. }) || build.is_outside_only()
    });
    hollow || is_no_timber(post)
}

/// A post's section as far as it is told: its outside as if solid, where no wall is.
pub(super) fn built(post: &PostFacts) -> Option<(Section, Build)> {
    let section = post.section?;
    let name = &post.name;
    let build = match (section.wall_nm, section.solid) {
        (Some(_), _) | (None, Some(true)) => Build::Known,
        (None, Some(false)) => Build::OutsideOnly(format!(
            "Post {name} is hollow, and its wall thickness is not told."
        )),
        (None, None) if is_timber(post) => Build::Known,
        // Of a timber by its name nobody knows whether name or modulus is wrong.
        (None, None) if is_no_timber(post) && !is_named_otherwise(post) => {
            Build::OutsideOnly(format!(
                "{} If it is no timber, tell its wall thickness, or that it is solid.",
                odd_modulus(post).unwrap_or_default()
            ))
        }
        (None, None) if is_no_timber(post) => Build::OutsideOnly(format!(
            "Post {name} is not of timber, and nobody told whether it is hollow: tell its wall \
                 thickness, or that it is solid."
        )),
        (None, None) => Build::TakenAsSolid,
    };
    Some((section_of(section), build))
}

fn section_of(section: values::Section) -> Section {
    let (along, across) = (nm(section.along_nm), nm(section.across_nm));
    match section.wall_nm {
        Some(wall) => Section::RectangularTube {
            along,
            across,
            wall: nm(wall),
        },
        None => Section::Rectangle { along, across },
    }
}

fn modulus_gpa(post: &PostFacts) -> Option<f64> {
    #[allow(clippy::cast_precision_loss)] // megapascals within their bounds
    let gpa = |mpa: i64| mpa as f64 / 1_000.0;
    post.material.as_ref()?.modulus_mpa.map(gpa)
}

/// From here a modulus is like steel's, in GPa: that of cast iron and stainless steel (from memory, an
/// input).
const LIKE_STEEL_GPA: f64 = 150.0;

/// Said of a post whose modulus no material has, or none that its name tells: what the wires ask of it and
/// how far it moves both go with that figure.
pub(in crate::work) fn odd_modulus(post: &PostFacts) -> Option<String> {
    let (gpa, material) = (modulus_gpa(post)?, post.material.as_ref()?);
    let steel = STEEL.value() / 1_000.0;
    let how = if gpa > steel {
        format!("stiffer than steel, {steel}\u{a0}GPa")
    } else if is_named_otherwise(post) || gpa <= TIMBER_TO_GPA {
        return None;
    } else if gpa >= LIKE_STEEL_GPA {
        format!("as stiff as steel, {steel}\u{a0}GPa")
    } else {
        format!("stiffer than any timber, {TIMBER_TO_GPA}\u{a0}GPa at most")
    };
    let named = crate::photos::visible(material.name.trim(), 40);
    let named = match named.as_str() {
        "" => String::new(),
        named => format!(" as {named}"),
    };
    Some(format!(
        "Post {} is told{named} with a modulus of {gpa}\u{a0}GPa: {how}. Is the modulus right?",
        post.name
    ))
}

fn is_named_otherwise(post: &PostFacts) -> bool {
    let material = post.material.as_ref();
    material.is_some_and(|m| is_named_no_timber(&m.name))
}

/// Whether a post is of no timber, by its name or by its modulus.
pub(super) fn is_no_timber(post: &PostFacts) -> bool {
    is_named_otherwise(post) || modulus_gpa(post).is_some_and(|modulus| modulus > TIMBER_TO_GPA)
}

/// Whether a post is of timber, by a grade that is known or by its modulus, and not named otherwise.
pub(super) fn is_timber(post: &PostFacts) -> bool {
    let grade = post.material.as_ref().and_then(|m| m.grade.as_deref());
    match modulus_gpa(post) {
        _ if is_named_otherwise(post) => false,
        Some(modulus) => modulus <= TIMBER_TO_GPA,
        None => grade.and_then(known_grade).is_some(),
    }
}
