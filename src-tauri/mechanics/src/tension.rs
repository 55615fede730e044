//! Required, set and upper tension, and what a gauge reading says of them.
//!
//! Invariant: the upper tension is the least of parts that each carry their origin, and a
//! reading is clear only beyond the gauge's own error. Does not look up tables and does not
//! correct readings for temperature. One file past 400 lines, since all of it is one reading's room.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive, within};
use crate::figure::{Figure, Origin};
use crate::units::Newtons;

/// What limits the tension from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum UpperKind {
    /// Breaking load of the strand over its factor.
    Strand,
    /// Strand with its swaged terminal.
    Terminal,
    /// Insert pulled out of its post.
    Insert,
    /// Thread of the stud.
    Thread,
    /// Post, as its engineer limits it.
    Post,
    /// End of the gauge's range.
    GaugeRange,
}

/// One part's upper limit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct UpperPart {
    /// The part.
    pub kind: UpperKind,
    /// Its limit and where that comes from.
    pub limit: Figure<Newtons>,
}

/// The upper tension: the least of its parts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Upper {
    /// What nothing may exceed.
    pub limit: Newtons,
    /// The part that sets it.
    pub governed_by: UpperKind,
    /// All parts given, least first.
    pub parts: Vec<UpperPart>,
    /// Parts of which nothing was given: not known is not the same as no limit.
    pub not_known: Vec<UpperKind>,
}

/// Tension gauge, as far as a reading needs it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Gauge {
    /// Error as a share of the reading, ±; 0.04 for 4 %.
    pub error: f64,
    /// Lower end of its range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range_from: Option<Newtons>,
    /// Upper end of its range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range_to: Option<Newtons>,
}

/// State of a reading against the required tension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum ReadingState {
    /// At or above required ÷ (1 − gauge error).
    Clear,
    /// At or above required, but within the gauge's error of it.
    AtTheMark,
    /// Below required.
    Below,
}

/// Where a wire's tension should lie on a given gauge.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Room {
    /// Lowest reading that is clear, in whole newtons.
    pub clear_from: Newtons,
    /// Highest reading whose true tension is still below the upper one, in whole newtons.
    pub clear_to: Newtons,
    /// `clear_to` less `clear_from`; below zero where there is no room.
    pub width: Newtons,
    /// Whether the room is at least one step of the gauge.
    pub enough: bool,
}

/// Something that does not fit between required, set and upper.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum TensionIssue {
    /// The set tension is above the upper one.
    #[serde(rename_all = "camelCase")]
    SetAboveUpper {
        /// By how much.
        by: Newtons,
        /// One sentence.
        sentence: String,
    },
    /// The true tension may be above the upper one when the gauge shows the set one.
    #[serde(rename_all = "camelCase")]
    GaugeMayExceedUpper {
        /// By how much.
        by: Newtons,
        /// One sentence.
        sentence: String,
    },
    /// The set tension is not clear of the required one.
    #[serde(rename_all = "camelCase")]
    SetNotClear {
        /// Lowest clear reading less set.
        by: Newtons,
        /// One sentence.
        sentence: String,
    },
    /// No reading is both clear and below the upper tension.
    #[serde(rename_all = "camelCase")]
    NoRoom {
        /// The room found.
        room: Room,
        /// One sentence.
        sentence: String,
    },
    /// The set tension lies outside the gauge's range.
    #[serde(rename_all = "camelCase")]
    OutsideGauge {
        /// One sentence.
        sentence: String,
    },
}

/// Safe load: breaking load × terminal efficiency ÷ factor, all three asked for.
///
/// Common practice, without a source of its own; efficiency and factor are inputs with theirs.
///
/// # Errors
/// When the breaking load or the factor is not above zero (factor at least 1), or the
/// efficiency is not within 0 to 1.
pub fn safe_load(
    breaking_load: &Figure<Newtons>,
    terminal_efficiency: &Figure<f64>,
    factor: &Figure<f64>,
) -> Result<Figure<Newtons>, MechanicsError> {
    let load = positive("the breaking load", breaking_load.value)?;
    let efficiency = within(
        "the terminal's efficiency",
        positive("the terminal's efficiency", terminal_efficiency.value)?,
        0.0,
        1.0,
    )?;
    let divisor = within("the factor of the safe load", factor.value, 1.0, 100.0)?;
    Ok(Figure::new(
        Newtons(load * efficiency / divisor),
        Origin::Computed,
        format!("{} × {efficiency} ÷ {divisor}", breaking_load.value),
    ))
}

/// The least of the parts' limits; nothing where no part is given.
///
/// The least of limits that each have their own source.
///
/// # Errors
/// When a limit is not above zero.
pub fn upper_tension(parts: &[UpperPart]) -> Result<Option<Upper>, MechanicsError> {
    for part in parts {
        positive("an upper limit", part.limit.value)?;
    }
    let mut sorted = parts.to_vec();
    sorted.sort_by(|a, b| {
        let (a, b) = (a.limit.value.value(), b.limit.value.value());
        a.total_cmp(&b)
    });
    let all = [
        UpperKind::Strand,
        UpperKind::Terminal,
        UpperKind::Insert,
        UpperKind::Thread,
        UpperKind::Post,
        UpperKind::GaugeRange,
    ];
    let not_known = all
        .into_iter()
        .filter(|kind| !sorted.iter().any(|part| part.kind == *kind))
        .collect();
    Ok(sorted.first().cloned().map(|least| Upper {
        limit: least.limit.value,
        governed_by: least.kind,
        parts: sorted,
        not_known,
    }))
}

/// Lowest reading that is clear of the required tension, required ÷ (1 − error), whole newtons.
///
/// Own definition (engineering basis): what a gauge shows may err by its error of what it shows.
///
/// # Errors
/// When the required tension is not above zero or the error is not within 0 to 0.5.
pub fn clear_from(required: Newtons, gauge_error: f64) -> Result<Newtons, MechanicsError> {
    let required = positive("the required tension", required)?;
    let error = gauge_share(gauge_error)?;
    Ok(Newtons((required / (1.0 - error)).round()))
}

/// State of a reading; the required tension itself is compared without rounding.
///
/// # Errors
/// As [`clear_from`], or when the reading is below zero.
pub fn reading_state(
    reading: Newtons,
    required: Newtons,
    gauge_error: f64,
) -> Result<ReadingState, MechanicsError> {
    not_negative("the reading", reading)?;
    let clear = clear_from(required, gauge_error)?.max(required);
    Ok(if reading >= clear {
        ReadingState::Clear
    } else if reading >= required {
        ReadingState::AtTheMark
    } else {
        ReadingState::Below
    })
}

/// What a gauge can tell at a tension: the largest of 1, 2 or 5 × 10ⁿ within its error.
///
/// # Errors
/// When the tension is not above zero or the error is not within 0 to 0.5.
pub fn gauge_step(tension: Newtons, gauge_error: f64) -> Result<Newtons, MechanicsError> {
    let band = positive("the tension", tension)? * gauge_share(gauge_error)?;
    if band < 1.0 {
        return Ok(Newtons(1.0));
    }
    let decade = 10.0_f64.powf(band.log10().floor());
    let step = [5.0, 2.0, 1.0]
        .into_iter()
        .map(|digit| digit * decade)
        .find(|step| *step <= band)
        .unwrap_or(decade);
    Ok(Newtons(step))
}

/// A tension as it is shown: rounded to the nearest step that the gauge can tell.
///
/// # Errors
/// As [`gauge_step`].
pub fn shown(tension: Newtons, gauge_error: f64) -> Result<Newtons, MechanicsError> {
    let step = gauge_step(tension, gauge_error)?.value();
    Ok(Newtons((tension.value() / step).round() * step))
}

/// The most that may be lost, as it is shown: rounded UP to what the gauge can tell.
///
/// # Errors
/// As [`gauge_step`].
pub fn shown_most(tension: Newtons, gauge_error: f64) -> Result<Newtons, MechanicsError> {
    let step = gauge_step(tension, gauge_error)?.value();
    Ok(Newtons(whole_above(tension.value() / step) * step))
}

/// An upper tension as it is shown: rounded DOWN to what the gauge can tell.
///
/// # Errors
/// As [`gauge_step`].
pub fn shown_upper(tension: Newtons, gauge_error: f64) -> Result<Newtons, MechanicsError> {
    let step = gauge_step(tension, gauge_error)?.value();
    Ok(Newtons(whole_below(tension.value() / step) * step))
}

/// An upper tension as it is held and told: whole newtons, rounded down.
#[must_use]
pub fn held_upper(tension: Newtons) -> Newtons {
    Newtons(whole_below(tension.value()))
}

/// The least tension to set: (required + expected loss) ÷ (1 − error), rounded UP to a step of the
/// gauge at the required tension.
///
/// Own definition (engineering basis): set = required + expected loss + gauge error.
///
/// # Errors
/// When the required tension is not above zero, the loss is below zero, or the error is out of
/// range.
pub fn least_set(
    required: Newtons,
    expected_loss: Newtons,
    gauge_error: f64,
) -> Result<Newtons, MechanicsError> {
    let required = positive("the required tension", required)?;
    let loss = not_negative("the expected loss", expected_loss)?;
    let least = (required + loss) / (1.0 - gauge_share(gauge_error)?);
    let step = gauge_step(Newtons(required), gauge_error)?.value();
    Ok(Newtons(whole_above(least / step) * step))
}

/// A tension that is above a limit, as the gauge can tell it: the nearest step, and the one above where that would
/// hide that it is above.
///
/// # Errors
/// As [`shown`].
pub fn shown_above(
    tension: Newtons,
    limit: Newtons,
    gauge_error: f64,
) -> Result<Newtons, MechanicsError> {
    let near = shown(tension, gauge_error)?;
    if near > limit {
        return Ok(near);
    }
    shown_most(tension, gauge_error)
}

/// The set tension to suggest: the least one that leaves the required tension after the expected
/// loss and the gauge's error; nothing where the room below the upper tension does not hold it.
///
/// # Errors
/// As [`least_set`] and [`room`].
pub fn suggested_set(
    required: Newtons,
    expected_loss: Newtons,
    upper: Newtons,
    gauge_error: f64,
) -> Result<Option<Newtons>, MechanicsError> {
    let room = room(required, upper, gauge_error)?;
    let least = least_set(required, expected_loss, gauge_error)?;
    Ok(Some(least).filter(|least| room.enough && *least <= room.clear_to))
}

/// Highest reading whose true tension is not above the upper one: upper ÷ (1 + error), whole
/// newtons below.
///
/// As [`clear_from`], the other way.
///
/// # Errors
/// When the upper tension is not above zero or the error is out of range.
pub fn clear_to(upper: Newtons, gauge_error: f64) -> Result<Newtons, MechanicsError> {
    let upper = positive("the upper tension", upper)?;
    Ok(Newtons(whole_below(
        upper / (1.0 + gauge_share(gauge_error)?),
    )))
}

/// The readings that are both clear of required and below upper.
///
/// # Errors
/// When a tension is not above zero or the error is out of range.
pub fn room(required: Newtons, upper: Newtons, gauge_error: f64) -> Result<Room, MechanicsError> {
    let from = clear_from(required, gauge_error)?;
    let to = clear_to(upper, gauge_error)?;
    let width = to - from;
    Ok(Room {
        clear_from: from,
        clear_to: to,
        width,
        enough: width >= gauge_step(required, gauge_error)?,
    })
}

/// What does not fit between required, set and upper tension on this gauge.
///
/// # Errors
/// When a tension is not above zero or the error is out of range.
pub fn issues(
    required: Newtons,
    set: Newtons,
    upper: Newtons,
    gauge: &Gauge,
) -> Result<Vec<TensionIssue>, MechanicsError> {
    positive("the set tension", set)?;
    let room = room(required, upper, gauge.error)?;
    let mut found = Vec::new();
    if !room.enough {
        found.push(TensionIssue::NoRoom {
            room,
            sentence: format!(
                "{required} is required and clear on this gauge only from {}; to stay below the \
                 upper {upper} it may show at most {}: no room. A closer support, or parts with \
                 a higher limit, would make room.",
                room.clear_from, room.clear_to
            ),
        });
    }
    let most_true = set * (1.0 + gauge.error);
    if set > upper {
        let by = set - upper;
        found.push(TensionIssue::SetAboveUpper {
            by,
            sentence: format!("The set tension {set} is {by} above the upper {upper}: lower it."),
        });
    } else if most_true > upper {
        let by = most_true - upper;
        found.push(TensionIssue::GaugeMayExceedUpper {
            by,
            sentence: format!(
                "When the gauge shows {set} the wire may carry {most_true}, {by} above the \
                 upper {upper}."
            ),
        });
    }
    if set < room.clear_from {
        let by = room.clear_from - set;
        found.push(TensionIssue::SetNotClear {
            by,
            sentence: format!(
                "The set tension {set} is {by} short of {}, from where the gauge is clear of \
                 the required {required}.",
                room.clear_from
            ),
        });
    }
    let below = gauge.range_from.is_some_and(|from| set < from);
    let above = gauge.range_to.is_some_and(|to| set > to);
    if below || above {
        found.push(TensionIssue::OutsideGauge {
            sentence: format!(
                "The set tension {set} lies outside the gauge's range: use another gauge."
            ),
        });
    }
    Ok(found)
}

/// The whole number below; a number that is whole but for rounding stays.
fn whole_below(value: f64) -> f64 {
    (value + 1.0e-12 * value.abs()).floor()
}

/// The whole number above; a number that is whole but for rounding stays.
fn whole_above(value: f64) -> f64 {
    -whole_below(-value)
}

fn gauge_share(error: f64) -> Result<f64, MechanicsError> {
    within("the gauge's error as a share", error, 0.0, 0.5)
}
