//! The first page: what was asked, what was found, what is open, who signed.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::Run;
use records::model::fields;
use records::model::values::{Shape, Stage, Tensions};
use records::work;

use super::reading::Reading;
use super::{Block, Fact, Row, Section, asked, close, disputes, words};
use crate::drawing::{State, States};

pub(super) fn section(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Section {
    let mut blocks = vec![facts(reading)];
    blocks.push(Block::head("Runs: asked, found"));
    let rows = reading
        .job
        .runs
        .iter()
        .map(|run| run_row(reading, run))
        .collect();
    blocks.push(Block::table(
        &[
            "Run",
            "Wires",
            "Height",
            "Required",
            "Set",
            "Upper",
            "Lowest found",
            "Margin",
            "Where and when",
        ],
        &[1.3, 0.8, 1.2, 1.1, 1.0, 1.0, 1.3, 1.0, 3.0],
        rows,
    ));
    for run in &reading.job.runs {
        if let Some(t) = run.tensions.value() {
            blocks.push(Block::remark(format!(
                "Run {}: required from {}; upper from {}.",
                run.name, t.required_origin, t.upper_origin
            )));
        }
    }
    blocks.push(Block::head("Open"));
    let open = open_items(reading, states);
    blocks.push(if open.is_empty() {
        Block::text("No open item is on record.")
    } else {
        Block::List { items: open }
    });
    blocks.push(Block::head("Signed"));
    blocks.push(close::signed_short(reading));
    blocks.push(Block::remark(
        "This record shows what was asked, measured and read, with sources and margins. It judges nothing: whether the barrier may be used is for the certifier to confirm, and for the engineer where posts and fixings are concerned.",
    ));
    Section {
        title: "Summary".into(),
        new_page: false,
        blocks,
    }
}

fn facts(reading: &Reading<'_>) -> Block {
    let r = reading;
    let mut rows = vec![
        Fact::of("Address", r.text(fields::JOB_PLACE)),
        Fact::of("Owner", r.text(fields::JOB_OWNER)),
        Fact::of("Certifier", r.text(fields::JOB_CERTIFIER)),
        Fact::of("Permit", r.text(fields::JOB_PERMIT))
            .with(r.fact(fields::JOB_PERMIT_DATE, |d| words::date(Some(d)))),
        Fact::of("Rules", r.fact(fields::JOB_RULE_SET, |c| c.name.clone())).with(
            r.fact(fields::JOB_RULE_SET, |c| {
                format!("copied from {}, SHA-256 {}", c.origin, c.sha256.short())
            }),
        ),
        Fact::of("Building class", r.text(fields::JOB_BUILDING_CLASS)),
        Fact::of(
            "Fall beside it",
            r.fact(fields::JOB_FALL, |l| words::mm(l.nm)),
        )
        .with(r.text(fields::JOB_BELOW)),
        Fact::of(
            "Pool boundary",
            r.fact(fields::JOB_POOL, |f| words::yes(*f).into()),
        ),
        Fact::of(
            "Young children",
            r.fact(fields::JOB_CHILDREN, |f| words::yes(*f).into()),
        ),
        Fact::of("Steel", r.text(fields::JOB_STEEL)),
    ];
    rows.retain(|row| !row.value.is_empty());
    for (name, value) in [
        ("Address", fields::JOB_PLACE),
        ("Certifier", fields::JOB_CERTIFIER),
        ("Permit", fields::JOB_PERMIT),
    ] {
        if r.text(value).is_empty() {
            rows.push(Fact::of(name, "not on record"));
        }
    }
    Block::Facts { rows }
}

fn run_row(reading: &Reading<'_>, run: &Run) -> Row {
    let shape = match run.shape {
        Shape::Level => "level",
        Shape::Raked => "raked",
    };
    let decided = run.tensions.value();
    let read = work::tensions(reading.job, run.id).ok();
    let lowest = read.as_ref().and_then(lowest);
    let force =
        |of: fn(&Tensions) -> i64| decided.map_or_else(|| "–".into(), |t| words::newtons(of(t)));
    let required = read.as_ref().and_then(|r| r.required_n);
    let margin = lowest
        .as_ref()
        .and_then(|(_, r)| Some(r.newtons? - required?));
    let found = lowest.as_ref().and_then(|(_, r)| r.newtons);
    let place = lowest.as_ref().map_or_else(String::new, |(wire, r)| {
        format!(
            "wire {wire}, bay {}, {}, {}",
            r.bay_name,
            reading
                .job
                .reader
                .view
                .entry(&r.entry)
                .map_or_else(String::new, |e| words::day(e.body.at)),
            words::stage(r.stage)
        )
    });
    let signed = |n: f64| {
        let sign = if n < 0.0 { '−' } else { '+' };
        format!("{sign}{:.0} N", n.abs())
    };
    Row::of([
        format!("{} ({shape})", run.name),
        run.wires.len().to_string(),
        run.height.map_or_else(|| "–".into(), |h| words::mm(h.nm)),
        force(|t| t.required_mn),
        force(|t| t.set_mn),
        force(|t| t.upper_mn),
        found.map_or_else(|| "no final reading".into(), |n| format!("{n:.0} N")),
        margin.map_or_else(|| "–".into(), signed),
        place,
    ])
    .marked(margin.is_none_or(|m| m < 0.0))
}

/// The lowest of what governs the wires, readings on the way up left out.
fn lowest(read: &work::Tensions) -> Option<(u32, &work::Reading)> {
    read.lines
        .iter()
        .filter_map(|line| Some((line.wire, finished(line)?)))
        .min_by(|a, b| {
            let force = |r: &work::Reading| r.newtons.unwrap_or(f64::INFINITY);
            force(a.1).total_cmp(&force(b.1))
        })
}

fn finished(line: &work::TensionLine) -> Option<&work::Reading> {
    line.governing.as_ref().filter(|r| r.stage != Stage::Pass)
}

fn open_items(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Vec<String> {
    let mut items = disputes::all(reading);
    for run in &reading.job.runs {
        let unread: Vec<u32> = match work::tensions(reading.job, run.id) {
            Ok(read) => read
                .lines
                .iter()
                .filter(|l| finished(l).is_none())
                .map(|l| l.wire)
                .collect(),
            Err(e) => {
                items.push(format!(
                    "Run {}: its readings can't be held against what is asked: {e}",
                    run.name
                ));
                Vec::new()
            }
        };
        if !unread.is_empty() {
            items.push(format!(
                "Run {}: no final tension reading on wire {}",
                run.name,
                words::ranges(&unread)
            ));
        }
        items.extend(asked::open(reading, run));
        if let Some(states) = states.get(&run.id) {
            run_items(run, states, &mut items);
        }
    }
    for defect in reading
        .job
        .defects
        .iter()
        .filter(|d| d.closed.value().is_none())
    {
        let about = defect
            .about
            .as_ref()
            .map_or_else(String::new, |s| format!("{}: ", reading.name(s)));
        let found = defect.found.value.clone().unwrap_or_default();
        items.push(format!("Defect not closed: {about}{found}"));
    }
    if let Ok(lacks) = work::lacks(reading.job) {
        for item in &lacks.items {
            if let Some(reason) = &item.waived_because {
                items.push(format!("Gone without {}: {reason}", item.name));
            }
        }
        if lacks.lacking > 0 {
            items.push(format!(
                "{} pieces of evidence are lacking; the list stands in section 18",
                lacks.lacking
            ));
        }
    }
    items
}

fn run_items(run: &Run, states: &States, items: &mut Vec<String>) {
    for (state, what) in [
        (State::Below, "below the required tension"),
        (State::Rejected, "crimp rejected"),
    ] {
        let wires: Vec<u32> = states
            .wires
            .iter()
            .filter(|(_, w)| w.state == state)
            .map(|(n, _)| *n)
            .collect();
        if !wires.is_empty() {
            items.push(format!(
                "Run {}: {what} on wire {}",
                run.name,
                words::ranges(&wires)
            ));
        }
    }
    for bay in &run.bays {
        match states.bays.get(&bay.subject) {
            Some(State::Passes) => items.push(format!("Bay {}: the probe passed", bay.name)),
            Some(State::None) | None => items.push(format!("Bay {}: no gap check", bay.name)),
            _ => {}
        }
    }
}
