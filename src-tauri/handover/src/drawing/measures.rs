//! Sizes and levels of a run as they are drawn, with what stands in for what is not on record.

use records::job::{PostInRun, Run};
use records::model::values::{End, EndKind, Hand, OpeningKind, Shape as RunShape};

/// Width of a post whose section is not on record.
const UNKNOWN_POST: f64 = 90.0;
/// Height of a run whose height is not on record.
const UNKNOWN_HEIGHT: f64 = 1000.0;

/// The line that heights are measured from: floor or nosings.
pub(super) struct Ground {
    /// Fall to the right per millimetre; negative where the run rises.
    pub(super) fall: f64,
    pub(super) rise: f64,
    pub(super) going: f64,
    pub(super) steps: Option<u32>,
}

impl Ground {
    pub(super) fn of(run: &Run) -> Ground {
        let slope = run.slope.filter(|_| run.shape == RunShape::Raked);
        let (rise, going) = slope.map_or((0.0, 0.0), |s| (mm(s.rise_nm), mm(s.going_nm)));
        let steep = if going > 0.0 { rise / going } else { 0.0 };
        let rising = match (
            run.posts.first().and_then(|p| p.floor),
            run.posts.last().and_then(|p| p.floor),
        ) {
            (Some(a), Some(b)) => b.nm > a.nm,
            _ => false,
        };
        Ground {
            fall: if rising { -steep } else { steep },
            rise,
            going,
            steps: slope.and_then(|s| s.risers),
        }
    }
}

pub(super) fn top_of(run: &Run) -> f64 {
    let rail = run.rail.map(|r| mm(r.underside_nm) + mm(r.thickness_nm));
    let wire = run.heights.iter().map(|h| h.as_mm()).fold(0.0, f64::max);
    let told = run.height.map(|h| h.as_mm()).or(rail);
    told.unwrap_or(UNKNOWN_HEIGHT).max(wire + 20.0)
}

/// Height of a wire above floor or nosings; spread evenly where the layout does not tell.
pub(super) fn height_of(run: &Run, number: u32) -> Option<f64> {
    let index = usize::try_from(number.checked_sub(1)?).ok()?;
    let count = run.wires.len();
    if index >= count {
        return None;
    }
    let told = run.heights.get(index).map(|h| h.as_mm());
    #[allow(clippy::cast_precision_loss)] // at most 200 wires
    let even = top_of(run) * f64::from(number) / (count as f64 + 1.0);
    Some(told.unwrap_or(even))
}

pub(super) fn wall_beside<'a>(post: impl Into<Option<&'a PostInRun>>) -> Option<f64> {
    let openings = &post.into()?.openings;
    openings
        .iter()
        .filter_map(|(_, fact)| fact.told())
        .filter(|told| {
            told.with
                .as_ref()
                .is_some_and(|w| w.kind == OpeningKind::EndPostToWall)
        })
        .filter_map(|told| told.value.as_ref())
        .map(|opening| mm(opening.nm))
        .next_back()
}

pub(super) fn level_at(posts: &[PostInRun], at: f64) -> f64 {
    let mut known = posts.iter().filter(|p| p.floor.is_some());
    let Some(mut before) = known.next() else {
        return 0.0;
    };
    if at <= position(before) {
        return floor(before);
    }
    for post in known {
        let (a, b) = (position(before), position(post));
        if at <= b && b > a {
            let part = (at - a) / (b - a);
            return floor(before) + part * (floor(post) - floor(before));
        }
        before = post;
    }
    floor(before)
}

pub(super) fn end_words(end: &End) -> String {
    let hand = match end.hand {
        Hand::Left => "LH",
        Hand::Right => "RH",
    };
    let kind = match end.kind {
        EndKind::Insert => "insert",
        EndKind::Turnbuckle => "turnbuckle",
        EndKind::FixedEnd => "fixed end",
        EndKind::ThroughBolt => "through-bolt",
        EndKind::WallPlate => "wall plate",
        EndKind::Eye => "eye",
    };
    match end.kind.has_thread() {
        true => format!("{hand} {kind}"),
        false => kind.to_owned(),
    }
}

pub(super) fn position(post: &PostInRun) -> f64 {
    post.position.shown().map_or(0.0, |l| l.as_mm())
}

pub(super) fn width(post: &PostInRun) -> f64 {
    post.section.map_or(UNKNOWN_POST, |s| mm(s.along_nm))
}

pub(super) fn floor(post: &PostInRun) -> f64 {
    post.floor.map_or(0.0, |l| l.as_mm())
}

#[allow(clippy::cast_precision_loss)] // lengths stay far below 2^53 nm
pub(super) fn mm(nm: i64) -> f64 {
    nm as f64 / 1e6
}

/// Millimetres to a tenth, whole ones without a point.
pub(crate) fn number(mm: f64) -> String {
    let text = format!("{mm:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

pub(super) fn signed(mm: f64) -> String {
    let text = number(mm.abs());
    if mm < 0.0 {
        format!("−{text}")
    } else if mm > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}
