//! Number and heights of the wires, for each spacing row of the table.
//!
//! Formula: with a rail underside `R`, `n` wires and equal gaps the spacing is `R / (n + 1)`,
//! rounded up to the tape's step; what that takes is missing at the top gap. With a bottom wire at
//! `b` it is `(R − b) / n`. On a rake the table counts square to the wires: plumb × cos.
//! Invariant: the spacing square to the wires stays `in_hand` below its row, and the top gap is
//! never wider than the spacing.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::rules::{Outcome, RuleSet, TensionRow, look_up_tension};
use crate::slope;
use crate::strand::Construction;
use crate::units::{Degrees, Millimetres};

/// What layouts keep before the next row where nothing else is said (common practice: one hole at
/// 81 reads the 100 row, so 80 is laid out at 75 to 77).
pub const IN_HAND: Millimetres = Millimetres(4.0);

const MOST_WIRES: u32 = 200;

/// What is to be laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct SpacingAsk {
    /// Underside of the rail, plumb above the floor or the nosings.
    pub rail_underside: Millimetres,
    /// Height of the bottom wire's centre; as far as the wires from each other where none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bottom: Option<Millimetres>,
    /// Slope of the wires.
    pub slope: Degrees,
    /// Diameter of the strand.
    pub diameter: Millimetres,
    /// Lay of the strand.
    pub construction: Construction,
    /// Widest bay, clear, along the wire.
    pub widest_bay: Millimetres,
    /// Least to keep before the next row, square to the wires.
    pub in_hand: Millimetres,
    /// Step to which heights are laid out, plumb (1 mm, 1/16 in).
    pub step: Millimetres,
    /// Widest spacing wanted, square to the wires: instead of a row where the set has no table.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub widest_spacing: Option<Millimetres>,
}

/// Wires of a run as they could be laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct WireLayout {
    /// Spacing that it stays below, square: the table's row, or what was wanted.
    pub row: Millimetres,
    /// Heights of the wires' centres, plumb, from the bottom.
    pub heights: Vec<Millimetres>,
    /// Spacing, plumb.
    pub spacing_plumb: Millimetres,
    /// Spacing, square to the wires, as the table counts it.
    pub spacing_square: Millimetres,
    /// In hand before the next row, square.
    pub in_hand: Millimetres,
    /// Top wire's centre to the rail's underside, plumb.
    pub top_gap: Millimetres,
    /// Largest opening at rest, square, less the wires: below, between or above them.
    pub widest_clear: Millimetres,
    /// What the table asks of the widest bay at this spacing.
    pub tension: TensionRow,
    /// One sentence.
    pub sentence: String,
}

/// Layouts for every row that the table has for this wire, the closest spacing first.
///
/// Rows that the table marks as not allowed for this bay are listed too, and say so.
///
/// # Errors
/// When a length cannot be, the slope is too steep, no row leaves what is wanted in hand, or the
/// set has no table and no spacing was wanted.
pub fn lay_out(set: &RuleSet, ask: &SpacingAsk) -> Result<Vec<WireLayout>, MechanicsError> {
    positive("the rail's height", ask.rail_underside.value())?;
    positive("the strand's diameter", ask.diameter.value())?;
    positive("the widest bay", ask.widest_bay.value())?;
    positive("the step of the heights", ask.step.value())?;
    not_negative("what is kept in hand", ask.in_hand.value())?;
    let room = ask.rail_underside - ask.bottom.unwrap_or_default();
    if let Some(bottom) = ask.bottom {
        positive("the bottom wire's height", bottom.value())?;
        positive("the height from the bottom wire to the rail", room.value())?;
    }
    rows(set, ask)?
        .into_iter()
        .map(|row| one(set, ask, row, room))
        .collect()
}

fn rows(set: &RuleSet, ask: &SpacingAsk) -> Result<Vec<Millimetres>, MechanicsError> {
    let lines = set
        .wires
        .iter()
        .filter_map(|wires| wires.tension.as_ref())
        .flat_map(|table| &table.lines);
    let mut rows: Vec<Millimetres> = Vec::new();
    for line in lines {
        let row = line.spacing_mm;
        let read = look_up_tension(set, ask.diameter, ask.construction, row, ask.widest_bay)?;
        if read.read_as.is_some_and(|read| read.spacing == row) && !rows.contains(&row) {
            rows.push(row);
        }
    }
    rows.sort_by(|a, b| a.value().total_cmp(&b.value()));
    if rows.is_empty() {
        let wanted = ask.widest_spacing.ok_or(MechanicsError::NoSpacingRow)?;
        positive("the widest spacing", wanted.value())?;
        return Ok(vec![wanted]);
    }
    if let Some(wanted) = ask.widest_spacing {
        positive("the widest spacing", wanted.value())?;
        rows.retain(|row| row.whole_nanometres() <= wanted.whole_nanometres());
        if rows.is_empty() {
            return Err(MechanicsError::NoSpacingRow);
        }
    }
    Ok(rows)
}

fn one(
    set: &RuleSet,
    ask: &SpacingAsk,
    row: Millimetres,
    room: Millimetres,
) -> Result<WireLayout, MechanicsError> {
    let widest_square = positive(
        "the table's spacing less the millimetres kept in hand",
        (row - ask.in_hand).value(),
    )?;
    let widest = slope::plumb(Millimetres(widest_square), ask.slope)?;
    let (wires, spacing) = count(ask, widest, room)?;
    let bottom = ask.bottom.unwrap_or(spacing);
    let heights: Vec<Millimetres> = (0..wires)
        .map(|at| round(bottom + spacing * f64::from(at)))
        .collect();
    let top = heights.last().copied().unwrap_or(bottom);
    let top_gap = round(ask.rail_underside - top);
    let spacing_square = slope::square(spacing, ask.slope)?;
    let half = ask.diameter / 2.0;
    let clear = [
        slope::square(bottom, ask.slope)? - half,
        spacing_square - ask.diameter,
        slope::square(top_gap, ask.slope)? - half,
    ];
    let tension = look_up_tension(
        set,
        ask.diameter,
        ask.construction,
        spacing_square,
        ask.widest_bay,
    )?;
    let mut layout = WireLayout {
        row,
        heights,
        spacing_plumb: spacing,
        spacing_square,
        in_hand: row - spacing_square,
        top_gap,
        widest_clear: clear.into_iter().fold(Millimetres(0.0), Millimetres::max),
        tension,
        sentence: String::new(),
    };
    layout.sentence = sentence(ask, &layout);
    Ok(layout)
}

/// The fewest wires, and the spacing, plumb, in whole steps.
fn count(
    ask: &SpacingAsk,
    widest: Millimetres,
    room: Millimetres,
) -> Result<(u32, Millimetres), MechanicsError> {
    for wires in 1..=MOST_WIRES {
        // Without a bottom height of its own the bottom gap is one more like the others.
        let gaps = wires + u32::from(ask.bottom.is_none());
        let even = room / f64::from(gaps);
        let spacing = up_to_step(even, ask.step);
        let top = room - spacing * f64::from(gaps - 1);
        let fits = spacing.whole_nanometres() <= widest.whole_nanometres();
        if fits && top.whole_nanometres() > ask.diameter.whole_nanometres() / 2.0 {
            return Ok((wires, spacing));
        }
    }
    Err(MechanicsError::NoSpacingRow)
}

fn up_to_step(length: Millimetres, step: Millimetres) -> Millimetres {
    // A length that is whole steps but for rounding stays.
    round(step * (length / step - 1e-9).ceil())
}

fn round(length: Millimetres) -> Millimetres {
    Millimetres(length.whole_nanometres() / 1.0e6)
}

fn sentence(ask: &SpacingAsk, layout: &WireLayout) -> String {
    let range = match (layout.heights.first(), layout.heights.last()) {
        (Some(bottom), Some(top)) if layout.heights.len() > 1 => {
            format!("{} … {}", bottom, top)
        }
        (Some(only), _) => only.to_string(),
        _ => String::new(),
    };
    let square = if ask.slope.value() == 0.0 {
        String::new()
    } else {
        format!(" ({} square)", layout.spacing_square)
    };
    let asks = match (&layout.tension.outcome, layout.tension.read_as) {
        (Outcome::Figure { limit }, Some(read)) => {
            format!("{limit} in bays up to {}", read.post_clear)
        }
        (Outcome::NotAllowed, _) => "not allowed in the widest bay".to_owned(),
        _ => "no figure in a table for the widest bay".to_owned(),
    };
    let next = match layout.tension.wider_spacing.as_ref() {
        Some(next) => match (&next.outcome, next.difference) {
            (Outcome::NotAllowed, _) => format!(" before the {} row, not allowed", next.at),
            (_, Some(more)) => format!(" before the {} row, {more} more", next.at),
            _ => format!(" before the {} row", next.at),
        },
        None => " before the last row's end".to_owned(),
    };
    let next = if layout.tension.read_as.is_some() {
        next
    } else {
        format!(" below {}", layout.row)
    };
    if layout.heights.len() == 1 {
        // One wire has no spacing.
        return format!(
            "1 wire at {range}, {} below the rail: {asks}.",
            layout.top_gap
        );
    }
    format!(
        "{} wires {} apart{square}, at {range}, {} below the rail: {asks}; {} in hand{next}.",
        layout.heights.len(),
        layout.spacing_plumb,
        layout.top_gap,
        layout.in_hand
    )
}
