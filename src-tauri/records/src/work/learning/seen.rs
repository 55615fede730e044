//! What an installer saw at the ends of a wire's piece: thread left, or how far it was out, and why that
//! teaches nothing where it can't be told what it shows.
//!
//! Invariant: what was read before the piece was cut, read apart by two people, or read at two tensions at its
//! two ends is told and asked for again, never learned from.

use mechanics::trial::FITTED_SPREAD;
use mechanics::{Millimetres, Newtons};

use super::fitted::{counted, first_said, usable_thread};
use crate::entry::At;
use crate::ids::Hash;
use crate::job::{Fact, Job, PostInRun, Run, Told, Wire};
use crate::model::context::OnPiece;
use crate::model::values::{Length, Turns};
use crate::work::convert::{ends_of, mn, nm};
use crate::work::cuts::Shared;
use crate::work::repeats::{follows, knew, standing_at};
use crate::work::words;

/// What an installer saw at the ends of a wire.
pub(super) struct Seen {
    pub(super) showing: Millimetres,
    /// Whether it hung as tight as a hand pulls it, not at its tension.
    pub(super) by_hand: bool,
    pub(super) at: At,
    pub(super) words: String,
    pub(super) entries: Vec<Hash>,
    /// Why it teaches nothing, with what to do.
    pub(super) doubt: Option<String>,
}

/// What was seen last: thread left at both ends, or how far the wire is out. `name` is the wire's own.
pub(super) fn seen(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    name: &str,
    shared: &Shared,
) -> Option<Seen> {
    let thread = thread_left(job, run, wire, name, shared);
    let out = out_by(job, wire, name, shared);
    match (thread, out) {
        (Some(thread), Some(out)) if out.at > thread.at => Some(out),
        (None, out) => out,
        (thread, _) => thread,
    }
}

/// Thread left at an end, as it was read last.
struct AtEnd<'a> {
    post: &'a PostInRun,
    told: &'a Told<Length, OnPiece>,
    left: Millimetres,
    at: At,
    /// What people read there apart, neither knowing of the other, where it differs.
    apart: Option<String>,
}

fn thread_left(job: &Job<'_>, run: &Run, wire: &Wire, name: &str, shared: &Shared) -> Option<Seen> {
    let (first, last) = run.ends()?;
    let ends = ends_of(job, run)?;
    // An end without a thread has none to be left.
    let threaded = [(first, &ends.first), (last, &ends.last)]
        .into_iter()
        .filter(|(_, end)| end.kind.has_thread());
    let read: Vec<AtEnd<'_>> = threaded
        .map(|(post, _)| at_end(job, wire, post))
        .collect::<Option<_>>()?;
    let doubt = read
        .iter()
        .find_map(|end| {
            let apart = end.apart.as_ref()?;
            let post = &end.post.name;
            Some(format!(
                "post {post}'s end was read as {apart}: read it again"
            ))
        })
        .or_else(|| {
            let early = read.iter().any(|end| before_cut(job, wire, end.told));
            early.then(|| {
                "its thread was read before it was ticked as cut: read it again".to_owned()
            })
        })
        .or_else(|| two_tensions(job, wire, &read, shared.input.tension));
    Some(Seen {
        showing: read.iter().map(|end| end.left).sum(),
        by_hand: false,
        at: read.iter().map(|end| end.at).max()?,
        words: read_as(job, &read),
        entries: read.iter().map(|end| end.told.id).collect(),
        doubt: doubt.map(|doubt| till_then(name, &doubt)),
    })
}

fn till_then(name: &str, doubt: &str) -> String {
    format!("Wire {name}: {doubt}. Till then it teaches nothing.")
}

/// "thread left A1 LH 9 mm, A6 RH 14.5 mm, read by Ann"; who read which where two did.
fn read_as(job: &Job<'_>, read: &[AtEnd<'_>]) -> String {
    let by = |end: &AtEnd<'_>| job.reader.person(&end.told.person);
    let what = |end: &AtEnd<'_>| {
        let hand = match end.post.end.shown() {
            Some(end) => format!(" {}", words::hand(end.hand)),
            None => String::new(),
        };
        format!("{}{hand} {}", end.post.name, end.left)
    };
    let mut people = read.iter().map(|end| &end.told.person);
    let first = people.next();
    if let Some(one) = read.first().filter(|_| people.all(|p| Some(p) == first)) {
        let all: Vec<String> = read.iter().map(what).collect();
        return format!("thread left {}, read by {}", all.join(", "), by(one));
    }
    let each = read.iter();
    let each = each.map(|end| format!("{}, read by {}", what(end), by(end)));
    format!("thread left {}", each.collect::<Vec<_>>().join(", "))
}

/// The reading that stands at an end of the piece: by the record's order, as everywhere; the newest of those
/// that were read apart.
fn at_end<'a>(job: &Job<'_>, wire: &'a Wire, post: &'a PostInRun) -> Option<AtEnd<'a>> {
    let standing = standing_at(job, &wire.thread_left, &post.id, |told| {
        of_piece(told, wire)
    });
    let newest = standing.iter().filter_map(|fact| fact.told());
    let newest = newest.max_by_key(|told| first_said(job, told));
    let tips = || standing.iter().flat_map(|fact| &fact.tips);
    let told = newest.or_else(|| tips().find(|told| told.value.is_some()))?;
    let lefts: Vec<(Millimetres, &Told<Length, OnPiece>)> = tips()
        .filter_map(|told| Some((nm(told.value?.nm), told)))
        .collect();
    let least = lefts.iter().map(|(left, _)| left.value());
    let (least, most) = least.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), left| {
        (least.min(left), most.max(left))
    });
    let disputed = standing.iter().any(|fact| fact.blocks());
    let apart = (disputed || most - least > FITTED_SPREAD.value()).then(|| {
        let each = lefts.iter();
        let each =
            each.map(|(left, told)| format!("{left} by {}", job.reader.person(&told.person)));
        each.collect::<Vec<_>>().join(" and as ")
    });
    Some(AtEnd {
        post,
        told,
        left: nm(told.value?.nm),
        at: first_said(job, told),
        apart,
    })
}

fn of_piece(told: &Told<Length, OnPiece>, wire: &Wire) -> bool {
    told.value.is_some() && told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
}

/// Whether the piece was cut after it was read, by the record's order.
fn before_cut(job: &Job<'_>, wire: &Wire, read: &Told<Length, OnPiece>) -> bool {
    let cut = wire.cut.told();
    cut.is_some_and(|cut| follows(job, cut, read))
}

/// Less than this share of the set tension between the readings of two ends moves neither by what is read.
const ALIKE: f64 = 0.1;

/// Said where the two ends were read at two tensions of the wire, or it was turned between: then their threads
/// together are those of no tension.
fn two_tensions(job: &Job<'_>, wire: &Wire, read: &[AtEnd<'_>], set: Newtons) -> Option<String> {
    let [one, other] = read else {
        return None;
    };
    let found = between(job, wire, (one, other), set);
    found.or_else(|| between(job, wire, (other, one), set))
}

fn between(
    job: &Job<'_>,
    wire: &Wire,
    (early, late): (&AtEnd<'_>, &AtEnd<'_>),
    set: Newtons,
) -> Option<String> {
    let (first, last) = (&early.post.name, &late.post.name);
    let again = format!("read post {first}'s end again");
    let mut read = counted(wire, wire.piece_number);
    if read.any(|told| after(job, told, early.told) && after(job, late.told, told)) {
        let now = tension_at(job, wire, late)?;
        match tension_at(job, wire, early) {
            None => {
                return Some(format!(
                    "post {last}'s end was read at {now}, post {first}'s before any tension of it was: {again}"
                ));
            }
            Some(then) if (now - then).abs() > set * ALIKE => {
                return Some(format!(
                    "post {last}'s end was read at {now}, post {first}'s at {then}: {again}"
                ));
            }
            Some(_) => {}
        }
    }
    let mut turned = wire.turns.iter().filter_map(|(_, fact)| turned(wire, fact));
    turned
        .any(|told| after(job, told, early.told) && after(job, late.told, told))
        .then(|| {
            format!(
                "it was turned after post {first}'s end was read and before post {last}'s: {again}"
            )
        })
}

/// The tension that the wire was read at last before an end of it was.
fn tension_at(job: &Job<'_>, wire: &Wire, end: &AtEnd<'_>) -> Option<Newtons> {
    let before = counted(wire, wire.piece_number);
    let before = before.filter(|told| after(job, end.told, *told));
    let last = before.max_by_key(|told| first_said(job, told))?;
    last.value.map(|force| mn(force.mn))
}

/// Whether one word came after another: by the record's order, and by the clocks where that tells nothing.
fn after<A, B, C, D>(job: &Job<'_>, new: &Told<A, B>, old: &Told<C, D>) -> bool {
    match (knew(job, new, old), knew(job, old, new)) {
        (true, false) => true,
        (false, true) => false,
        _ => first_said(job, new) > first_said(job, old),
    }
}

/// Turns towards a tension of the piece; none of turns that were only read at its end.
fn turned<'f>(wire: &Wire, fact: &'f Fact<Turns, OnPiece>) -> Option<&'f Told<Turns, OnPiece>> {
    let told = fact.told()?;
    let with = told.with.as_ref()?;
    (with.to_mn.is_some() && with.piece == wire.piece_number).then_some(told)
}

/// Too long by: at both ends the thread is used up and so much wire is still to be taken up. Too
/// short by: the studs end so far before the faces of the posts.
fn out_by(job: &Job<'_>, wire: &Wire, name: &str, shared: &Shared) -> Option<Seen> {
    let is_of =
        |fact: &&Fact<Length, OnPiece>| fact.told().is_some_and(|told| of_piece(told, wire));
    let fact = wire.out_by.iter().rfind(is_of)?;
    let told = fact.told()?;
    let by = nm(told.value?.nm);
    let full = shared.input.left.full_engagement() + shared.input.right.full_engagement();
    let (engaged, words) = if by.value() > 0.0 {
        (full + by, format!("too long by {by}"))
    } else {
        (by, format!("too short by {}", -by))
    };
    let doubt = before_cut(job, wire, told).then(|| {
        format!("it was told as {words} before it was ticked as cut: tell again how far it is out")
    });
    Some(Seen {
        showing: usable_thread(shared) - engaged,
        by_hand: true,
        at: first_said(job, told),
        words,
        entries: vec![told.id],
        doubt: doubt.map(|doubt| till_then(name, &doubt)),
    })
}
