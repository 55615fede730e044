//! Stainless strand: metallic area, mass, stiffness, what a kelvin does.
//!
//! Invariant: a figure that the user did not measure is marked computed or assumed, with its
//! source. Does not hold breaking loads: those come from the mill sheet or a table.

use std::f64::consts::PI;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, positive};
use crate::figure::{Figure, Origin};
use crate::units::{KilogramsPerMetre, Millimetres, Newtons, SquareMillimetres};

/// Lay of a strand, strands × wires per strand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Construction {
    /// One strand of nineteen wires.
    #[serde(rename = "1x19")]
    OneByNineteen,
    /// Seven strands of seven wires.
    #[serde(rename = "7x7")]
    SevenBySeven,
    /// Seven strands of nineteen wires.
    #[serde(rename = "7x19")]
    SevenByNineteen,
}

impl fmt::Display for Construction {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::OneByNineteen => "1x19",
            Self::SevenBySeven => "7x7",
            Self::SevenByNineteen => "7x19",
        })
    }
}

/// Thermal expansion of stainless strand, per kelvin (recalled from EN 10088-1: an input).
pub const EXPANSION_PER_KELVIN: f64 = 16.0e-6;

const DENSITY_KG_PER_M3: f64 = 7950.0;
const LAY_FACTOR: f64 = 1.03;

/// Metallic area of a strand of equal round wires: f·π·d²/4 with f = 19/25, 49/81, 133/225.
///
/// # Errors
/// When the diameter is not above zero.
pub fn metallic_area(
    diameter: Millimetres,
    construction: Construction,
) -> Result<SquareMillimetres, MechanicsError> {
    let d = positive("the strand's diameter", diameter)?;
    let fill = match construction {
        Construction::OneByNineteen => 19.0 / 25.0,
        Construction::SevenBySeven => 49.0 / 81.0,
        Construction::SevenByNineteen => 133.0 / 225.0,
    };
    Ok(SquareMillimetres(fill * PI * d * d / 4.0))
}

/// Mass per metre: area × 7950 kg/m³ × lay factor 1.03, both recalled, so marked assumed.
///
/// # Errors
/// When the diameter is not above zero.
pub fn mass_per_metre(
    diameter: Millimetres,
    construction: Construction,
) -> Result<Figure<KilogramsPerMetre>, MechanicsError> {
    let area = metallic_area(diameter, construction)?;
    Ok(Figure::new(
        KilogramsPerMetre(area.value() * 1.0e-6 * DENSITY_KG_PER_M3 * LAY_FACTOR),
        Origin::Assumed,
        "metallic area × 7950 kg/m³ × lay factor 1.03, recalled; weigh two metres for a better one",
    ))
}

/// Default axial stiffness: metallic area × 130 GPa (1x19) or 90 GPa (7x7, 7x19).
///
/// The moduli count on the METALLIC area and are recalled from EN 1993-1-11 table 3.1 (± 10 GPa).
///
/// # Errors
/// When the diameter is not above zero.
pub fn default_axial_stiffness(
    diameter: Millimetres,
    construction: Construction,
) -> Result<Figure<Newtons>, MechanicsError> {
    let area = metallic_area(diameter, construction)?;
    let gigapascals = match construction {
        Construction::OneByNineteen => 130.0,
        Construction::SevenBySeven | Construction::SevenByNineteen => 90.0,
    };
    Ok(Figure::new(
        Newtons(area.value() * gigapascals * 1.0e3),
        Origin::Assumed,
        format!(
            "metallic area × {gigapascals} GPa, recalled from EN 1993-1-11; enter a measured EA"
        ),
    ))
}

/// Softest and stiffest that a strand of unknown make is taken to be: metallic area × (130 or 90 ±
/// 10 GPa), recalled from EN 1993-1-11 table 3.1.
///
/// # Errors
/// When the diameter is not above zero.
pub fn axial_stiffness_band(
    diameter: Millimetres,
    construction: Construction,
) -> Result<(Newtons, Newtons), MechanicsError> {
    let either_way = metallic_area(diameter, construction)?.value() * 10.0e3;
    let middle = default_axial_stiffness(diameter, construction)?
        .value
        .value();
    Ok((Newtons(middle - either_way), Newtons(middle + either_way)))
}

/// Change of tension per kelvin between immovable ends: EA·(α_wire − α_structure), newtons.
///
/// # Errors
/// When the stiffness is not above zero or an expansion is not a number.
pub fn tension_per_kelvin(
    axial_stiffness: Newtons,
    wire_expansion_per_kelvin: f64,
    structure_expansion_per_kelvin: f64,
) -> Result<Newtons, MechanicsError> {
    let stiffness = positive("the strand's stiffness EA", axial_stiffness)?;
    let difference = crate::error::finite(
        "the difference of expansions",
        wire_expansion_per_kelvin - structure_expansion_per_kelvin,
    )?;
    Ok(Newtons(stiffness * difference))
}
