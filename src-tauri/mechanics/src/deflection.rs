//! A wire pushed at mid span: deflection from tension and tension from deflection.
//!
//! Exact form: h = √((L/2)² + δ²), T = T0 + k_ax·(2h − L), P = 2Tδ/h, 1/k_ax = L0/EA + 1/k_anchor,
//! L0 = Lt/(1 + T0/EA); Lt is the whole run where the wire slides through its posts, the span
//! where it is gripped. Invariant: reading a tension takes the wire as gripped, which reads low;
//! the sliding answer stands beside it. Does not decide between a code table's conditions.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::units::{Millimetres, Newtons, NewtonsPerMillimetre};

/// A span of wire and what gives when it is pushed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Span {
    /// Clear distance of the supports, along the wire.
    pub clear: Millimetres,
    /// Length of wire that stretches: the clear distance where gripped, the run where sliding.
    pub stretching: Millimetres,
    /// EA of the strand.
    pub axial_stiffness: Newtons,
    /// Stiffness of what the wire is anchored to, where it counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anchor_stiffness: Option<NewtonsPerMillimetre>,
}

/// How the supports of the span hold the wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Held {
    /// Held at both supports: only the span stretches.
    Gripped,
    /// Free to slide: the whole run stretches.
    Sliding,
}

/// A deflection read under a load hung at mid span.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DeflectionReading {
    /// Clear distance of the supports, along the wire.
    pub clear: Millimetres,
    /// Length of the whole run, inside to inside.
    pub run: Millimetres,
    /// EA of the strand.
    pub axial_stiffness: Newtons,
    /// Load at mid span.
    pub load: Newtons,
    /// Deflection read.
    pub deflection: Millimetres,
    /// Uncertainty of the deflection, ±.
    pub reading_error: Millimetres,
}

/// A tension with the band that the reading's uncertainty leaves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TensionBand {
    /// At the deflection read.
    pub tension: Newtons,
    /// At the deflection plus its uncertainty.
    pub least: Newtons,
    /// At the deflection less its uncertainty; nothing where that leaves no deflection.
    pub most: Option<Newtons>,
}

/// The tension read from a deflection, the careful answer first.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TensionFromDeflection {
    /// Wire taken as gripped at the span's supports: the careful answer.
    pub gripped: TensionBand,
    /// Wire taken as sliding through all posts: the answer beside it.
    pub sliding: TensionBand,
}

/// What a ruler leaves open about a tension, beside the room that a tension has.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RulerRoom {
    /// The deflection looked at.
    pub deflection: Millimetres,
    /// Tension there, and at the deflection more and less by the ruler's error.
    pub band: TensionBand,
    /// Whether that band is no wider than the room.
    pub enough: bool,
    /// The load from which it is, where it is not; none where that is more than ten times the load.
    pub enough_from: Option<Newtons>,
}

/// Holds what a ruler leaves open at a deflection against the room that the tension has.
///
/// The band is that of [`read_tension`], the wire gripped or sliding as the span says; for a small
/// deflection it is about 8·e·T²/(W·L) wide, so a larger load or a longer span narrows it. The load
/// from which it fits is that for the same tension.
///
/// By [`tension_from_deflection`]; no source beyond that.
///
/// # Errors
/// [`MechanicsError::Slack`] as in [`tension_from_deflection`]; else when an input cannot be.
pub fn ruler_room(
    span: &Span,
    load: Newtons,
    deflection: Millimetres,
    error: Millimetres,
    room: Newtons,
) -> Result<RulerRoom, MechanicsError> {
    not_negative("the room", room)?;
    let band = ruler_band(span, load, deflection, error)?;
    let fits = |band: &TensionBand| band.most.is_some_and(|most| most - band.least <= room);
    let enough = fits(&band);
    let at = |load: Newtons| -> Result<bool, MechanicsError> {
        let deflection = deflection_under_load(span, band.tension, load)?;
        Ok(fits(&ruler_band(span, load, deflection, error)?))
    };
    let most = load * MOST_LOAD;
    let enough_from = if enough || !at(most)? {
        None
    } else {
        let (mut low, mut high) = (load, most);
        for _ in 0..60 {
            let middle = (low + high) / 2.0;
            if at(middle)? {
                high = middle;
            } else {
                low = middle;
            }
        }
        Some(high)
    };
    Ok(RulerRoom {
        deflection,
        band,
        enough,
        enough_from,
    })
}

/// How many times a load is looked at for one under which a ruler is enough.
const MOST_LOAD: f64 = 10.0;

fn ruler_band(
    span: &Span,
    load: Newtons,
    deflection: Millimetres,
    error: Millimetres,
) -> Result<TensionBand, MechanicsError> {
    let error = Millimetres(not_negative("the reading's error", error)?);
    let least = match tension_from_deflection(span, load, deflection + error) {
        Err(MechanicsError::Slack { .. }) => Newtons(0.0),
        other => other?,
    };
    let closer = deflection - error;
    let most = (closer.value() > 0.0)
        .then(|| tension_from_deflection(span, load, closer))
        .transpose()?;
    Ok(TensionBand {
        tension: tension_from_deflection(span, load, deflection)?,
        least,
        most,
    })
}

/// The span as one of the two ways of holding.
#[must_use]
pub const fn span(
    clear: Millimetres,
    run: Millimetres,
    axial_stiffness: Newtons,
    held: Held,
) -> Span {
    Span {
        clear,
        stretching: match held {
            Held::Gripped => clear,
            Held::Sliding => run,
        },
        axial_stiffness,
        anchor_stiffness: None,
    }
}

/// Load that deflects a wire of starting tension T0 by δ at mid span.
///
/// Exact statics of a straight elastic wire; for small δ that of Irvine, Cable Structures (1981), and Roark's
/// Formulas: P = 4·T0·δ/L + 8(κEA − T0)δ³/L³. Holds for a wire without weight or bending stiffness of its
/// own.
///
/// # Errors
/// When an input cannot be.
pub fn load_for_deflection(
    span: &Span,
    start_tension: Newtons,
    deflection: Millimetres,
) -> Result<Newtons, MechanicsError> {
    let wire = Wire::of(span)?;
    let start = not_negative("the tension", start_tension)?;
    let deflection = not_negative("the deflection", deflection)?;
    Ok(Newtons(wire.load(start, deflection)))
}

/// Deflection at mid span of a wire of starting tension T0 under a load.
///
/// As [`load_for_deflection`], of which it is the root.
///
/// # Errors
/// When an input cannot be.
pub fn deflection_under_load(
    span: &Span,
    start_tension: Newtons,
    load: Newtons,
) -> Result<Millimetres, MechanicsError> {
    let wire = Wire::of(span)?;
    let start = not_negative("the tension", start_tension)?;
    let load = not_negative("the load", load)?;
    let mut high = 1.0;
    while wire.load(start, high) < load && high < wire.clear * 10.0 {
        high *= 2.0;
    }
    let deflection = halve(0.0, high, |deflection| wire.load(start, deflection) < load);
    Ok(Millimetres(deflection))
}

/// Starting tension of a wire that deflects by δ under a load.
///
/// As [`load_for_deflection`], solved for T0; about W·L/(4δ) − 2κEA·δ²/L² (Irvine, 1981).
///
/// # Errors
/// [`MechanicsError::Slack`] where the deflection is more than a wire without tension shows;
/// else when an input cannot be.
pub fn tension_from_deflection(
    span: &Span,
    load: Newtons,
    deflection: Millimetres,
) -> Result<Newtons, MechanicsError> {
    let wire = Wire::of(span)?;
    let wanted = positive("the load", load)?;
    let read = positive("the deflection", deflection)?;
    if wire.load(0.0, read) > wanted {
        return Err(MechanicsError::Slack { deflection, load });
    }
    // The load balanced by T0 alone is the largest T0 can be: stretching only adds tension.
    let most = wanted * (wire.clear / 2.0).hypot(read) / (2.0 * read);
    Ok(Newtons(halve(0.0, most, |start| {
        wire.load(start, read) < wanted
    })))
}

/// Tension read from a deflection, gripped and sliding, each with its band.
///
/// A band whose lower edge is a slack wire ends at zero.
///
/// By [`tension_from_deflection`], the reading taken off by its error either way.
///
/// # Errors
/// [`MechanicsError::Slack`] as in [`tension_from_deflection`]; else when an input cannot be.
pub fn read_tension(reading: &DeflectionReading) -> Result<TensionFromDeflection, MechanicsError> {
    positive("the run's length", reading.run)?;
    let band = |held| {
        let span = span(reading.clear, reading.run, reading.axial_stiffness, held);
        ruler_band(
            &span,
            reading.load,
            reading.deflection,
            reading.reading_error,
        )
    };
    Ok(TensionFromDeflection {
        gripped: band(Held::Gripped)?,
        sliding: band(Held::Sliding)?,
    })
}

struct Wire {
    clear: f64,
    stretching: f64,
    stiffness: f64,
    anchor_give: f64,
}

impl Wire {
    fn of(span: &Span) -> Result<Self, MechanicsError> {
        let anchor_give = match span.anchor_stiffness {
            Some(stiffness) => 1.0 / positive("the anchor's stiffness", stiffness)?,
            None => 0.0,
        };
        Ok(Self {
            clear: positive("the span", span.clear)?,
            stretching: positive("the length that stretches", span.stretching)?,
            stiffness: positive("the strand's stiffness EA", span.axial_stiffness)?,
            anchor_give,
        })
    }

    fn load(&self, start_tension: f64, deflection: f64) -> f64 {
        let half = self.clear / 2.0;
        let side = half.hypot(deflection);
        let unstretched = self.stretching / (1.0 + start_tension / self.stiffness);
        let axial = 1.0 / (unstretched / self.stiffness + self.anchor_give);
        // 2(side − half) without the cancellation of two nearly equal lengths.
        let longer = 2.0 * deflection * deflection / (side + half);
        let tension = start_tension + axial * longer;
        2.0 * tension * deflection / side
    }
}

fn halve(mut low: f64, mut high: f64, too_low: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if too_low(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
