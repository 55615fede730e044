//! Evidence about one run: as built, crimps, engagement, tension, openings, heights, views.
//! One file past 400 lines, since all of it is one list in the order of the document.

use mechanics::rules::NoteAbout;

use super::Lack;
use super::ask::{Asking, COMMON_PRACTICE, Item, of_run, settle};
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::values::{Evidence, Shape, Stage, Surface};
use crate::work::as_built::{openings_of_post, openings_of_run, too_large};
use crate::work::checked::{
    crimp_is_doubted, crimp_is_good, crimp_is_unsampled, end_out, mark_is_hidden, most_end_out,
    nut_is_tight, thread_left,
};
use crate::work::convert::end_at;
use crate::work::look::{not_ticked, pressed_unseen};
use crate::work::odd_ends::thin_at;
use crate::work::offered::Offered;
use crate::work::ordering::{
    Finding, Topic, Verdict, before_ordering, named_opening, probe_passed,
};
use crate::work::progress::BayGaps;
use crate::work::readings::{DeflectionCheck, ReadingState, TensionLine, Tensions, tensions};
use crate::work::rules::rules;
use crate::work::{WorkError, words};

pub(super) fn items(job: &Job<'_>, run: &Run, asking: &Asking) -> Result<Vec<Lack>, WorkError> {
    let readings = tensions(job, run.id)?;
    let template = match run.shape {
        Shape::Level => "template check",
        Shape::Raked => "template check, both faces",
    };
    let mut found = as_built(run);
    found.push(crimps(job, run));
    found.push(picture(
        job,
        run,
        "templateCheck",
        7,
        template,
        Evidence::TemplateCheck,
        1,
    ));
    found.push(engagement(job, run));
    found.push(before_second_end(job, run));
    found.push(lock_nuts(job, run));
    found.push(wire_ends(job, run).asked_by(asking.said_on(NoteAbout::WireEnd)));
    found.push(threads_left(job, run));
    found.extend(tension(job, run, asking, &readings));
    found.push(gap_checks(job, run)?.asked_by(asking.rule()));
    found.extend(openings(job, run)?.map(|i| i.asked_by(asking.rule())));
    found.extend(unmeasured(job, run).map(|i| i.asked_by(asking.rule())));
    found.push(picture(
        job,
        run,
        "openingPicture",
        10,
        "opening with the probe in frame",
        Evidence::Opening,
        1,
    ));
    found.push(picture(
        job,
        run,
        "height",
        11,
        "height with the tape at floor or nosing",
        Evidence::Height,
        1,
    ));
    if run.surface == Some(Surface::Stair) {
        let handrail = picture(job, run, "handrail", 11, "handrail", Evidence::Handrail, 1);
        found.push(handrail.asked_by(asking.said_on(NoteAbout::Handrail)));
    }
    found.push(picture(
        job,
        run,
        "wideView",
        12,
        "wide view from both sides",
        Evidence::WideView,
        2,
    ));
    found.push(picture(
        job,
        run,
        "endPost",
        12,
        "end posts close",
        Evidence::EndPost,
        2,
    ));
    found.push(recheck(run, &readings));
    Ok(found.into_iter().map(|i| settle(job, i)).collect())
}

/// A run of which nothing can be told, since a figure of it can't be.
pub(super) fn wrong(job: &Job<'_>, run: &Run, why: &WorkError) -> Lack {
    let base = item(run, "figures", 2, "figures that can be worked with");
    settle(job, base.there(false, format!("{why}. Correct it")))
}

fn item(run: &Run, key: &str, section: u32, name: &str) -> Item {
    Item::new(
        format!("{key}/{}", run.id),
        section,
        format!("Run {}: {name}", run.name),
        run.subject(),
    )
}

fn picture(
    job: &Job<'_>,
    run: &Run,
    key: &str,
    section: u32,
    name: &str,
    evidence: Evidence,
    needed: usize,
) -> Item {
    item(run, key, section, name).pictured(job, evidence, needed, of_run(run))
}

fn as_built(run: &Run) -> Vec<Item> {
    let unmeasured: Vec<&str> = run
        .bays
        .iter()
        .filter(|b| !b.measured)
        .map(|b| b.name.as_str())
        .collect();
    let no_floor: Vec<&str> = run
        .posts
        .iter()
        .filter(|p| p.floor.is_none())
        .map(|p| p.name.as_str())
        .collect();
    let said = |missing: &[&str], what: &str| {
        if missing.is_empty() {
            "measured".to_owned()
        } else {
            format!("{what}: {}", missing.join(", "))
        }
    };
    vec![
        item(run, "bays", 2, "bays as built").there(
            unmeasured.is_empty() && !run.bays.is_empty(),
            said(&unmeasured, "not measured"),
        ),
        item(run, "floorLevels", 2, "floor levels at the posts")
            .there(no_floor.is_empty(), said(&no_floor, "not told")),
    ]
}

fn numbers(run: &Run, lacking: impl Fn(&Wire) -> bool) -> Vec<u32> {
    run.wires
        .iter()
        .filter(|w| lacking(w))
        .map(|w| w.number)
        .collect()
}

fn wires_there(item: Item, run: &Run, lacking: &[u32], good: &str, bad: &str) -> Item {
    item.there(
        lacking.is_empty() && !run.wires.is_empty(),
        if lacking.is_empty() {
            good.to_owned()
        } else {
            format!("{bad}: wires {}", words::ranges(lacking))
        },
    )
}

/// Numbers of the wires of which an end is not as it should be; all where there are no two ends.
fn at_both_ends(run: &Run, good: impl Fn(&Wire, ItemId) -> bool) -> Vec<u32> {
    numbers(run, |wire| {
        run.ends()
            .is_none_or(|(a, b)| !good(wire, a.id) || !good(wire, b.id))
    })
}

fn crimps(job: &Job<'_>, run: &Run) -> Item {
    let lacking = at_both_ends(run, |wire, end| crimp_is_good(job, wire, end));
    let base = item(run, "crimps", 6, "crimps of both ends checked");
    let unsampled = numbers(run, |wire| crimp_is_unsampled(job, wire));
    if lacking.is_empty() && !unsampled.is_empty() {
        let bad = "good, and no sample crimp that stands is referred to";
        return wires_there(base, run, &unsampled, "", bad);
    }
    let doubted = numbers(run, |wire| crimp_is_doubted(job, wire));
    let bad = if doubted.is_empty() {
        "not checked or rejected".to_owned()
    } else {
        format!(
            "a failed sample puts wires {} in doubt; not checked, rejected or in doubt",
            words::ranges(&doubted)
        )
    };
    wires_there(base, run, &lacking, "all good", &bad)
}

fn before_second_end(job: &Job<'_>, run: &Run) -> Item {
    let base = item(
        run,
        "beforeSecondEnd",
        8,
        "looked at before the second ends",
    );
    if run.before_second_end.value().is_none() {
        return base.there(false, "not told");
    }
    let open = not_ticked(job, run);
    if !open.is_empty() {
        return base.there(false, format!("not told, or not so: {}", open.join(", ")));
    }
    let unseen = pressed_unseen(job, run);
    match unseen.as_slice() {
        [] => base.there(true, "all of it"),
        [one] => base.there(false, format!("not before wire {one} was pressed")),
        many => {
            let many = words::ranges(many);
            base.there(false, format!("not before wires {many} were pressed"))
        }
    }
}

fn lock_nuts(job: &Job<'_>, run: &Run) -> Item {
    let lacking = at_both_ends(run, |wire, end| {
        no_thread(job, run, end) || nut_is_tight(job, wire, end)
    });
    let base = item(run, "lockNuts", 8, "lock nuts tight at both ends");
    wires_there(
        base,
        run,
        &lacking,
        "tight at every end",
        "not told or loose",
    )
}

fn wire_ends(job: &Job<'_>, run: &Run) -> Item {
    let most = most_end_out(job, run);
    // Without a diameter it is told, and a person has to judge it.
    let lacking = at_both_ends(run, |wire, end| {
        end_out(job, wire, end).is_some_and(|out| most.is_none_or(|most| out <= most))
    });
    let base = item(
        run,
        "wireEnds",
        8,
        "wire ends out of the swage at most half a diameter",
    );
    wires_there(base, run, &lacking, "told at every end", "not told or more")
}

/// What is left to turn later, read at each end when the job is handed over.
fn threads_left(job: &Job<'_>, run: &Run) -> Item {
    let base = item(run, "threadLeft", 8, "thread left at each end at handover");
    let thin = numbers(run, |wire| !thin_at(job, run, wire).is_empty());
    if !thin.is_empty() {
        let bad = "too little engaged, or no room for the lock nut";
        return wires_there(base, run, &thin, "", bad);
    }
    let lacking = at_both_ends(run, |wire, end| {
        no_thread(job, run, end) || !thread_left(job, wire, end).is_empty()
    });
    wires_there(
        base,
        run,
        &lacking,
        "read at every end",
        "not read at both ends",
    )
}

/// Whether an end has no thread, as told or as the fitting set has it: nothing engages there and nothing is
/// left to turn.
fn no_thread(job: &Job<'_>, run: &Run, end: ItemId) -> bool {
    end_at(job, run, end).is_some_and(|there| !there.kind.has_thread())
}

fn engagement(job: &Job<'_>, run: &Run) -> Item {
    let lacking = at_both_ends(run, |wire, end| {
        no_thread(job, run, end) || mark_is_hidden(job, wire, end)
    });
    let name = match run.ends() {
        Some((a, b)) if no_thread(job, run, a.id) != no_thread(job, run, b.id) => {
            "engagement mark hidden at the end that has a thread"
        }
        _ => "engagement mark hidden at both ends",
    };
    let base = item(run, "engagement", 8, name);
    wires_there(
        base,
        run,
        &lacking,
        "hidden at every end",
        "not told or showing",
    )
}

fn tension(job: &Job<'_>, run: &Run, asking: &Asking, readings: &Tensions) -> Vec<Item> {
    let open: Vec<u32> = readings
        .lines
        .iter()
        .filter(|l| !l.is_held())
        .map(|l| l.wire)
        .collect();
    let asked_by = if asking.has_wire_table {
        asking.rule()
    } else {
        COMMON_PRACTICE.to_owned()
    };
    let base = item(run, "tension", 9, "tension of every wire").asked_by(asked_by.clone());
    let read = wires_there(base, run, &open, "read, none below", "not read or below");
    let read = beside_moved(beside_widest(read, readings), readings);
    let mut found = vec![beside_open_bays(read, readings)];
    found.extend(other_bays(run, readings));
    found.push(picture(
        job,
        run,
        "gaugeOnWire",
        9,
        "gauge on a wire, its label in frame",
        Evidence::GaugeOnWire,
        1,
    ));
    if asking.has_deflection_table {
        let (there, detail) = hung_mass(readings);
        found.push(
            item(run, "massCheck", 9, "a hung mass with its deflection").there(there, detail),
        );
        found.push(picture(
            job,
            run,
            "massCheckPicture",
            9,
            "hung mass with the ruler",
            Evidence::MassCheck,
            1,
        ));
    }
    found
}

/// Without the widest bay nothing is shown: the table's row rests on it.
fn beside_widest(item: Item, readings: &Tensions) -> Item {
    let Some(widest) = readings.to_read.first() else {
        return item;
    };
    let unread = readings.unread_bays(|_| true);
    let Some((bay, wires)) = unread.iter().find(|(bay, _)| bay == widest) else {
        return item;
    };
    let detail = format!(
        "{}; bay {bay} not read on wire {}",
        item.detail,
        words::ranges(wires)
    );
    item.there(false, detail)
}

/// What a wire showed before others were turned or brought up shows nothing of what it has now.
fn beside_moved(item: Item, readings: &Tensions) -> Item {
    let lines = readings.lines.iter().filter(|l| l.is_to_read_again());
    let wires: Vec<u32> = lines.map(|l| l.wire).collect();
    if wires.is_empty() {
        return item;
    }
    let detail = format!(
        "{}; to be read again: {}",
        item.detail,
        words::wires(&wires)
    );
    item.there(false, detail)
}

/// Readings in the bays that are to be read beside the widest: the one furthest from the tensioner.
fn other_bays(run: &Run, readings: &Tensions) -> Option<Item> {
    let bays = readings.to_read.get(1..).filter(|bays| !bays.is_empty())?;
    let unread: Vec<String> = bays
        .iter()
        .filter_map(|bay| {
            let open = |l: &&TensionLine| !l.is_read() || l.not_read.contains(bay);
            let wires: Vec<u32> = readings.lines.iter().filter(open).map(|l| l.wire).collect();
            let named = words::ranges(&wires);
            (!wires.is_empty()).then(|| format!("bay {bay} not read on wire {named}"))
        })
        .collect();
    let name = "tension in the bay furthest from the tensioner";
    let detail = if unread.is_empty() {
        "read on every wire".to_owned()
    } else {
        unread.join("; ")
    };
    let there = unread.is_empty() && !run.wires.is_empty();
    Some(item(run, "farBay", 9, name).there(there, detail))
}

/// A reading answers for no bay that the table has no figure for.
fn beside_open_bays(item: Item, readings: &Tensions) -> Item {
    if readings.open_bays.is_empty() {
        return item;
    }
    let bays: Vec<&str> = readings.open_bays.iter().map(|b| b.name.as_str()).collect();
    let detail = format!(
        "{}; the table has no figure for bay {}, so that no reading answers for it",
        item.detail,
        bays.join(", ")
    );
    item.there(false, detail)
}

/// Whether a hung mass is on record that is held against the table, and none of them is over.
fn hung_mass(readings: &Tensions) -> (bool, String) {
    // What a later one took the place of, and what hung on a wire's way up, says nothing now.
    let stands = |d: &&DeflectionCheck| !d.replaced && d.stage != Stage::Pass;
    let of_lines = readings.lines.iter().flat_map(|l| &l.deflections);
    let all = || of_lines.clone().filter(stands);
    let bays = |of: Vec<&DeflectionCheck>| {
        let mut names: Vec<&str> = of.iter().map(|d| d.bay_name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        names.join(", ")
    };
    let sags: Vec<&DeflectionCheck> = readings
        .lines
        .iter()
        .flat_map(TensionLine::sagging)
        .collect();
    if !sags.is_empty() {
        let detail = format!("more than the table lets it be in bay {}", bays(sags));
        return (false, detail);
    }
    if all().any(DeflectionCheck::is_within) {
        return (true, "on record".to_owned());
    }
    let over: Vec<&DeflectionCheck> = all().filter(|d| d.is_over()).collect();
    if !over.is_empty() {
        let detail = format!(
            "none within the table: over it in bay {}, and not hung there again since a gauge showed it clear",
            bays(over)
        );
        return (false, detail);
    }
    match all().next() {
        None => (false, "not on record".to_owned()),
        Some(one) => (
            false,
            format!("none that can be held against the table: {}", one.sentence),
        ),
    }
}

fn gap_checks(job: &Job<'_>, run: &Run) -> Result<Item, WorkError> {
    let offered = Offered::of(job, run)?;
    let mut open: Vec<&str> = Vec::new();
    let mut again: Vec<(String, Vec<&str>)> = Vec::new();
    for bay in &run.bays {
        let found = offered.bay(&bay.subject);
        match (found.gaps, found.why) {
            (BayGaps::AllStop, _) => {}
            (_, Some(why)) => match again.iter_mut().find(|(known, _)| *known == why) {
                Some((_, bays)) => bays.push(&bay.name),
                None => again.push((why, vec![&bay.name])),
            },
            (_, None) => open.push(&bay.name),
        }
    }
    let mut detail = Vec::new();
    if !open.is_empty() {
        detail.push(format!("not offered, or passes: {}", open.join(", ")));
    }
    let told = |(why, bays): &(String, Vec<&str>)| format!("{}: {why}", bays.join(", "));
    detail.extend(again.iter().map(told));
    let there = detail.is_empty() && !run.bays.is_empty();
    if detail.is_empty() {
        detail.push("stops everywhere".to_owned());
    }
    let item = item(run, "gaps", 10, "the probe offered in every bay");
    Ok(item.there(there, detail.join("; ")))
}

/// Openings as built where a probe was offered; none where none was.
fn openings(job: &Job<'_>, run: &Run) -> Result<Option<Item>, WorkError> {
    let set = rules(job)?;
    let own = openings_of_run(job, run).into_iter();
    let own = own.map(|one| (format!("run {}", run.name), one));
    let of_post = |post| openings_of_post(job, post).into_iter();
    let posts = run
        .posts
        .iter()
        .flat_map(|p| of_post(p).map(|one| (p.name.clone(), one)));
    let mut offered = false;
    let mut lacking = Vec::new();
    for (at, (place, fact)) in own.chain(posts) {
        offered |= fact.values().any(|o| o.result.is_some());
        let at = named_opening(fact, &at, place).unwrap_or(at);
        if probe_passed(fact) {
            lacking.push(format!("passes: {at}"));
        } else if let Some(sphere) = too_large(set.as_ref(), run, fact) {
            lacking.push(format!(
                "the probe was larger than the sphere of {sphere}: {at}"
            ));
        }
    }
    let base = item(
        run,
        "openings",
        10,
        "the probe offered at openings as built",
    );
    Ok(offered.then(|| {
        let detail = match lacking.as_slice() {
            [] => "stops".to_owned(),
            lacking => lacking.join("; "),
        };
        base.there(lacking.is_empty(), detail)
    }))
}

/// Openings that the rule set asks about and that nobody measured.
fn unmeasured(job: &Job<'_>, run: &Run) -> Option<Item> {
    let base = item(run, "openingsAsked", 10, "openings asked about, measured");
    let found = match before_ordering(job, run.id) {
        Ok(answer) => answer.findings,
        Err(why) => return Some(base.there(false, format!("{why}. Correct it"))),
    };
    let open = |f: &&Finding| {
        let opening = matches!(f.topic, Topic::Opening | Topic::FaceGap);
        opening && f.verdict == Verdict::Asked && f.required.is_some() && f.actual.is_none()
    };
    let places: Vec<String> = found.iter().filter(open).map(|f| f.place.clone()).collect();
    let detail = format!("not measured: {}", places.join("; "));
    (!places.is_empty()).then(|| base.there(false, detail))
}

fn recheck(run: &Run, readings: &Tensions) -> Item {
    let held = |l: &TensionLine| match &l.last_recheck {
        Some(again) => again.state != ReadingState::Open && l.state != ReadingState::Below,
        None => l.held_by_deflection == Some(Stage::Recheck),
    };
    let of = |line: &TensionLine, state: bool| (state && !line.rechecked) || !held(line);
    let named = |state: bool| -> Vec<u32> {
        let open = readings.lines.iter().filter(|l| of(l, state));
        open.map(|l| l.wire).collect()
    };
    let base = item(run, "recheck", 14, "readings one to two weeks later");
    // Read again and not below, yet on the same days: that is another matter than not read.
    let bad = if named(false).is_empty() {
        "read again within a week of the last round"
    } else {
        "not read, below, or within a week of the last round"
    };
    wires_there(base, run, &named(true), "read, none below", bad)
}
