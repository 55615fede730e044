//! The first page: what was asked, what was found, what is open, who signed.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::{Fact as Told, Run, Wire};
use records::model::context::TensionRead;
use records::model::fields;
use records::model::values::{Force, Shape, Stage, Tensions};
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
        &[0.8, 0.8, 1.1, 1.2, 1.0, 1.0, 1.3, 1.3, 3.4],
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
    let tensions = run.tensions.value();
    let lowest = lowest(run);
    let force =
        |of: fn(&Tensions) -> i64| tensions.map_or_else(|| "–".into(), |t| words::newtons(of(t)));
    let margin = lowest
        .as_ref()
        .zip(tensions)
        .map(|(l, t)| l.force.mn - t.required_mn);
    let found = lowest
        .as_ref()
        .map_or_else(|| "no final reading".into(), |l| words::newtons(l.force.mn));
    let place = lowest.as_ref().map_or_else(String::new, |l| {
        format!(
            "wire {}, bay {}, {}, {}",
            l.wire,
            reading.bay(run, l.bay),
            words::day(l.at),
            words::stage(l.stage)
        )
    });
    let signed = |mn: i64| {
        let n = words::bare_newtons(mn.abs());
        if mn < 0 {
            format!("−{n} N")
        } else {
            format!("+{n} N")
        }
    };
    Row::of([
        format!("{} ({shape})", run.name),
        run.wires.len().to_string(),
        run.height.map_or_else(|| "–".into(), |h| words::mm(h.nm)),
        force(|t| t.required_mn),
        force(|t| t.set_mn),
        force(|t| t.upper_mn),
        found,
        margin.map_or_else(|| "–".into(), signed),
        place,
    ])
    .marked(margin.is_none_or(|m| m < 0))
}

/// The lowest of a run's newest final or recheck readings.
pub(super) struct Lowest<'a> {
    pub(super) wire: u32,
    pub(super) bay: &'a str,
    pub(super) force: Force,
    pub(super) stage: Stage,
    pub(super) at: records::entry::At,
}

pub(super) fn lowest(run: &Run) -> Option<Lowest<'_>> {
    run.wires
        .iter()
        .flat_map(|wire| {
            newest(wire)
                .into_iter()
                .map(move |(bay, fact)| (wire, bay, fact))
        })
        .filter_map(|(wire, bay, fact)| {
            let told = fact.told()?;
            Some(Lowest {
                wire: wire.number,
                bay,
                force: told.value?,
                stage: told.with.as_ref().map_or(Stage::Pass, |w| w.stage),
                at: told.at,
            })
        })
        .min_by_key(|l| l.force)
}

/// The newest reading of the present piece in each bay, passes left out.
pub(super) fn newest(wire: &Wire) -> BTreeMap<&str, &Told<Force, TensionRead>> {
    let mut found = BTreeMap::new();
    for (bay, fact) in wire.tensions_now() {
        let stage = fact.told().and_then(|t| t.with.as_ref()).map(|w| w.stage);
        if fact.value().is_some() && stage.is_some_and(|s| s != Stage::Pass) {
            found.entry(bay).or_insert(fact);
        }
    }
    found
}

fn open_items(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Vec<String> {
    let mut items = disputes::all(reading);
    for run in &reading.job.runs {
        let unread: Vec<u32> = run
            .wires
            .iter()
            .filter(|w| newest(w).is_empty())
            .map(|w| w.number)
            .collect();
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
    for (evidence, reason) in reading.all_waived() {
        items.push(format!(
            "Gone without {}: {reason}",
            words::spaced(evidence)
        ));
    }
    if let Ok(lacks) = work::lacks(reading.job)
        && lacks.lacking > 0
    {
        items.push(format!(
            "{} pieces of evidence are lacking; the list stands in section 18",
            lacks.lacking
        ));
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
