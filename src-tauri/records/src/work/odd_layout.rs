//! What to ask about the layout before it is kept: a number of wires that leaves words without a wire,
//! a second run or post of a name, and values that do not go with each other.
//!
//! Changes and refuses nothing: two posts of one name may be, and a wire may be given up.

use std::collections::BTreeSet;

use mechanics::Degrees;
use mechanics::slope::stair_slope;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::basis::{self, Decision};
use super::convert::nm;
use super::off_middle::odd_aside;
use super::problems::wires_without_heights;
use super::shared_post::odd_side;
use super::slips::odd_tops;
use super::to_cut::few_anchors;
use super::{WorkError, words};
use crate::book::Key;
use crate::ids::ItemId;
use crate::job::{Job, Run, reader};
use crate::model::fields;
use crate::model::values::{Length, PostRole, Shape, Slope};
use crate::subject::{ItemKind, Subject, SubjectKind};

/// What to ask about a value of a run or post that is said of `subject`; none where nothing is odd.
#[must_use]
pub fn odd_in_layout(
    job: &Job<'_>,
    subject: &Subject,
    field: &str,
    value: &Value,
) -> Option<String> {
    match (subject, field) {
        (Subject::Item(ItemKind::Run, run), name) if name == fields::RUN_WIRE_COUNT.name => {
            fewer_wires(job, *run, value.as_i64()?)
        }
        (Subject::Item(kind @ (ItemKind::Run | ItemKind::Post), id), "name") => {
            let name = value.as_str()?;
            same_name(job, *kind, *id, name)
                .or_else(|| odd_wire_names(job, *id, name).filter(|_| *kind == ItemKind::Run))
        }
        _ => None,
    }
}

/// Asks where a run would be left without wires, or where something is told of wires that it would
/// have no more.
fn fewer_wires(job: &Job<'_>, run: ItemId, count: i64) -> Option<String> {
    let name = job.run(run).map_or("", |run| run.name.as_str());
    let beyond: BTreeSet<u32> = job
        .reader
        .view
        .keys()
        .filter_map(|(key, _)| match key.subject.parse() {
            Ok(Subject::Wire(of, number)) if of == run => Some(number),
            _ => None,
        })
        .filter(|number| i64::from(*number) > count)
        .collect();
    let told: Vec<u32> = beyond.into_iter().collect();
    if !told.is_empty() {
        return Some(format!(
            "Something is told already of {} of run {name}: with {count} in all it would stand \
             nowhere. Is it right?",
            words::wires(&told)
        ));
    }
    (count == 0).then(|| format!("Run {name} would have no wires at all. Is it right?"))
}

/// Asks where another run or post has the name.
fn same_name(job: &Job<'_>, kind: ItemKind, id: ItemId, name: &str) -> Option<String> {
    let same = |other: &str| other.trim().to_lowercase() == name.trim().to_lowercase();
    let names: Vec<(ItemId, &str)> = match kind {
        ItemKind::Run => job.runs.iter().map(|r| (r.id, r.name.as_str())).collect(),
        _ => job.posts.iter().map(|p| (p.id, p.name.as_str())).collect(),
    };
    let own = names.iter().any(|(of, known)| *of == id && same(known));
    let taken = !own && names.iter().any(|(of, known)| *of != id && same(known));
    let what = match kind {
        ItemKind::Run => SubjectKind::Run,
        _ => SubjectKind::Post,
    };
    taken.then(|| {
        format!(
            "A {} named {} stands in this job already. Is this another one?",
            what.word(),
            crate::photos::visible(name.trim(), 80)
        )
    })
}

/// Asks where a run's new name would give its wires the names of another's. Of a shorter named run whose
/// wires are told and are not as many none has that number.
fn odd_wire_names(job: &Job<'_>, id: ItemId, name: &str) -> Option<String> {
    let own = |run: &Run| run.name.trim() == name.trim();
    if job.run(id).is_some_and(own) {
        return None;
    }
    let meets = |alike: &NamesAlike<'_>| {
        alike.wires == 0 || usize::try_from(alike.number).is_ok_and(|n| n <= alike.wires)
    };
    let alike = names_alike(job, id, name).into_iter().find(meets)?;
    Some(format!(
        "Wire 1 of run {0} would be {0}1, as wire {1} of run {2} is. A name that ends in another letter \
         keeps them apart. Keep it all the same?",
        alike.longer, alike.number, alike.shorter
    ))
}

/// Said of a run whose wires have the names of another's that are there; of the one with the longer name.
pub(super) fn wires_alike(job: &Job<'_>, run: &Run) -> Option<String> {
    let meets = |alike: &NamesAlike<'_>| {
        alike.longer == run.name.trim()
            && !run.wires.is_empty()
            && usize::try_from(alike.number).is_ok_and(|n| n <= alike.wires)
    };
    let all = names_alike(job, run.id, &run.name);
    let alike = all.into_iter().find(meets)?;
    Some(format!(
        "Wire 1 of run {0} and wire {1} of run {2} are both named {0}1, on labels too. Give one of the runs \
         a name that ends in another letter.",
        alike.longer, alike.number, alike.shorter
    ))
}

/// Two runs of which one's name is the other's with figures behind it: wire 1 of run D1 is D11, as wire 11
/// of run D is.
struct NamesAlike<'a> {
    longer: &'a str,
    shorter: &'a str,
    /// The wire of the shorter named run that has the name of the other's first.
    number: u32,
    /// Wires of the shorter named run.
    wires: usize,
}

fn names_alike<'a>(job: &'a Job<'_>, id: ItemId, name: &'a str) -> Vec<NamesAlike<'a>> {
    let name = name.trim();
    let of_id = job.run(id).map_or(0, |run| run.wires.len());
    let others = job.runs.iter().filter(|run| run.id != id);
    let pairs = others.flat_map(|run| {
        let (other, count) = (run.name.trim(), run.wires.len());
        [(name, other, count), (other, name, of_id)]
    });
    let alike = |(longer, shorter, wires): (&'a str, &'a str, usize)| {
        let figures = longer.strip_prefix(shorter)?;
        // No number begins with a nought.
        let all = !figures.starts_with('0') && figures.bytes().all(|b| b.is_ascii_digit());
        let number = format!("{figures}1").parse().ok()?;
        (all && !figures.is_empty()).then_some(NamesAlike {
            longer,
            shorter,
            number,
            wires,
        })
    };
    pairs.filter_map(alike).collect()
}

/// A value that somebody says now, of whatever.
#[derive(Clone, Copy, Debug)]
pub struct SaidNow<'a> {
    /// What it is said of.
    pub subject: Subject,
    /// The field.
    pub field: &'a str,
    /// Its place, empty where it has none.
    pub place: &'a str,
    /// The value.
    pub value: &'a Value,
}

impl SaidNow<'_> {
    fn key(&self) -> Key {
        Key {
            subject: self.subject.to_string(),
            field: self.field.to_owned(),
            place: self.place.to_owned(),
        }
    }

    fn read<T: DeserializeOwned>(&self) -> Option<T> {
        serde_json::from_value(self.value.clone()).ok()
    }
}

/// What to ask about values of one act beside each other and beside what stands: a height that is not
/// its rail's top, a third anchor within a run, a hole that moves towards a wire and not away from
/// another, an end's holes near the edge of their face or on a side that another end contradicts, a figure that
/// released lengths were worked out with.
///
/// # Errors
/// When a figure of a run can't be.
pub fn odd_together(job: &Job<'_>, said: &[SaidNow<'_>]) -> Result<Vec<String>, WorkError> {
    let mut odd = Vec::new();
    let tops = [fields::RUN_HEIGHT.name, fields::RUN_RAIL.name];
    let mut seen = BTreeSet::new();
    for one in said {
        match (one.subject, one.field) {
            (Subject::Item(ItemKind::Run, run), field)
                if tops.contains(&field) && seen.insert(run) =>
            {
                odd.extend(odd_top(job.run(run), one.subject, said)?);
            }
            (Subject::Item(ItemKind::Post, post), field) if field == fields::POST_ROLE.name => {
                odd.extend(third_anchor(job, post, one));
            }
            (Subject::Item(ItemKind::Post, post), field) if field == fields::POST_DRILLED.name => {
                odd.extend(moved_alone(job, post, one, said));
            }
            (Subject::Item(ItemKind::Post, _), field) if field == fields::POST_END.name => {
                odd.extend(odd_aside(job, one, said));
                odd.extend(odd_side(job, one));
            }
            _ => {}
        }
    }
    odd.extend(released_with(job, said));
    Ok(odd)
}

/// Asks where lengths that are released and not cut yet were worked out with figures of a strand or fitting
/// set that change now: several runs may share it, and who corrects it for one has the others out of date.
fn released_with(job: &Job<'_>, said: &[SaidNow<'_>]) -> Option<String> {
    let of_set = |one: &&SaidNow<'_>| {
        matches!(
            one.subject,
            Subject::Item(ItemKind::FittingSet | ItemKind::Strand, _)
        )
    };
    let changed: Vec<Key> = said
        .iter()
        .filter(of_set)
        .map(|one| (one.key(), one.value))
        .filter(|(key, value)| !stands(job, key, value))
        .map(|(key, _)| key)
        .collect();
    let waiting = |run: &Run| {
        let wires = run.wires.iter();
        wires
            .filter(|w| w.issued.value().is_some() && !w.is_cut())
            .count()
    };
    let (mut names, mut what, mut count) = (Vec::new(), BTreeSet::new(), 0);
    for run in &job.runs {
        let uses = basis::keys(job, Decision::Cut(run));
        let used = changed.iter().filter(|key| uses.contains(key));
        let used: Vec<String> = used
            .map(|key| words::field(&key.subject, &key.field))
            .collect();
        let wires = waiting(run);
        if wires > 0 && !used.is_empty() {
            names.push(run.name.as_str());
            what.extend(used);
            count += wires;
        }
    }
    let what: Vec<String> = what.into_iter().collect();
    (count > 0).then(|| {
        format!(
            "{count} released {} of run {} {} worked out with another {}, and {} out of date with this one. \
             Keep it all the same?",
            if count == 1 { "length" } else { "lengths" },
            names.join(" and "),
            if count == 1 { "was" } else { "were" },
            what.join(" and "),
            if count == 1 { "is" } else { "are" },
        )
    })
}

/// Whether this very value stands already, and no other beside it.
fn stands(job: &Job<'_>, key: &Key, value: &Value) -> bool {
    let state = job.reader.view.key(key);
    let tips = state
        .iter()
        .flat_map(|s| &s.lines)
        .flat_map(|line| &line.tips);
    let mut said = tips
        .filter_map(|id| job.reader.view.entry(id))
        .map(|entry| reader::said(entry, key).0)
        .peekable();
    said.peek().is_some() && said.all(|told| told == Some(value))
}

/// Asks where a run's height and its rail's top contradict each other; `run` is what stands of it.
fn odd_top(
    run: Option<&Run>,
    subject: Subject,
    said: &[SaidNow<'_>],
) -> Result<Option<String>, WorkError> {
    let now = |field: &str| {
        said.iter()
            .find(|s| s.subject == subject && s.field == field)
    };
    let height = match now(fields::RUN_HEIGHT.name) {
        Some(said) => said.read(),
        None => run.and_then(|r| r.height),
    };
    let rail = match now(fields::RUN_RAIL.name) {
        Some(said) => said.read(),
        None => run.and_then(|r| r.rail),
    };
    let shape = now(fields::RUN_SHAPE.name).and_then(SaidNow::read);
    let shape = shape.or_else(|| run.map(|r| r.shape));
    let told: Option<Slope> = now(fields::RUN_SLOPE.name).and_then(SaidNow::read);
    let slope = match told
        .or_else(|| run?.slope)
        .filter(|_| shape == Some(Shape::Raked))
    {
        Some(slope) => stair_slope(nm(slope.rise_nm), nm(slope.going_nm))?,
        None if shape == Some(Shape::Raked) => return Ok(None),
        None => Degrees(0.0),
    };
    let odd = odd_tops(height, rail, slope)?;
    Ok(odd.map(|odd| format!("{odd} Is it right?")))
}

/// Asks where a post within a run that has its two anchors would be another one.
fn third_anchor(job: &Job<'_>, post: ItemId, said: &SaidNow<'_>) -> Option<String> {
    let run = job.runs.iter().find(|r| r.id.to_string() == said.place)?;
    let (first, last) = run.ends()?;
    let at = run.posts.iter().position(|p| p.id == post)?;
    let inner = at > 0 && at + 1 < run.posts.len();
    let anchor = said.read() == Some(PostRole::Anchor);
    let was = run.posts.get(at)?.role == PostRole::Anchor;
    (inner && anchor && !was).then(|| {
        format!(
            "Post {} would be an anchor within run {}, whose wires end at {} and {}. Is it right?",
            run.posts.get(at).map_or("", |p| p.name.as_str()),
            run.name,
            first.name,
            last.name
        )
    })
}

/// How much less a distance may be read anew unasked, in nanometres: two readings of one gap.
const READ_AGAIN: i64 = 3_000_000;

/// Asks where a gap as drilled gets narrower than what stands and neither gap beside it gets wider: a
/// hole that moves changes both.
fn moved_alone(
    job: &Job<'_>,
    post: ItemId,
    said: &SaidNow<'_>,
    all: &[SaidNow<'_>],
) -> Option<String> {
    let (run, wire) = said.place.split_once('/')?;
    let wire: u32 = wire.parse().ok()?;
    let of = job.runs.iter().find(|r| r.id.to_string() == run)?;
    let drilled = &of.posts.iter().find(|p| p.id == post)?.drilled;
    let stood = |wire: u32| drilled.get(&wire)?.values().map(|l| l.nm).max();
    let (now, was): (Length, i64) = (said.read()?, stood(wire)?);
    if now.nm >= was - READ_AGAIN {
        return None;
    }
    let planned = |wire: u32| {
        let below = of
            .heights
            .get(usize::try_from(wire.checked_sub(1)?).ok()?)?;
        let above = of.heights.get(usize::try_from(wire).ok()?)?;
        Some(above.nm - below.nm)
    };
    let wider = |beside: u32| {
        let place = format!("{run}/{beside}");
        let told = |s: &&SaidNow<'_>| {
            s.subject == said.subject && s.field == said.field && s.place == place
        };
        let told = all.iter().find(told).and_then(SaidNow::read);
        match (told, stood(beside)) {
            (Some(Length { nm }), before) => Some(nm) > before.or_else(|| planned(beside)),
            (None, before) => before > planned(beside),
        }
    };
    let beside = [wire.checked_sub(1), wire.checked_add(1)];
    (!beside.into_iter().flatten().any(wider)).then(|| {
        format!(
            "Wire {wire} to wire {} is told as {} now and was {}: a hole that moves makes the gap beside \
             it wider, and none is told so. Was it read rightly?",
            wire + 1,
            super::words::mm(now.nm),
            super::words::mm(was)
        )
    })
}

/// What keeps a run from being cut that its layout tells: fewer than two anchors, wires without heights.
#[must_use]
pub fn unfit(run: &Run) -> Vec<String> {
    let all = [few_anchors(run), wires_without_heights(run)];
    all.into_iter().flatten().collect()
}
