//! The cut sheet of a run: every wire's window, aim and chance, the trial wire named.
//!
//! Invariant: a wire without a window says why and does not keep the others from being answered.
//! Does not decide whether a length may be cut from, and does not plan reels.

use serde::{Deserialize, Serialize};

use super::{
    CutChance, CutInput, CutWindow, FixedDeduction, Spreads, aim_on_tape, compare_fixed_deduction,
    cut_chance, cut_window,
};
use crate::error::{MechanicsError, within};
use crate::figure::Origin;
use crate::fitting::FittingSet;
use crate::lengths::{RunLengths, WireLength};
use crate::strand::Strand;
use crate::units::{Kelvins, Millimetres, Newtons};

/// What a run's cut sheet rests on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RunToCut {
    /// The strand.
    pub strand: Strand,
    /// The fitting set.
    pub set: FittingSet,
    /// Inside-to-inside lengths; each one's spread counts as the spread of measuring.
    pub lengths: RunLengths,
    /// Inward movement of both posts together, per wire from the bottom, along the wire.
    pub inward: Vec<Millimetres>,
    /// Tension to set.
    pub tension: Newtons,
    /// Spread of cutting, seats and swages; that of measuring is taken from each length.
    pub spreads: Spreads,
    /// What a tape is read to.
    pub tape_step: Millimetres,
    /// A fixed deduction to hold against the windows, where someone uses one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fixed_deduction: Option<Millimetres>,
}

/// What the sheet says of one wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum WireAnswer {
    /// There is a window.
    #[serde(rename_all = "camelCase")]
    Cut {
        /// The cut to make, as a tape is read.
        cut: Millimetres,
        /// The window.
        window: CutWindow,
        /// The chance that this cut works.
        chance: CutChance,
        /// The fixed deduction beside it.
        fixed: Option<FixedDeduction>,
    },
    /// Nothing works or an input cannot be.
    #[serde(rename_all = "camelCase")]
    NoCut {
        /// What happened and what to do.
        reason: String,
    },
}

/// One line of the cut sheet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct WireCut {
    /// The wire's length with its origin.
    pub length: WireLength,
    /// Inward movement of both posts together at this wire.
    pub inward: Millimetres,
    /// What the sheet says.
    pub answer: WireAnswer,
}

/// The cut sheet of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct CutSheet {
    /// The wire to cut and fit first, from which the deduction is learned.
    pub trial_wire: Option<u32>,
    /// One line per wire, from the bottom.
    pub wires: Vec<WireCut>,
}

/// The input of one wire's window.
#[must_use]
pub fn input_for(run: &RunToCut, length: &WireLength, inward: Millimetres) -> CutInput {
    CutInput {
        inside_to_inside: length.length,
        tension: run.tension,
        inward,
        left: run.set.left.clone(),
        right: run.set.right.clone(),
        unequal_start: Millimetres(0.0),
        axial_stiffness: run.strand.axial_stiffness.value,
        axial_stiffness_spread: run.strand.axial_stiffness_spread,
        constructional_stretch: run.strand.constructional_stretch.value,
        constructional_stretch_spread: run.strand.constructional_stretch_spread,
        expansion_difference_per_kelvin: 0.0,
        temperature_difference: Kelvins(0.0),
        spreads: Spreads {
            measure: length.spread,
            ..run.spreads
        },
    }
}

/// Cut sheet of a whole run.
///
/// # Errors
/// When the inward movements are not one per wire. A single wire's fault is its own answer.
pub fn cut_sheet(run: &RunToCut) -> Result<CutSheet, MechanicsError> {
    let wires = run.lengths.wires.len();
    let given = run.inward.len();
    if wires != given {
        let most = f64::from(u32::try_from(wires).unwrap_or(u32::MAX));
        let value = f64::from(u32::try_from(given).unwrap_or(u32::MAX));
        within("the number of inward movements", value, most, most)?;
    }
    let wires = run
        .lengths
        .wires
        .iter()
        .zip(&run.inward)
        .map(|(length, inward)| WireCut {
            length: *length,
            inward: *inward,
            answer: answer(run, length, *inward).unwrap_or_else(|fault| WireAnswer::NoCut {
                reason: fault.to_string(),
            }),
        })
        .collect();
    Ok(CutSheet {
        trial_wire: trial_wire(&run.lengths),
        wires,
    })
}

/// The measured wire nearest the middle of the run; the lower of two.
#[must_use]
pub fn trial_wire(lengths: &RunLengths) -> Option<u32> {
    let last = lengths.wires.iter().map(|wire| wire.wire).max()?;
    lengths
        .wires
        .iter()
        .filter(|wire| wire.origin == Origin::Measured)
        .map(|wire| wire.wire)
        .min_by_key(|wire| {
            (
                wire.saturating_mul(2).abs_diff(last.saturating_add(1)),
                *wire,
            )
        })
}

fn answer(
    run: &RunToCut,
    length: &WireLength,
    inward: Millimetres,
) -> Result<WireAnswer, MechanicsError> {
    let input = input_for(run, length, inward);
    let window = cut_window(&input)?;
    let cut = aim_on_tape(&window, run.tape_step)?;
    let fixed = match run.fixed_deduction {
        Some(deduction) => Some(compare_fixed_deduction(&window, length.length, deduction)?),
        None => None,
    };
    Ok(WireAnswer::Cut {
        cut,
        chance: cut_chance(&input, cut)?,
        window,
        fixed,
    })
}
