//! The first page: what was asked, what was found, what is open, who signed.

use std::collections::BTreeMap;

use mechanics::Newtons;
use records::ids::ItemId;
use records::job::Run;
use records::model::fields;
use records::model::values::{Force, Shape, Tensions};
use records::work;

use super::reading::Reading;
use super::{Block, DATA, Fact, Row, Section, asked, earlier, open, signed, words};
use crate::drawing::States;

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
            "Table row",
            "Required",
            "Set",
            "Upper",
            "Lowest that stands",
            "In hand",
            "Where and when",
        ],
        &[1.2, 0.7, 1.0, 1.7, 1.0, 0.9, 0.9, 1.0, 0.9, 2.5],
        rows,
    ));
    blocks.extend(
        reading
            .job
            .runs
            .iter()
            .filter_map(|run| lower(reading, run)),
    );
    blocks.push(Block::remark(
        "Table row: post distance / wire spacing / strand of the row that asks the most of the run. Lowest that stands: over all wires and bays, a reading standing until a later one in its bay takes its place; disputed where people differ on it. In hand: that less the greater of required and table, the gauge's error not counted. Put right: later readings took its place.",
    ));
    blocks.extend(origins(reading).map(Block::remark));
    blocks.push(Block::head("Open"));
    let open = open::items(reading, states);
    blocks.push(if open.is_empty() {
        Block::text("No open item is on record.")
    } else {
        Block::Open {
            folded: open::folded(&open),
            items: open::texts(&open),
            whole: format!("section {DATA}"),
        }
    });
    blocks.push(Block::head("Signed"));
    blocks.push(signed::short(reading));
    blocks.push(Block::remark(
        "This record shows what was asked, measured and read, with sources and margins. It judges nothing: whether the barrier may be used is for the certifier to confirm, and for the engineer where posts and fixings are concerned.",
    ));
    Section {
        title: "Summary".into(),
        new_page: false,
        blocks,
    }
}

/// Where the tensions of the runs are from, each origin told once.
fn origins(reading: &Reading<'_>) -> Option<String> {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    let mut tell = |origin: String, run| match told.iter_mut().find(|(known, _)| *known == origin) {
        Some((_, runs)) => runs.push(run),
        None => told.push((origin, vec![run])),
    };
    for run in &reading.job.runs {
        if let Some(t) = run.tensions.value() {
            tell(format!("required from {}", t.required_origin), &run.name);
            tell(
                format!("upper from {}", upper_origin(reading, run, t)),
                &run.name,
            );
        }
    }
    let sentence = |(origin, runs): &(String, Vec<&str>)| {
        let plural = if runs.len() > 1 { "s" } else { "" };
        format!("Run{plural} {}: {origin}.", runs.join(", "))
    };
    let sentences: Vec<String> = told.iter().map(sentence).collect();
    (!sentences.is_empty()).then(|| sentences.join(" "))
}

/// The fall of the job; where none is told, those of its runs.
fn fall(reading: &Reading<'_>) -> String {
    let told = reading.fact(fields::JOB_FALL, |l| words::mm(l.nm));
    if !told.is_empty() {
        return told;
    }
    let runs = reading.job.runs.iter();
    let falls = runs.filter_map(|run| {
        let fall = run.fall?;
        Some(format!("run {}: {}", run.name, words::mm(fall.nm)))
    });
    falls.collect::<Vec<_>>().join(", ")
}

/// Where an upper tension is from; where it is the known limit rounded down, with that limit.
pub(super) fn upper_origin(reading: &Reading<'_>, run: &Run, decided: &Tensions) -> String {
    let origin = &decided.upper_origin;
    let asked = reading.found.asked(run).and_then(|a| a.as_ref().ok());
    let known = asked.and_then(|a| a.tension.upper_n.zip(a.tension.upper_exact_n));
    let upper = Force {
        mn: decided.upper_mn,
    }
    .as_newtons();
    match known {
        Some((shown, exact)) if shown == upper && exact > upper => format!(
            "{origin}; {} rounded down to what the gauge tells",
            Newtons(exact)
        ),
        _ => origin.clone(),
    }
}

fn facts(reading: &Reading<'_>) -> Block {
    let r = reading;
    let mut rows = vec![
        Fact::of("Address", r.text(fields::JOB_PLACE)),
        Fact::of("Owner", r.text(fields::JOB_OWNER)),
        Fact::of("Certifier", r.text(fields::JOB_CERTIFIER)),
        permit(r),
    ];
    rows.extend(rules(reading));
    rows.extend([
        Fact::of("Building class", r.text(fields::JOB_BUILDING_CLASS)),
        Fact::of("Fall beside it", fall(reading)).with(below(&r.text(fields::JOB_BELOW))),
        Fact::of(
            "Pool boundary",
            r.fact(fields::JOB_POOL, |f| words::yes(*f).into()),
        ),
        Fact::of(
            "Young children",
            r.fact(fields::JOB_CHILDREN, |f| words::yes(*f).into()),
        ),
        Fact::of("Steel", r.text(fields::JOB_STEEL)),
    ]);
    for row in &mut rows {
        let asked = [
            "Address",
            "Owner",
            "Certifier",
            "Permit",
            "Rules",
            "Building class",
            "Fall beside it",
        ];
        if row.value.is_empty() && asked.contains(&row.name.as_str()) {
            row.value = "not on record".into();
        }
    }
    rows.retain(|row| !row.value.is_empty());
    Block::Facts { rows }
}

/// The permit by its number and day; a day without a number says so.
fn permit(reading: &Reading<'_>) -> Fact {
    let number = reading.text(fields::JOB_PERMIT);
    let day = reading.fact(fields::JOB_PERMIT_DATE, |d| words::date(Some(d)));
    match (number.is_empty(), day.is_empty()) {
        (true, false) => Fact::of("Permit", format!("of {day}, no number on record")),
        (_, true) => Fact::of("Permit", number),
        (false, false) => Fact::of("Permit", number).with(format!("of {day}")),
    }
}

fn below(what: &str) -> String {
    if what.is_empty() {
        String::new()
    } else {
        format!("below: {what}")
    }
}

/// The rule set by title, document and edition; its key and hash stand in small print.
fn rules(reading: &Reading<'_>) -> Vec<Fact> {
    let copied = reading.fact(fields::JOB_RULE_SET, |c| {
        format!(
            "kept as {}, copied from {}, SHA-256 {}",
            c.name,
            c.origin,
            c.sha256.short()
        )
    });
    match work::rules(reading.job) {
        Ok(Some(set)) => {
            let mut rows = vec![
                Fact::of("Rules", set.title),
                Fact::of("Edition", format!("{}, {}", set.document, set.edition)).with(copied),
            ];
            rows.extend(
                work::changed_rules(reading.job).map(|said| Fact::of("Rules changed", said)),
            );
            rows
        }
        Ok(None) => vec![Fact::of("Rules", copied)],
        Err(e) => vec![Fact::of("Rules", e.to_string()).with(copied)],
    }
}

fn run_row(reading: &Reading<'_>, run: &Run) -> Row {
    let shape = match run.shape {
        Shape::Level => "level",
        Shape::Raked => "raked",
    };
    let decided = run.tensions.value();
    let read = reading.found.read(run).and_then(|r| r.as_ref().ok());
    let lowest = read.and_then(work::Tensions::lowest_finished);
    let force =
        |of: fn(&Tensions) -> i64| decided.map_or_else(|| "–".into(), |t| words::newtons(of(t)));
    let required = read.and_then(|r| r.required_n);
    let table = read.and_then(|r| r.asked_n);
    let must_show = read.and_then(|r| r.must_show_n);
    let open = read.map_or(&[][..], |r| r.open_bays.as_slice());
    // Where people differ on the lowest, the least that anybody tells stands for it.
    let least = read.and_then(work::Tensions::least_finished_n);
    let margin = least.and_then(|least| Some(least - must_show?));
    let disputed = lowest.is_some_and(|(_, r)| r.newtons.is_none());
    let at_least = if disputed { " at the least" } else { "" };
    let place = lowest.as_ref().map_or_else(String::new, |(wire, r)| {
        format!(
            "wire {wire}, bay {}, {}, {}",
            r.bay_name,
            earlier::day(reading, r),
            words::stage(r.stage)
        )
    });
    let signed = |n: f64| {
        let sign = if n < 0.0 { '−' } else { '+' };
        format!("{sign}{}{at_least}", Newtons(n.abs()))
    };
    Row::of([
        format!("{} ({shape})", run.name),
        run.wires.len().to_string(),
        run.height.map_or_else(|| "–".into(), |h| words::mm(h.nm)),
        asked::hardest_row(reading, run),
        match table.filter(|n| required.is_some_and(|required| required < *n)) {
            Some(table) => format!("{}; table {table:.0} N", force(|t| t.required_mn)),
            None => force(|t| t.required_mn),
        },
        force(|t| t.set_mn),
        force(|t| t.upper_mn),
        match (lowest, least) {
            (None, _) => "no final reading".into(),
            (Some(_), Some(n)) if disputed => format!("disputed: {} at the least", Newtons(n)),
            (Some(_), Some(n)) => Newtons(n).to_string(),
            (Some(_), None) => "disputed".into(),
        },
        in_hand(margin.map(signed), open),
        place,
    ])
    .marked(disputed || margin.is_none_or(|m| m < 0.0) || !open.is_empty())
}

/// What is in hand, and the bays of which no figure says so.
fn in_hand(margin: Option<String>, open: &[work::OpenBay]) -> String {
    let bays: Vec<&str> = open.iter().map(|b| b.name.as_str()).collect();
    match (margin, bays.as_slice()) {
        (None, []) => "–".into(),
        (Some(margin), []) => margin,
        (None, bays) => format!("no figure for bay {}", bays.join(", ")),
        (Some(margin), bays) => format!("{margin}, but no figure for bay {}", bays.join(", ")),
    }
}

/// Readings below the lowest that stands, so that the first page hides none.
fn lower(reading: &Reading<'_>, run: &Run) -> Option<Block> {
    let read = reading.found.read(run)?.as_ref().ok()?;
    let stands = read.least_finished_n()?;
    let told = earlier::lower(reading, read, stands);
    let name = &run.name;
    (!told.is_empty()).then(|| {
        Block::text(format!(
            "Run {name}, lowest before it was put right: {told}."
        ))
    })
}
