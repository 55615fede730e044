//! What a take-off assumed, what it could not count, and what was used up before.

use super::super::convert::{ends_of, fitting_of, terminal_for};
use super::super::words;
use crate::job::{Job, PostInRun, Run, Standing, Wire};
use crate::model::fields;
use crate::model::values::{CutMade, End, EndKind, Hand};
use crate::subject::{ItemKind, Subject};

/// What was assumed of a run's ends and linings, and which of its parts could not be counted.
pub(super) fn of_run(job: &Job<'_>, run: &Run, notes: &mut Vec<String>) {
    if let (Some((first, last)), Some(ends)) = (run.ends(), ends_of(job, run)) {
        for (post, end) in [(first, &ends.first), (last, &ends.last)] {
            notes.extend(end_counted(run, post, end));
        }
        let threaded = [&ends.first, &ends.last]
            .into_iter()
            .any(|end| end.kind.has_thread());
        if let Some(why) = no_terminals(job, run).filter(|_| threaded) {
            notes.push(format!(
                "Run {}: lock nuts are not counted: {why}.",
                run.name
            ));
        } else {
            for (post, end) in [(first, &ends.first), (last, &ends.last)] {
                notes.extend(nuts_untold(job, run, post, end));
            }
        }
    }
    let lining = job
        .reader
        .one(fields::RUN_LINING, &run.subject().to_string(), "");
    if lining.blocks() {
        notes.push(format!(
            "What lines the holes of run {} is disputed: no lining is counted for it.",
            run.name
        ));
    } else if lining.value().is_none() && run.posts.len() > 2 {
        notes.push(format!(
            "What lines the holes of run {} is not told: no lining is counted for it.",
            run.name
        ));
    }
    for wire in &run.wires {
        notes.extend(remade(job, run, wire));
    }
}

/// How an end that does not stand is counted; none where people agree on it.
fn end_counted(run: &Run, post: &PostInRun, end: &End) -> Option<String> {
    let hand = match (end.kind.has_thread(), end.hand) {
        (false, _) => "",
        (true, Hand::Left) => ", LH",
        (true, Hand::Right) => ", RH",
    };
    let seat = if end.angled_seat {
        ", on an angled seat"
    } else {
        ""
    };
    let counted = format!("a {}{hand}{seat}", words::end_kind(end.kind));
    match post.end.standing {
        Standing::Agreed => None,
        Standing::Missing | Standing::Withdrawn => Some(format!(
            "Run {}: the end at post {} is not told and is counted as {counted}. Tell it before \
             anything is ordered.",
            run.name, post.name
        )),
        Standing::Disputed => Some(format!(
            "Run {}: people differ on the end of post {}; it is counted by the oldest word, as \
             {counted}. Settle that before anything is ordered.",
            run.name, post.name
        )),
        Standing::Newer => Some(format!(
            "Run {}: a newer version changed the end of post {}; it is counted as it stood before, as \
             {counted}. Update the program before anything is ordered.",
            run.name, post.name
        )),
    }
}

/// Which small parts of an end are not counted, since the fitting set tells nothing of them.
fn nuts_untold(job: &Job<'_>, run: &Run, post: &PostInRun, end: &End) -> Option<String> {
    if !end.kind.has_thread() {
        return None;
    }
    let terminal = terminal_for(job, run, end.hand)?;
    let bolt = end.kind == EndKind::ThroughBolt;
    let other = terminal.kind != end.kind;
    let (nut, washer) = (
        other || terminal.lock_nut_nm.is_none(),
        bolt && (other || terminal.washer_nm.is_none()),
    );
    let what = match (nut, washer) {
        (true, true) => "its lock nuts and washers",
        (true, false) => "its lock nuts",
        (false, true) => "its washers",
        (false, false) => return None,
    };
    let why = match other {
        true => format!("has {} there", words::an_end(terminal.kind)),
        false => "does not tell their height".to_owned(),
    };
    Some(format!(
        "Run {}, post {}: {what} are not counted for {}: the fitting set {why}.",
        run.name,
        post.name,
        words::an_end(end.kind)
    ))
}

/// Why the terminals of a run are not known.
fn no_terminals(job: &Job<'_>, run: &Run) -> Option<String> {
    let Some(set) = fitting_of(job, run) else {
        let untold = job.reader.untold(fields::RUN_FITTING_SET, &run.subject());
        return Some(format!("the fitting set of run {} {untold}", run.name));
    };
    if set.terminals.is_some() {
        return None;
    }
    let subject = Subject::Item(ItemKind::FittingSet, set.id);
    let untold = match job.reader.blocks(fields::FITTING_TERMINALS, &subject) {
        true => "are disputed or changed by a newer version",
        false => "are not told",
    };
    Some(format!(
        "the terminals of fitting set {} {untold}",
        set.name
    ))
}

/// What a remade wire used up: pieces that were cut before the present one.
fn remade(job: &Job<'_>, run: &Run, wire: &Wire) -> Option<String> {
    let earlier = wire.piece_number.checked_sub(1).filter(|n| *n > 0)?;
    let subject = Subject::Wire(run.id, wire.number).to_string();
    let cut = |piece: u32| -> Option<CutMade> {
        let place = piece.to_string();
        let fact = job.reader.one(fields::WIRE_CUT, &subject, &place);
        fact.value().cloned()
    };
    let lengths: Vec<i64> = (1..=earlier).filter_map(cut).map(|made| made.nm).collect();
    let nm: i64 = lengths.iter().sum();
    let pieces = match lengths.as_slice() {
        [] => String::new(),
        [_] => format!(", {} of strand", words::mm(nm)),
        more => format!(", {} of strand in {} pieces", words::mm(nm), more.len()),
    };
    let times = match earlier {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    };
    Some(format!(
        "Wire {}{} was remade {times}: what went into it before{pieces}, is not counted here.",
        run.name, wire.number
    ))
}
