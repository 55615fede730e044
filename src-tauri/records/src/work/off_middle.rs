//! Holes of a run's end off the middle of their face, held against the edge of that face.
//!
//! Invariant: what breaks out of the face or lies beside the post is refused where it is said; what leaves
//! less wood to the edge than is wanted between holes is asked about and kept on a yes. How much wood is
//! enough is not judged. Where no hole size is told its middle alone is held against the edge.

use mechanics::Millimetres;
use serde_json::Value;

use super::convert::{mm, nm, slope_of, terminal_for};
use super::drilling::{aside, drilling, holed};
use super::odd_layout::SaidNow;
use super::shared_post::least_wood;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::{End, Length, Section};
use crate::subject::{ItemKind, Subject};

/// Farthest off the middle where the post's section is not told: half of a post as wide as they come.
const MOST_UNTOLD: Millimetres = Millimetres(150.0);

/// An end that is said, with what its holes are held against.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HolesSaid<'a> {
    /// Name of the post.
    pub(crate) post: &'a str,
    /// Its section; none where it is not told.
    pub(crate) section: Option<Section>,
    /// Diameter of the end's holes; none where the fitting set does not tell it.
    pub(crate) hole: Option<Length>,
    /// The end.
    pub(crate) end: End,
}

/// What is the matter with holes off the middle of their face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum OffMiddle {
    /// They can't be there: what is wrong and what to do.
    CantBe(String),
    /// Little wood stays to the edge: the same as the beginning of a sentence.
    LittleWood(String),
}

/// What is the matter with the holes of an end; none where they stand in the middle or far enough from
/// the edge.
#[must_use]
pub(crate) fn off_middle(job: &Job<'_>, said: &HolesSaid<'_>) -> Option<OffMiddle> {
    let off = nm(said.end.aside_nm.filter(|_| holed(&said.end))?).abs();
    let post = said.post;
    let Some(section) = said.section else {
        return (off > MOST_UNTOLD).then(|| {
            OffMiddle::CantBe(format!(
                "{off} off the middle is beside post {post} as posts usually are, and its cross section is \
                 not told. Is the unit right? Else tell the section first."
            ))
        });
    };
    let (face, hole) = (nm(section.across_nm), said.hole.map(mm));
    let half = hole.map_or(Millimetres(0.0), |hole| hole / 2.0);
    let wood = face / 2.0 - off - half;
    let wanted = least_wood(job);
    if off.value() <= 0.0 || wood >= wanted {
        return None;
    }
    let most = face / 2.0 - half - wanted;
    let less = match most.value() > 0.0 {
        true => format!("Up to {most} leaves {wanted} of wood at the edge"),
        false => "Leave them in the middle".to_owned(),
    };
    if face / 2.0 <= off {
        return Some(OffMiddle::CantBe(format!(
            "{off} off the middle is beside post {post}, whose face is {face} wide. Is the unit right? {less}."
        )));
    }
    let what = hole.map_or_else(|| "a hole".to_owned(), |hole| format!("a hole of {hole}"));
    Some(match wood.value() > 0.0 {
        true => OffMiddle::LittleWood(format!(
            "{off} off the middle {what} leaves {wood} of wood to the edge of the face of post {post}, and \
             between holes {wanted} is wanted"
        )),
        false => OffMiddle::CantBe(format!(
            "{off} off the middle {what} breaks out of the face of post {post}, which is {face} wide. {less}."
        )),
    })
}

/// Why an end that is said can't have its holes there; none where all can.
#[must_use]
pub fn off_the_face(job: &Job<'_>, said: &[SaidNow<'_>]) -> Option<String> {
    said.iter().find_map(|one| match of_end(job, one, said)? {
        OffMiddle::CantBe(why) => Some(why),
        OffMiddle::LittleWood(_) => None,
    })
}

/// What to ask about an end that is said: little wood to the edge of the face.
pub(super) fn odd_aside(job: &Job<'_>, one: &SaidNow<'_>, said: &[SaidNow<'_>]) -> Option<String> {
    match of_end(job, one, said)? {
        OffMiddle::LittleWood(doubt) => Some(format!("{doubt}. Is it right?")),
        OffMiddle::CantBe(_) => None,
    }
}

/// The same of a claim, beside what the act says of the post's section.
fn of_end(job: &Job<'_>, one: &SaidNow<'_>, said: &[SaidNow<'_>]) -> Option<OffMiddle> {
    let Subject::Item(ItemKind::Post, id) = one.subject else {
        return None;
    };
    if one.field != fields::POST_END.name {
        return None;
    }
    let end: End = serde_json::from_value(one.value.clone()).ok()?;
    let now = |field: &str| -> Option<&Value> {
        let mut all = said.iter();
        let found = all.find(|s| s.subject == one.subject && s.field == field);
        found.map(|s| s.value)
    };
    let (stands, run) = (
        job.post(id),
        job.runs.iter().find(|r| r.id.to_string() == one.place),
    );
    let section = match now(fields::POST_SECTION.name) {
        Some(told) => serde_json::from_value(told.clone()).ok(),
        None => stands.and_then(|post| post.section),
    };
    let name = now(fields::POST_NAME.name).and_then(Value::as_str);
    let named = name.or_else(|| stands.map(|post| post.name.as_str()));
    off_middle(
        job,
        &HolesSaid {
            post: named.unwrap_or_default(),
            section,
            hole: run.and_then(|run| hole_of(job, run, &end)),
            end,
        },
    )
}

/// Diameter of the holes of an end, where the run's fitting set has such an end and tells it.
fn hole_of(job: &Job<'_>, run: &Run, end: &End) -> Option<Length> {
    let terminal = terminal_for(job, run, end.hand).filter(|of| of.kind == end.kind)?;
    terminal.told("holeNm").map(|nm| Length { nm })
}

/// Wood between the holes of a run's end and the edge of their face; none where they stand in the middle, or
/// their size or the post's section is not told. Nothing or less where they break out.
pub(super) fn to_the_edge(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<Millimetres> {
    use mechanics::holes::Drilling;
    let off = aside(job, run, post).abs();
    let diameter = match drilling(job, run, post)? {
        Drilling::Insert { diameter, .. } | Drilling::Through { diameter } => diameter,
    };
    let face = nm(post.section?.across_nm);
    (off.value() > 0.0).then(|| face / 2.0 - off - diameter / 2.0)
}

/// What does not fit of holes off the middle at a run's end as recorded, in a sentence that says what to do.
pub(super) fn problem(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<String> {
    let end = super::convert::end_at(job, run, post.id)?;
    let said = HolesSaid {
        post: &post.name,
        section: post.section,
        hole: hole_of(job, run, &end),
        end,
    };
    Some(match off_middle(job, &said)? {
        OffMiddle::CantBe(why) => format!("Run {}: {why} Correct its end there.", run.name),
        OffMiddle::LittleWood(doubt) => format!(
            "Run {}: {doubt}. Put them nearer to the middle, or ask who answers for the post.",
            run.name
        ),
    })
}

/// What to say where the holes into a run's end post reach through it: deeper than the post is along them.
pub(super) fn too_deep(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<String> {
    use mechanics::holes::Drilling;
    let Drilling::Insert { depth, .. } = drilling(job, run, post)? else {
        return None;
    };
    let along = nm(post.section?.along_nm);
    let level = slope_of(run).ok()?.radians().cos();
    (depth * level >= along).then(|| {
        format!(
            "Run {}: its holes into post {} are {depth} deep, and the post is {along} along them: they come out on \
             the far side. Correct the depth in the fitting set, or the post's section.",
            run.name, post.name
        )
    })
}
