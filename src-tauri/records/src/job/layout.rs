//! Runs, and the bays between neighbouring posts.

use mechanics::Millimetres;
use mechanics::plausible::fits_positions;

use crate::ids::ItemId;
use crate::job::Reader;
use crate::job::in_run::{PostInRun, name, openings, read_posts};
use crate::job::reader::Fact;
use crate::job::wires::{self, Wire};
use crate::model::context::{BayRead, OpeningRead, Said, Told};
use crate::model::fields;
use crate::model::values::{
    Along, BeforeSecondEnd, Length, Lining, LowSpot, Opening, Rail, Shape, Slope, Surface, Tensions,
};
use crate::subject::{MOST_WIRES, Subject};

/// A post whose section is not known stands up to this much into a bay.
const HALF_A_POST_MM: f64 = 200.0;

/// The clear distance between two neighbouring posts.
#[derive(Clone, Debug, PartialEq)]
pub struct Bay {
    /// The bay as a subject.
    pub subject: Subject,
    /// Left post.
    pub left: ItemId,
    /// Right post.
    pub right: ItemId,
    /// Names of both, "A2–A3".
    pub name: String,
    /// Readings of the clear distance.
    pub readings: Vec<Fact<Length, BayRead>>,
    /// The clear distance: the reading that is the longest along the wire, or what the posts'
    /// positions leave. A table rounds a post distance up, so repeats are never averaged.
    pub clear: Option<Length>,
    /// Whether the clear distance was measured, or follows from positions alone.
    pub measured: bool,
    /// How that reading was taken: level or along the slope.
    pub along: Along,
    /// The lowest floor between the posts, where somebody told it.
    pub low_spot: Fact<LowSpot, Said>,
    /// The longest that anybody tells where people disagree, or what the posts' positions leave where
    /// that is longer and contradicts it, with how it was taken; else the same.
    pub longest: Option<(Length, Along)>,
    /// What the posts' positions leave, level, where it does not go with the clear distance that was
    /// measured: one of the three is not right.
    pub positions: Option<Length>,
}

impl Bay {
    /// Whether the longest is a reading, and not what positions leave.
    #[must_use]
    pub fn is_read(&self) -> bool {
        let left = self.positions.map(|left| (left, Along::Level));
        self.measured && (left.is_none() || self.longest != left)
    }
}

/// A run.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The run.
    pub id: ItemId,
    /// Its name.
    pub name: String,
    /// What it stands on.
    pub surface: Option<Surface>,
    /// Level or raked.
    pub shape: Shape,
    /// Fall beside it, where it is not the job's.
    pub fall: Option<Length>,
    /// Top of the barrier above floor or nosings.
    pub height: Option<Length>,
    /// Slope of a raked run.
    pub slope: Option<Slope>,
    /// Top rail.
    pub rail: Option<Rail>,
    /// Heights of the wires from the bottom, plumb above floor or nosings.
    pub heights: Vec<Length>,
    /// Whether heights are marked from the floor at each post (true) or level from the first post.
    pub follows_floor: Option<bool>,
    /// Whether the rail runs at one height above the floor (true) or level from the first post.
    pub rail_follows_floor: Option<bool>,
    /// Which strand.
    pub strand: Option<ItemId>,
    /// Which fitting set.
    pub fitting_set: Option<ItemId>,
    /// What lines the holes through intermediate posts.
    pub lining: Lining,
    /// The wire that is fitted first.
    pub trial_wire: u32,
    /// The check before the second ends are pressed.
    pub before_second_end: Fact<BeforeSecondEnd, Said>,
    /// The three tensions and the passes.
    pub tensions: Fact<Tensions, Told>,
    /// Openings of the run as a whole.
    pub openings: Vec<(String, Fact<Opening, OpeningRead>)>,
    /// Posts in order.
    pub posts: Vec<PostInRun>,
    /// Bays in order.
    pub bays: Vec<Bay>,
    /// Wires from the bottom.
    pub wires: Vec<Wire>,
}

impl Run {
    /// The subject of the run.
    #[must_use]
    pub fn subject(&self) -> Subject {
        Subject::run(self.id)
    }

    /// The wire with this number.
    #[must_use]
    pub fn wire(&self, number: u32) -> Option<&Wire> {
        self.wires.iter().find(|w| w.number == number)
    }

    /// The two posts at which the wires end, where there are two.
    #[must_use]
    pub fn ends(&self) -> Option<(&PostInRun, &PostInRun)> {
        match (self.posts.first(), self.posts.last()) {
            (Some(a), Some(b)) if a.id != b.id => Some((a, b)),
            _ => None,
        }
    }
}

/// Reads a run's layout.
#[must_use]
pub fn read_run(reader: &Reader<'_>, id: ItemId, posts: &[ItemId]) -> Run {
    let subject = Subject::run(id).to_string();
    let count = reader
        .one(fields::RUN_WIRE_COUNT, &subject, "")
        .shown()
        .and_then(|n| u32::try_from(*n).ok())
        .unwrap_or(0)
        .min(MOST_WIRES);
    let heights: Vec<Length> = reader
        .one(fields::RUN_WIRE_HEIGHTS, &subject, "")
        .shown()
        .map(|h| h.nm.iter().map(|nm| Length { nm: *nm }).collect())
        .unwrap_or_default();
    let posts = read_posts(reader, id, posts);
    let shape = reader
        .value(fields::RUN_SHAPE, &subject)
        .unwrap_or(Shape::Level);
    let slope = reader.value(fields::RUN_SLOPE, &subject);
    let bays = read_bays(reader, &posts, stretch(shape, slope));
    let trial = reader
        .value(fields::RUN_TRIAL_WIRE, &subject)
        .and_then(|n| u32::try_from(n).ok())
        .filter(|n| (1..=count).contains(n));
    Run {
        id,
        name: name(reader.one(fields::RUN_NAME, &subject, "").shown()),
        surface: reader.value(fields::RUN_SURFACE, &subject),
        shape,
        fall: reader.value(fields::RUN_FALL, &subject),
        height: reader.value(fields::RUN_HEIGHT, &subject),
        slope,
        rail: reader.value(fields::RUN_RAIL, &subject),
        heights,
        follows_floor: reader.value(fields::RUN_FOLLOWS_FLOOR, &subject),
        rail_follows_floor: reader.value(fields::RUN_RAIL_FOLLOWS_FLOOR, &subject),
        strand: reader.value(fields::RUN_STRAND, &subject),
        fitting_set: reader.value(fields::RUN_FITTING_SET, &subject),
        lining: reader
            .value(fields::RUN_LINING, &subject)
            .unwrap_or(Lining::Bare),
        trial_wire: trial.unwrap_or_else(|| count.div_ceil(2).max(1)),
        before_second_end: reader.one(fields::RUN_BEFORE_SECOND_END, &subject, ""),
        tensions: reader.one(fields::RUN_TENSIONS, &subject, ""),
        openings: openings(reader, fields::RUN_OPENING, &subject),
        wires: (1..=count)
            .map(|number| wires::read_wire(reader, id, number, &posts))
            .collect(),
        posts,
        bays,
    }
}

/// How much longer a level distance is along the wires: 1 on a level run, and where the slope is not
/// told (then no table is read).
fn stretch(shape: Shape, slope: Option<Slope>) -> f64 {
    match slope.filter(|s| shape == Shape::Raked && s.going_nm > 0) {
        Some(s) => {
            let (rise, going) = (length(s.rise_nm), length(s.going_nm));
            rise.hypot(going) / going
        }
        None => 1.0,
    }
}

fn length(nm: i64) -> f64 {
    Length { nm }.as_mm()
}

fn read_bays(reader: &Reader<'_>, posts: &[PostInRun], stretch: f64) -> Vec<Bay> {
    posts
        .iter()
        .zip(posts.iter().skip(1))
        .map(|(left, right)| {
            let subject = Subject::bay(left.id, right.id);
            let readings = reader.many(fields::BAY_CLEAR, &subject.to_string(), "");
            let agreed = readings.iter().filter(|r| r.value().is_some());
            let read = longest(agreed.flat_map(words), stretch);
            let clear = read.or_else(|| Some((between(left, right)?, Along::Level)));
            // Where people differ on a position, the longest bay that anybody's word leaves counts.
            let apart = left.position.blocks() || right.position.blocks();
            let by_words = most_between(left, right).filter(|_| apart && read.is_none());
            let by_words = by_words.map(|left| (left, Along::Level));
            let disputed = readings.iter().filter(|r| r.blocks());
            let left_over = read.and_then(|read| contradicted(left, right, read, stretch));
            let by_position = left_over.map(|left| (left, Along::Level));
            let all = disputed.flat_map(words).chain(clear).chain(by_position);
            let all = all.chain(by_words);
            Bay {
                subject,
                left: left.id,
                right: right.id,
                name: format!("{}–{}", left.name, right.name),
                clear: clear.map(|(clear, _)| clear),
                measured: read.is_some(),
                low_spot: reader.one(fields::BAY_LOW_SPOT, &subject.to_string(), ""),
                along: clear.map_or(Along::Level, |(_, along)| along),
                longest: longest(all, stretch),
                positions: left_over,
                readings,
            }
        })
        .collect()
}

/// Each word on a clear distance, with how it was taken.
fn words(fact: &Fact<Length, BayRead>) -> impl Iterator<Item = (Length, Along)> {
    fact.tips.iter().filter_map(|told| {
        let along = told.with.as_ref().map_or(Along::Level, |w| w.along);
        Some((told.value?, along))
    })
}

/// The reading that is the longest along the wire.
fn longest(words: impl Iterator<Item = (Length, Along)>, stretch: f64) -> Option<(Length, Along)> {
    words.max_by(|a, b| along_the_wire(a, stretch).total_cmp(&along_the_wire(b, stretch)))
}

fn along_the_wire((read, along): &(Length, Along), stretch: f64) -> f64 {
    match along {
        Along::Level => read.as_mm() * stretch,
        Along::Slope => read.as_mm(),
    }
}

/// The clear distance that positions leave; none where people differ on one of them.
fn between(left: &PostInRun, right: &PostInRun) -> Option<Length> {
    let apart = right.position.value()?.nm - left.position.value()?.nm;
    faces_apart(left, right, apart)
}

/// The longest that anybody's word on the positions leaves.
fn most_between(left: &PostInRun, right: &PostInRun) -> Option<Length> {
    let from = left.position.values().map(|l| l.nm).min()?;
    let to = right.position.values().map(|l| l.nm).max()?;
    faces_apart(left, right, to - from)
}

fn faces_apart(left: &PostInRun, right: &PostInRun, apart: i64) -> Option<Length> {
    let half = |p: &PostInRun| p.section.map_or(0, |s| s.along_nm / 2);
    let clear = apart - half(left) - half(right);
    (clear > 0).then_some(Length { nm: clear })
}

/// What the positions of a bay's posts leave, level, where the clear distance that was read does not
/// go with it.
fn contradicted(
    left: &PostInRun,
    right: &PostInRun,
    read: (Length, Along),
    stretch: f64,
) -> Option<Length> {
    let leave = most_between(left, right)?;
    let unknown = [left, right].iter().filter(|p| p.section.is_none()).count();
    let half = if unknown > 1 {
        2.0
    } else if unknown == 1 {
        1.0
    } else {
        0.0
    };
    let most = leave.as_mm() * stretch;
    let least = most - half * HALF_A_POST_MM * stretch;
    let read = along_the_wire(&read, stretch);
    let of = |mm: f64| Millimetres(mm);
    (!fits_positions(of(read), of(least), of(most))).then_some(leave)
}
