//! Strength of post materials by grade, beside which a demand is put.
//!
//! Invariant: a figure here is a grade's, never a post's; each says how it came to be known, and
//! none is a verdict. What is not listed is asked for.

use super::Section;
use super::influence::inertia_and_modulus;
use crate::error::{MechanicsError, positive};
use crate::rules::Status;
use crate::units::{Megapascals, Millimetres, NewtonMetres};

/// A grade of solid timber.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// As people write it.
    pub name: &'static str,
    /// Mean modulus of elasticity.
    pub modulus: Megapascals,
    /// Characteristic bending strength f_m,k, where it is known.
    pub bending: Option<Megapascals>,
    /// Document that gives them.
    pub document: &'static str,
    /// How they came to be known.
    pub status: Status,
}

const fn grade(
    name: &'static str,
    gigapascals: f64,
    bending: Option<f64>,
    document: &'static str,
) -> Grade {
    Grade {
        name,
        modulus: Megapascals(gigapascals * 1.0e3),
        bending: match bending {
            Some(strength) => Some(Megapascals(strength)),
            None => None,
        },
        document,
        status: Status::SecondHand,
    }
}

/// Grades that are known: strength of C16 to C30 and modulus of all, none read in its document.
pub const GRADES: &[Grade] = &[
    grade("C16", 8.0, Some(16.0), "EN 338"),
    grade("C24", 11.0, Some(24.0), "EN 338"),
    grade("C30", 12.0, Some(30.0), "EN 338"),
    grade("MGP10", 10.0, None, "AS 1720.1"),
    grade("F17", 14.0, None, "AS 1720.1"),
];

/// The grade of this name, however it is spaced and cased.
///
/// EN 338 and Australian grades second hand, none read in its document; others are asked for.
#[must_use]
pub fn known_grade(name: &str) -> Option<&'static Grade> {
    let bare = |text: &str| {
        text.chars()
            .filter(|c| c.is_ascii_alphanumeric())
            .collect::<String>()
            .to_ascii_uppercase()
    };
    let wanted = bare(name);
    GRADES.iter().find(|grade| bare(grade.name) == wanted)
}

/// The stiffest of the grades that are known.
#[must_use]
pub fn stiffest_known() -> Option<&'static Grade> {
    let stiffer = |a: &&Grade, b: &&Grade| a.modulus.value().total_cmp(&b.modulus.value());
    GRADES.iter().max_by(stiffer)
}

/// What a design rule leaves of a timber's characteristic strength under a pull that stays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DesignBending {
    /// f_m,d = f_m,k·k_mod·k_h/γ_M.
    pub strength: Megapascals,
    /// The moment at which the base stress is that: f_m,d·W.
    pub moment: NewtonMetres,
    /// k_mod: permanent load, outdoors (from memory).
    pub k_mod: f64,
    /// k_h = (150 mm / depth)^0.2, at most 1.3, for depths below 150 mm (from memory).
    pub k_h: f64,
    /// γ_M of solid timber (from memory).
    pub gamma_m: f64,
}

/// Design bending strength and moment of a solid timber post by EN 1995-1-1 for the wires' pull,
/// which stays; factors from memory, so it stands beside a demand and decides nothing.
///
/// # Errors
/// When an input cannot be.
pub fn design_bending(
    characteristic: Megapascals,
    section: Section,
    depth: Millimetres,
) -> Result<DesignBending, MechanicsError> {
    let strength = positive("the bending strength", characteristic)?;
    let depth = positive("the post's side along the wires", depth)?;
    let (_, modulus) = inertia_and_modulus(section)?;
    let (k_mod, gamma_m) = (0.5, 1.3);
    let k_h = if depth < 150.0 {
        (150.0 / depth).powf(0.2).min(1.3)
    } else {
        1.0
    };
    let design = strength * k_mod * k_h / gamma_m;
    Ok(DesignBending {
        strength: Megapascals(design),
        moment: NewtonMetres(design * modulus / 1.0e3),
        k_mod,
        k_h,
        gamma_m,
    })
}
