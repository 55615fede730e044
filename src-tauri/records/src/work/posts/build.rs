//! How a post is built behind its outside: solid, hollow, or nobody told which.
//!
//! Invariant: a metal or hollow post without a wall is never reckoned as a solid one, which would
//! be many times stiffer and stronger; a post of nobody knows what is, and every stress says so.

use mechanics::posts::{Section, known_grade};

use crate::job::PostFacts;
use crate::model::values;
use crate::work::convert::{METAL_FROM_MPA, nm};

/// What is told of a post's build.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Told {
    /// Solid or with a wall, as told; or of timber, which is solid.
    Known,
    /// Neither that nor what the post is of: its stress is that of a solid one.
    TakenAsSolid,
    /// Of metal or hollow and without a wall, and why nothing follows from the outside alone.
    OutsideOnly(String),
}

/// A post's section as far as it is told: its outside as if solid, where no wall is.
pub(super) fn built(post: &PostFacts) -> Option<(Section, Told)> {
    let section = post.section?;
    let name = &post.name;
    let told = match (section.wall_nm, section.solid) {
        (Some(_), _) | (None, Some(true)) => Told::Known,
        (None, Some(false)) => Told::OutsideOnly(format!(
            "Post {name} is hollow, and its wall thickness is not told."
        )),
        (None, None) if is_timber(post) => Told::Known,
        (None, None) if modulus_mpa(post).is_some() => Told::OutsideOnly(format!(
            "Post {name} is of metal, and nobody told whether it is hollow: tell its wall \
             thickness, or that it is solid."
        )),
        (None, None) => Told::TakenAsSolid,
    };
    Some((section_of(section), told))
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

fn modulus_mpa(post: &PostFacts) -> Option<i64> {
    post.material.as_ref()?.modulus_mpa
}

fn is_timber(post: &PostFacts) -> bool {
    let grade = post.material.as_ref().and_then(|m| m.grade.as_deref());
    match modulus_mpa(post) {
        Some(modulus) => modulus < METAL_FROM_MPA,
        None => grade.and_then(known_grade).is_some(),
    }
}
