//! Views, defects before and after, and days on site.

use records::model::Field;
use records::model::context::Said;
use records::model::fields;
use records::model::values::Evidence;
use records::subject::Subject;

use super::reading::Reading;
use super::{Block, Row, Section, cautions, section, words};

pub(super) fn views(reading: &Reading<'_>) -> Section {
    section(
        reading,
        "Views from both sides, end posts, what is below",
        Vec::new(),
        &[
            Evidence::WideView,
            Evidence::EndPost,
            Evidence::Below,
            Evidence::Other,
        ],
    )
}

pub(super) fn defects(reading: &Reading<'_>) -> Section {
    let rows: Vec<Row> = reading
        .job
        .defects
        .iter()
        .map(|d| {
            let found = d.found.value.clone().unwrap_or_default();
            let closed = reading.say(&d.closed, |c| c.how.clone());
            let open = closed.is_empty();
            Row::of([
                d.about
                    .as_ref()
                    .map_or_else(String::new, |s| reading.name(s)),
                format!(
                    "{found} ({}, {})",
                    reading.person(&d.found.person),
                    words::day(d.found.at)
                ),
                if open {
                    "not closed".into()
                } else {
                    format!("{closed} ({})", reading.by(&d.closed))
                },
            ])
            .marked(open)
        })
        .collect();
    let mut blocks = Vec::new();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &["About", "Found", "Put right"],
            &[1.2, 3.5, 3.5],
            rows,
        ));
    }
    section(
        reading,
        "Defects before and after",
        blocks,
        &[Evidence::DefectBefore, Evidence::DefectAfter],
    )
}

pub(super) fn visits(reading: &Reading<'_>) -> Section {
    let rows: Vec<Row> = reading
        .job
        .visits
        .iter()
        .map(|v| {
            let left = v.left_safe.as_ref();
            Row::of([
                words::date(v.day.as_ref()),
                v.why.clone(),
                v.who.clone(),
                v.weather.clone(),
                left.map_or_else(|| "not on record".into(), |l| l.how.clone()),
                left.map_or_else(String::new, |l| l.told.clone()),
            ])
            .marked(left.is_none())
        })
        .collect();
    let mut blocks = Vec::new();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &[
                "Day",
                "Why",
                "Who",
                "Weather",
                "Edge left guarded by",
                "Who was told",
            ],
            &[1.1, 1.8, 1.2, 1.1, 2.4, 1.4],
            rows,
        ));
    }
    if blocks.is_empty() {
        blocks.push(Block::text("No day on site is on record."));
    }
    blocks.push(cautions::edge());
    blocks.extend(notes(reading));
    section(
        reading,
        "The edge at the end of each day",
        blocks,
        &[Evidence::LeftSafe],
    )
}

/// Notes on anything, and call-backs, oldest first within each thing.
fn notes(reading: &Reading<'_>) -> Vec<Block> {
    let job = reading.job;
    let mut rows = Vec::new();
    let mut add = |field: Field<String, Said>, subject: Subject, what: &str| {
        for fact in job.reader.many(field, &subject.to_string(), "") {
            rows.push(
                Row::of([
                    format!("{}{what}", reading.name(&subject)),
                    reading.say(&fact, Clone::clone),
                    reading.by(&fact),
                ])
                .marked(fact.blocks()),
            );
        }
    };
    add(fields::JOB_NOTE, Subject::Job(job.id), "");
    add(fields::JOB_CALL_BACK, Subject::Job(job.id), ", call-back");
    for post in &job.posts {
        add(fields::POST_NOTE, Subject::post(post.id), "");
    }
    for run in &job.runs {
        add(fields::RUN_NOTE, run.subject(), "");
        for bay in &run.bays {
            add(fields::BAY_NOTE, bay.subject, "");
        }
        for wire in &run.wires {
            add(fields::WIRE_NOTE, Subject::Wire(run.id, wire.number), "");
        }
    }
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("Notes and call-backs"),
        Block::table(&["About", "Note", "By"], &[1.2, 5.0, 1.8], rows),
    ]
}
