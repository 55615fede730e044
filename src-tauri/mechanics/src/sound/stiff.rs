//! The stiff string: frequencies of a tensioned wire that also resists bending.
//!
//! Fletcher 1964 (JASA 36:203), ε = √(EI/T)/L, f0 = √(T/m)/(2L):
//! pinned f_n = n·f0·√(1 + π²ε²n²), clamped the same times 1 + 2ε + 4ε²; held against the exact clamped
//! beam under tension by the tests. Invariant: the bending stiffness of a strand is only
//! known between its wires slipping on one another and being one solid bar; both are carried.
//! Does not listen: see the estimator.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::strand::Construction;
use crate::units::{Hertz, KilogramsPerMetre, Millimetres, NewtonSquareMetres, Newtons};

/// How the ends of the sounding length are held against turning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum EndHold {
    /// Free to turn.
    Pinned,
    /// Held straight, as by a pinch.
    Clamped,
}

/// The length of wire that sounds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct SoundingLength {
    /// L: from pinch to pinch, along the wire.
    pub length: Millimetres,
    /// m: mass per length of the strand.
    pub mass: KilogramsPerMetre,
}

/// Bending stiffness EI of a strand, from its wires slipping freely to being one solid bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BendingBounds {
    /// All wires slip: the sum of the wires' own stiffness.
    pub slipping: NewtonSquareMetres,
    /// No wire slips.
    pub solid: NewtonSquareMetres,
}

/// Modulus of the drawn wires, N/m² (an assumption of the bounds, not the strand's own modulus).
const WIRE_MODULUS: f64 = 193.0e9;

/// Bounds of EI from the strand's geometry, equal round wires of d_w touching one another.
///
/// 1x19, d_w = d/5: least E_w·19·π·d_w⁴/64, most E_w·[19·π·d_w⁴/64 + ½·A_w·(6·d_w² + 12·(2·d_w)²)].
/// 7x7 (d_w = d/9) and 7x19 (d_w = d/15) by the same sum over their wires, six strands about one.
///
/// # Errors
/// When the diameter is not above zero.
pub fn bending_bounds(
    diameter: Millimetres,
    construction: Construction,
) -> Result<BendingBounds, MechanicsError> {
    let d = positive("the strand's diameter", diameter)? * 1.0e-3;
    // Wires across the strand, wires, and Σr² of their centres in units of the wire's diameter.
    let (across, wires, spread) = match construction {
        Construction::OneByNineteen => (5.0, 19.0, STRAND_OF_19),
        Construction::SevenBySeven => (9.0, 49.0, 7.0 * STRAND_OF_7 + 7.0 * 6.0 * 9.0),
        Construction::SevenByNineteen => (15.0, 133.0, 7.0 * STRAND_OF_19 + 19.0 * 6.0 * 25.0),
    };
    let wire = d / across;
    let own = wires * PI * wire.powi(4) / 64.0;
    let apart = 0.5 * (PI * wire * wire / 4.0) * spread * wire * wire;
    Ok(BendingBounds {
        slipping: NewtonSquareMetres(WIRE_MODULUS * own),
        solid: NewtonSquareMetres(WIRE_MODULUS * (own + apart)),
    })
}

/// Σr² of seven wires, six about one, in wire diameters squared.
const STRAND_OF_7: f64 = 6.0;
/// Σr² of nineteen wires: six at one diameter, twelve at two.
const STRAND_OF_19: f64 = 6.0 + 12.0 * 4.0;

/// f_n of a string of bending stiffness EI, Fletcher's form; EI = 0 gives n·√(T/m)/(2L).
///
/// Good where L/√(EI/T) is 30 or more.
///
/// # Errors
/// When an input cannot be; n is 1 or more.
pub fn frequency(
    wire: &SoundingLength,
    tension: Newtons,
    bending: NewtonSquareMetres,
    ends: EndHold,
    number: u32,
) -> Result<Hertz, MechanicsError> {
    let string = Stiff::of(wire, tension, bending)?;
    let n = positive("the number of the partial", f64::from(number))?;
    Ok(Hertz(string.at(n, ends)))
}

/// A stiff string in SI units, checked.
pub(crate) struct Stiff {
    base: f64,
    slenderness: f64,
}

impl Stiff {
    pub(crate) fn of(
        wire: &SoundingLength,
        tension: Newtons,
        bending: NewtonSquareMetres,
    ) -> Result<Self, MechanicsError> {
        let length = positive("the sounding length", wire.length)? * 1.0e-3;
        let mass = positive("the mass per metre", wire.mass)?;
        let tension = positive("the tension", tension)?;
        let bending = not_negative("the bending stiffness EI", bending)?;
        Ok(Self {
            base: (tension / mass).sqrt() / (2.0 * length),
            slenderness: (bending / tension).sqrt() / length,
        })
    }

    /// Fletcher's form at any n, whole or between.
    pub(crate) fn at(&self, n: f64, ends: EndHold) -> f64 {
        let bent = PI * self.slenderness * n;
        let pinned = n * self.base * (1.0 + bent * bent).sqrt();
        match ends {
            EndHold::Pinned => pinned,
            EndHold::Clamped => pinned * clamping(self.slenderness),
        }
    }
}

/// 1 + 2ε + 4ε²: how much held ends raise every partial.
pub(crate) fn clamping(slenderness: f64) -> f64 {
    1.0 + 2.0 * slenderness + 4.0 * slenderness * slenderness
}
