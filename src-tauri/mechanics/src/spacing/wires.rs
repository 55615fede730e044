//! Number and heights of the wires, for each spacing row of the table.
//!
//! Formula: with a rail underside `R`, `n` wires and equal gaps the spacing is `R / (n + 1)`,
//! rounded up to the tape's step; what that takes is missing at the top gap. With a bottom wire at
//! `b` it is `(R − b) / n`. On a rake the table counts square to the wires: plumb × cos.
//! Invariant: the spacing square to the wires stays `in_hand` below the row that it reads, so that this
//! much is left before the next one; the top gap is never wider than the spacing where rail and wires run alike, and no top wire lies in the rail where it comes nearest.
//! One file past 400 lines, since what is asked, the counts that are tried and the sentence go by one another.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::rules::{Outcome, RuleSet, TensionRow, look_up_tension};
use crate::slope;
use crate::strand::Construction;
use crate::units::{Degrees, Millimetres};

/// What layouts keep before the next row where nothing else is said (common practice: one hole at
/// 81 reads the 100 row, so 80 is laid out at 75 to 77).
pub const IN_HAND: Millimetres = Millimetres(4.0);
/// The same for who lays out in inches: an eighth, so that wires 3 in apart are among what is proposed.
pub const IN_HAND_INCHES: Millimetres = Millimetres(25.4 / 8.0);

const MOST_WIRES: u32 = 200;

/// Steps by which a spacing is tried wider than it has to be.
const MOST_STEPS: u32 = 200;

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
    /// Widest spacing wanted, square to the wires: none is wider, whatever row it reads. Where the set has no table
    /// it stands in place of a row, so that what is kept in hand is kept below it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub widest_spacing: Option<Millimetres>,
    /// How much nearer to the wires than by its height the rail comes at a post, plumb: where the floor
    /// rises and one of the two follows it alone.
    #[serde(default)]
    pub rail_nearer: Millimetres,
    /// How far below the rail's underside a wire's middle lies at least, where the rail comes nearer at a post.
    pub below_rail: Millimetres,
    /// How much farther from them it stands at another, plumb.
    #[serde(default)]
    pub rail_farther: Millimetres,
    /// The sphere that must not pass, where the rule set has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sphere: Option<Millimetres>,
}

/// Wires of a run as they could be laid out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct WireLayout {
    /// Spacing that it stays below, square: the row of the table that it reads, or what was wanted.
    pub row: Millimetres,
    /// Heights of the wires' centres, plumb, from the bottom.
    pub heights: Vec<Millimetres>,
    /// Spacing, plumb.
    pub spacing_plumb: Millimetres,
    /// Spacing, square to the wires, as the table counts it.
    pub spacing_square: Millimetres,
    /// In hand before the next row, square.
    pub in_hand: Millimetres,
    /// Top wire's centre to the rail's underside, plumb, by their heights.
    pub top_gap: Millimetres,
    /// Largest opening at rest, square, less the wires: below, between or above them, where the rail
    /// stands farthest.
    pub widest_clear: Millimetres,
    /// What the table asks of the widest bay at this spacing.
    pub tension: TensionRow,
    /// One sentence.
    pub sentence: String,
}

/// Layouts for every row that the table has for this wire, the closest spacing first. A row is left out that
/// no number of wires reads with as much in hand as is asked.
///
/// Rows that the table marks as not allowed for this bay are listed too, and say so.
///
/// # Errors
/// When a length cannot be, the slope is too steep, no row leaves what is wanted in hand, the set has no
/// table and no spacing was wanted, or no wire fits below the rail where it comes nearest.
pub fn lay_out(set: &RuleSet, ask: &SpacingAsk) -> Result<Vec<WireLayout>, MechanicsError> {
    positive("the rail's height", ask.rail_underside)?;
    positive("the strand's diameter", ask.diameter)?;
    positive("the widest bay", ask.widest_bay)?;
    positive("the step of the heights", ask.step)?;
    not_negative("what is kept in hand", ask.in_hand)?;
    let room = ask.rail_underside - ask.bottom.unwrap_or_default();
    if let Some(bottom) = ask.bottom {
        positive("the bottom wire's height", bottom)?;
        positive("the height from the bottom wire to the rail", room)?;
    }
    not_negative("how much nearer the rail comes", ask.rail_nearer)?;
    not_negative("what a wire keeps below the rail", ask.below_rail)?;
    not_negative("how much farther the rail stands", ask.rail_farther)?;
    if !clear_of_rail(ask, room) {
        return Err(MechanicsError::NoRoomBelowRail);
    }
    let mut found = Vec::new();
    let mut closer = None;
    let (rows, widest) = rows(set, ask)?;
    for row in rows {
        let band = Band {
            closer,
            row,
            widest,
        };
        found.extend(one(set, ask, band, room)?);
        closer = Some(row);
    }
    Ok(found)
}

/// Spacings, square to the wires, that read one row.
#[derive(Clone, Copy)]
struct Band {
    /// The row before, which is not read any more; none before the first.
    closer: Option<Millimetres>,
    row: Millimetres,
    /// The widest that was wanted; none beside what is kept before the next row.
    widest: Option<Millimetres>,
}

impl Band {
    /// The widest spacing that keeps what is kept in hand and is no wider than was wanted.
    fn least_of(self, kept: Millimetres) -> Millimetres {
        self.widest.map_or(kept, |wanted| wanted.min(kept))
    }

    /// Whether a spacing, plumb, is past the row before.
    fn reads(self, ask: &SpacingAsk, spacing: Millimetres) -> Result<bool, MechanicsError> {
        let square = slope::square(spacing, ask.slope)?.whole_nanometres();
        Ok(self
            .closer
            .is_none_or(|closer| square > closer.whole_nanometres()))
    }
}

/// The rows that are laid out, and the widest spacing beside what they leave: without a table that is the row.
fn rows(
    set: &RuleSet,
    ask: &SpacingAsk,
) -> Result<(Vec<Millimetres>, Option<Millimetres>), MechanicsError> {
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
        positive("the widest spacing", wanted)?;
        return Ok((vec![wanted], None));
    }
    if let Some(wanted) = ask.widest_spacing {
        positive("the widest spacing", wanted)?;
        // A row is read by what is wider than the one before it.
        let closer = rows.iter().filter(|row| **row < wanted).count();
        rows.truncate(closer + 1);
    }
    Ok((rows, ask.widest_spacing))
}

fn one(
    set: &RuleSet,
    ask: &SpacingAsk,
    band: Band,
    room: Millimetres,
) -> Result<Option<WireLayout>, MechanicsError> {
    let row = band.row;
    let without_table = ask.widest_spacing.filter(|_| band.widest.is_none());
    if without_table.is_some() && row <= ask.in_hand {
        return Err(no_count(ask, band));
    }
    let widest_square = positive(
        "the table's spacing less what is kept in hand",
        row - ask.in_hand,
    )?;
    let widest_square = band.least_of(Millimetres(widest_square));
    let widest = slope::plumb(widest_square, ask.slope)?;
    let (wires, spacing) = match count(ask, band, widest, room) {
        Ok(Some(found)) => found,
        // What fits reads a closer row, which has its own layout.
        Ok(None) | Err(MechanicsError::NoRoomBelowRail) if band.closer.is_some() => {
            return Ok(None);
        }
        Ok(None) => return Err(no_count(ask, band)),
        Err(why) => return Err(why),
    };
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
        above_top(ask, top_gap)?,
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
    Ok(Some(layout))
}

/// Why no number of wires does what was asked.
fn no_count(ask: &SpacingAsk, band: Band) -> MechanicsError {
    let most = MOST_WIRES;
    match (band.widest, ask.widest_spacing) {
        (Some(wanted), _) if wanted < band.row - ask.in_hand => {
            MechanicsError::CloserThanCounts { wanted, most }
        }
        (None, Some(wanted)) => MechanicsError::TooCloseWanted {
            wanted,
            in_hand: ask.in_hand,
            most,
        },
        _ => MechanicsError::NoSpacingRow,
    }
}

/// Clear above the top wire where the rail stands farthest, square.
fn above_top(ask: &SpacingAsk, top_gap: Millimetres) -> Result<Millimetres, MechanicsError> {
    Ok(slope::square(top_gap + ask.rail_farther, ask.slope)? - ask.diameter / 2.0)
}

/// Whether a wire this far below the rail by their heights lies clear of it where it comes nearest.
fn clear_of_rail(ask: &SpacingAsk, top_gap: Millimetres) -> bool {
    let least = top_gap - ask.rail_nearer;
    let keeps = (ask.diameter / 2.0).max(ask.below_rail);
    match ask.rail_nearer.value() > 0.0 {
        true if keeps > ask.diameter / 2.0 => least.whole_nanometres() >= keeps.whole_nanometres(),
        _ => least.whole_nanometres() > ask.diameter.whole_nanometres() / 2.0,
    }
}

/// Gaps of so many wires: without a bottom height of its own the bottom gap is one more like the others.
fn gaps(ask: &SpacingAsk, wires: u32) -> u32 {
    wires + u32::from(ask.bottom.is_none())
}

/// The fewest wires that read this row, and the spacing, plumb, in whole steps; none where no number of wires does.
fn count(
    ask: &SpacingAsk,
    band: Band,
    widest: Millimetres,
    room: Millimetres,
) -> Result<Option<(u32, Millimetres)>, MechanicsError> {
    for wires in 1..=MOST_WIRES {
        let gaps = gaps(ask, wires);
        let spacing = up_to_step(room / f64::from(gaps), ask.step);
        let top = room - spacing * f64::from(gaps - 1);
        let fits = spacing.whole_nanometres() <= widest.whole_nanometres();
        // Closer still no two wires lie beside each other.
        if spacing <= ask.diameter && wires > 1 {
            return Ok(None);
        }
        if fits && !band.reads(ask, spacing)? {
            return Ok(None);
        }
        if fits && top.whole_nanometres() > ask.diameter.whole_nanometres() / 2.0 {
            return match clear_of_rail(ask, top) {
                true => Ok(Some((wires, spacing))),
                false => below_nearest(ask, band, widest, room).map(Some),
            };
        }
    }
    Ok(None)
}

/// The same where that top wire would lie in the rail at a post: the gap where the rail comes nearest is
/// no wider than the spacing. Of the fewest wires and the next two counts the first is taken with which the
/// sphere does not pass where it stands farthest, else the one that leaves the least there.
fn below_nearest(
    ask: &SpacingAsk,
    band: Band,
    widest: Millimetres,
    room: Millimetres,
) -> Result<(u32, Millimetres), MechanicsError> {
    let mut fewest = None;
    let mut closest: Option<(Millimetres, (u32, Millimetres))> = None;
    for wires in 1..=MOST_WIRES {
        if fewest.is_some_and(|few| wires > few + 2) {
            break;
        }
        let gaps = gaps(ask, wires);
        let least = up_to_step((room - ask.rail_nearer) / f64::from(gaps), ask.step);
        for more in 0..MOST_STEPS {
            let spacing = round(least + ask.step * f64::from(more));
            let top = room - spacing * f64::from(gaps - 1);
            let fits = spacing.whole_nanometres() <= widest.whole_nanometres();
            // A wider spacing brings the top wire nearer still.
            if !fits || !clear_of_rail(ask, top) {
                break;
            }
            if !band.reads(ask, spacing)? {
                continue;
            }
            let clear = above_top(ask, top)?.whole_nanometres();
            if ask.sphere.is_none_or(|s| clear < s.whole_nanometres()) {
                return Ok((wires, spacing));
            }
            fewest.get_or_insert(wires);
            if closest.is_none_or(|(gap, _)| top < gap) {
                closest = Some((top, (wires, spacing)));
            }
        }
    }
    let (_, found) = closest.ok_or(MechanicsError::NoRoomBelowRail)?;
    Ok(found)
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
    let alike = ask.rail_nearer.value() == 0.0 && ask.rail_farther.value() == 0.0;
    let below = match alike {
        true => layout.top_gap.to_string(),
        false => format!(
            "{} to {}",
            round(layout.top_gap - ask.rail_nearer),
            round(layout.top_gap + ask.rail_farther)
        ),
    };
    if layout.heights.len() == 1 {
        // One wire has no spacing.
        return format!("1 wire at {range}, {below} below the rail: {asks}.");
    }
    format!(
        "{} wires {} apart{square}, at {range}, {below} below the rail: {asks}; {} in hand{next}.",
        layout.heights.len(),
        layout.spacing_plumb,
        layout.in_hand
    )
}
