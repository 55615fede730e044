//! How far one of two runs that share a post has to move, so that their holes keep wood between.
//!
//! Invariant: a shift told leaves at least the wood asked for between every hole of one run and
//! every hole of the other. Does not say how much wood is enough.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::holes::{BlindHole, HolePair, PostFace, PostPlan, wood_between};
use crate::units::{Degrees, Millimetres};

/// Holes of one run in a post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RunAtPost {
    /// Name of the run.
    pub label: String,
    /// The face its holes enter.
    pub face: PostFace,
    /// Heights of the holes on that face, above one datum for both runs.
    pub heights: Vec<Millimetres>,
    /// Offset from the face's centre line, to the right of someone who looks at it.
    pub offset: Millimetres,
    /// Diameter.
    pub diameter: Millimetres,
    /// Depth along the hole.
    pub depth: Millimetres,
    /// Rise of the holes going in.
    pub rise: Degrees,
}

/// Two runs in one post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StaggerAsk {
    /// The post seen from above.
    pub post: PostPlan,
    /// The run that stays.
    pub stays: RunAtPost,
    /// The run that may move up or down as a whole.
    pub moves: RunAtPost,
    /// Wood to keep between holes; an input with its own origin.
    pub least_wood: Millimetres,
    /// Step in which the run is moved.
    pub step: Millimetres,
    /// Farthest it may move.
    pub most: Millimetres,
}

/// What a way has to clear beside the run that stays as it is asked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AlsoCleared {
    /// Holes of other runs, and of the one that stays where it may enter another face: a way up or down
    /// clears these too.
    pub stand: Vec<RunAtPost>,
    /// What a distance off the middle has to clear, for each side that may be told with it; empty where
    /// none is to be offered.
    pub aside: Vec<AsideCase>,
}

/// Holes as they count once those of the run that moves are put off the middle of their face.
#[derive(Clone, Debug, PartialEq)]
pub struct AsideCase {
    /// The face that is told as the other run's: the holes go away from it.
    pub enters: PostFace,
    /// All holes that may stand in the post then.
    pub stand: Vec<RunAtPost>,
}

/// Holes of two runs that come too close, each with its wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ClosePair {
    /// Wire of the run that stays.
    pub stays: u32,
    /// Wire of the run that may move.
    pub moves: u32,
    /// The pair.
    pub pair: HolePair,
}

/// How far to move.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Stagger {
    /// Pairs that come too close as the heights are.
    pub close: Vec<ClosePair>,
    /// Least way up that clears all pairs, if there is one; zero where none is close.
    pub up: Option<Millimetres>,
    /// Least way down.
    pub down: Option<Millimetres>,
    /// How far off the middle of their face, in all, the holes of the run that moves keep the wood as
    /// high as they are, on the side away from the other run's; told where no way up or down does, or
    /// where it is shorter than both. As much wood stays at the face's edge.
    pub aside: Option<Millimetres>,
    /// One sentence.
    pub sentence: String,
}

/// Least way up and down for the second run.
///
/// # Errors
/// When a size cannot be, both runs have one name, or the step is too fine for the way.
pub fn stagger(ask: &StaggerAsk) -> Result<Stagger, MechanicsError> {
    let aside = vec![AsideCase {
        enters: ask.stays.face,
        stand: vec![ask.stays.clone()],
    }];
    let also = AlsoCleared {
        aside,
        ..AlsoCleared::default()
    };
    stagger_among(ask, &also)
}

/// The same where more holes may stand in the post: a way is told only where it clears all of them.
///
/// # Errors
/// As [`stagger`].
pub fn stagger_among(ask: &StaggerAsk, also: &AlsoCleared) -> Result<Stagger, MechanicsError> {
    if ask.stays.label == ask.moves.label {
        return Err(MechanicsError::NamedTwice {
            what: "run",
            name: ask.moves.label.clone(),
        });
    }
    let step = positive("the step", ask.step)?;
    let most = not_negative("the farthest way", ask.most)?;
    let steps = most / step;
    if steps > 1000.0 {
        return Err(MechanicsError::OutOfRange {
            what: "the number of steps",
            value: steps,
            least: 0.0,
            most: 1000.0,
            unit: "",
        });
    }
    let close = pairs(ask, Millimetres(0.0))?;
    let way = |sign: f64| -> Result<Option<Millimetres>, MechanicsError> {
        let mut moved = Millimetres(0.0);
        // Where these two keep the wood nothing is to be moved for them.
        while moved.whole_nanometres() <= ask.most.whole_nanometres() {
            let own = pairs(ask, moved * sign)?.is_empty();
            if own && (close.is_empty() || all_clear(ask, &also.stand, moved * sign)?) {
                return Ok(Some(moved));
            }
            moved += ask.step;
        }
        Ok(None)
    };
    let (up, down) = (way(1.0)?, way(-1.0)?);
    let shift = [up, down].into_iter().flatten().reduce(Millimetres::min);
    let aside = match close.is_empty() {
        true => None,
        false => aside(ask, also)?,
    };
    // What stands aside already is no way to go.
    let aside = aside.filter(|(off, stood)| shift.is_none_or(|shift| *off - *stood < shift));
    let aside = aside.map(|(off, _)| off);
    let run = &ask.moves.label;
    let words = match (close.is_empty(), up, down) {
        (true, ..) => format!(
            "at least {} of wood stays between all holes",
            ask.least_wood
        ),
        (_, Some(up), Some(down)) => format!("move run {run} {up} up or {down} down"),
        (_, Some(up), None) => format!("move run {run} {up} up"),
        (_, None, Some(down)) => format!("move run {run} {down} down"),
        (_, None, None) if aside.is_some() => {
            format!("no way up or down of up to {} clears them", ask.most)
        }
        (_, None, None) => format!(
            "no way up or down of up to {} clears them{}",
            ask.most,
            no_way_aside(ask, also)?
        ),
    };
    let now = match ask.moves.offset.value() == 0.0 {
        true => String::new(),
        false => format!(" instead of {}", ask.moves.offset.abs()),
    };
    let words = match aside {
        Some(off) => format!(
            "{words}; {off} off the middle of its face{now}, away from the holes of run {}, the holes of run \
             {run} keep the wood as high as they are",
            ask.stays.label
        ),
        None => words,
    };
    let sentence = match close.len() {
        0 => format!("{words}."),
        1 => format!("1 pair of holes comes too close: {words}."),
        n => format!("{n} pairs of holes come too close: {words}."),
    };
    Ok(Stagger {
        close,
        up,
        down,
        aside,
        sentence,
    })
}

/// What is said where the run that moves has no way: the other run's, where that has one off the middle of its face.
fn no_way_aside(ask: &StaggerAsk, also: &AlsoCleared) -> Result<String, MechanicsError> {
    let change = ": change a depth, a face or the post";
    // Where none was looked for nothing is said of it.
    if also.aside.is_empty() {
        return Ok(change.to_owned());
    }
    let (stays, moves) = (&ask.stays, &ask.moves);
    let other = StaggerAsk {
        stays: moves.clone(),
        moves: stays.clone(),
        ..ask.clone()
    };
    let of_other = AlsoCleared {
        stand: Vec::new(),
        aside: vec![AsideCase {
            enters: moves.face,
            stand: vec![moves.clone()],
        }],
    };
    let nor = ", nor does one off the middle of its face";
    // With a third run in the post, or sides that may be either, the other run's own layout tells.
    let alone =
        |stand: &[RunAtPost]| stand.len() <= 1 && stand.iter().all(|run| run.label == stays.label);
    let two = alone(&also.stand) && also.aside.len() == 1;
    let two = two && also.aside.iter().all(|case| alone(&case.stand));
    let way = match two {
        true => aside(&other, &of_other)?,
        false => None,
    };
    Ok(match way {
        Some((off, _)) => format!(
            "{nor}; the holes of run {} keep the wood {off} off the middle of theirs, away from those of run {}: \
             see its layout",
            stays.label, moves.label
        ),
        None => format!(
            "{nor}{change}, or see whether the layout of run {} has a way",
            stays.label
        ),
    })
}

/// Least distance off the middle of the face, away from the face that the other holes enter, that clears all
/// that may stand then, and how much of it stands already; none where both enter the same or opposite faces, or
/// the edge of the face comes too near.
fn aside(
    ask: &StaggerAsk,
    also: &AlsoCleared,
) -> Result<Option<(Millimetres, Millimetres)>, MechanicsError> {
    let cases: Option<Vec<(f64, &AsideCase)>> = also
        .aside
        .iter()
        .map(|case| Some((away(ask.moves.face, case.enters)?, case)))
        .collect();
    let Some(cases) = cases.filter(|cases| !cases.is_empty()) else {
        return Ok(None);
    };
    let face = match ask.moves.face {
        PostFace::Front | PostFace::Back => ask.post.wide,
        PostFace::Right | PostFace::Left => ask.post.deep,
    };
    let most = face / 2.0 - ask.moves.diameter / 2.0 - ask.least_wood;
    // Nobody is to move holes back towards the others.
    let stood = cases.iter().map(|(away, _)| ask.moves.offset * *away);
    let stood = stood.fold(Millimetres(0.0), Millimetres::max);
    let mut off = ask.step * (stood.value() / ask.step.value() - 1e-9).ceil().max(0.0);
    while off.whole_nanometres() <= most.whole_nanometres() {
        let mut clear = true;
        for (away, case) in &cases {
            let mut moved = ask.clone();
            moved.moves.offset = off * *away;
            clear = clear && all_clear(&moved, &case.stand, Millimetres(0.0))?;
        }
        if clear {
            return Ok(Some((off, stood)));
        }
        off += ask.step;
    }
    Ok(None)
}

/// Which way is away from another face, to the right above zero; none from the same or the opposite one.
fn away(own: PostFace, other: PostFace) -> Option<f64> {
    use PostFace::{Back, Front, Left, Right};
    match (own, other) {
        (Front, Right) | (Right, Back) | (Back, Left) | (Left, Front) => Some(-1.0),
        (Front, Left) | (Left, Back) | (Back, Right) | (Right, Front) => Some(1.0),
        _ => None,
    }
}

/// Whether the run that moves keeps the wood to each of these.
fn all_clear(
    ask: &StaggerAsk,
    stand: &[RunAtPost],
    moved: Millimetres,
) -> Result<bool, MechanicsError> {
    for stays in stand {
        let beside = StaggerAsk {
            stays: stays.clone(),
            ..ask.clone()
        };
        if !pairs(&beside, moved)?.is_empty() {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Pairs of one hole of each run that come too close.
fn pairs(ask: &StaggerAsk, moved: Millimetres) -> Result<Vec<ClosePair>, MechanicsError> {
    let stay = holes(&ask.stays, Millimetres(0.0));
    let move_to = holes(&ask.moves, moved);
    let by_label = |holes: &[BlindHole]| -> BTreeMap<String, u32> {
        let labels = holes.iter().map(|hole| hole.label.clone());
        labels.zip(1..).collect()
    };
    let (of_stay, of_moves) = (by_label(&stay), by_label(&move_to));
    let all: Vec<BlindHole> = stay.into_iter().chain(move_to).collect();
    let close = wood_between(ask.post, &all, ask.least_wood)?.into_iter();
    // Of each run one: the one that stays stands first.
    let of_both = |pair: HolePair| {
        let (stays, moves) = (of_stay.get(&pair.first)?, of_moves.get(&pair.second)?);
        Some(ClosePair {
            stays: *stays,
            moves: *moves,
            pair,
        })
    };
    Ok(close.filter_map(of_both).collect())
}

fn holes(run: &RunAtPost, moved: Millimetres) -> Vec<BlindHole> {
    (1_u32..)
        .zip(&run.heights)
        .map(|(wire, height)| BlindHole {
            label: format!("{} wire {wire}", run.label),
            face: run.face,
            height: *height + moved,
            offset: run.offset,
            diameter: run.diameter,
            depth: run.depth,
            rise: run.rise,
        })
        .collect()
}
