//! Views, defects before and after, and days on site.

use records::ids::ItemId;
use records::job::Job;
use records::model::Field;
use records::model::context::Said;
use records::model::fields;
use records::model::values::{CallBack, Evidence, KnownLength};
use records::subject::{ItemKind, Subject};

use super::reading::Reading;
use super::{Block, Fact, Row, Section, cautions, disputes, section, words};

/// What of the place bears on steel, wires and those who climb; page 1 has the rest of it.
fn site(reading: &Reading<'_>) -> Vec<Block> {
    let r = reading;
    let flag = |field| r.fact(field, |f: &bool| words::yes(*f).into());
    let mut rows = vec![
        Fact::of(
            "Salt water or surf",
            r.fact(fields::JOB_SALT_DISTANCE, |l| words::metres(*l)),
        ),
        Fact::of("Chlorine nearby", flag(fields::JOB_CHLORINE)),
        Fact::of("Washed by rain", flag(fields::JOB_WASHED)),
        Fact::of("Dissimilar metals", r.text(fields::JOB_METALS)),
        Fact::of("Things to climb on", r.text(fields::JOB_CLIMBABLES)),
        Fact::of("Drilling hazards", r.text(fields::JOB_HAZARDS)),
        Fact::of("Access", r.text(fields::JOB_ACCESS)),
    ];
    rows.retain(|row| !row.value.is_empty());
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Facts { rows }]
}

pub(super) fn views(reading: &Reading<'_>) -> Section {
    section(
        reading,
        "Views from both sides, end posts, what is below",
        site(reading),
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
    blocks.extend(disputes::settled(reading));
    blocks.extend(disputes::no_longer(reading));
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
                v.length_check
                    .as_ref()
                    .map_or_else(String::new, |c| length_check(reading, c)),
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
                "Known length",
                "Edge left guarded by",
                "Who was told",
            ],
            &[1.1, 1.6, 1.2, 1.1, 1.4, 2.2, 1.4],
            rows,
        ));
    }
    if blocks.is_empty() {
        blocks.push(Block::text("No day on site is on record."));
    }
    blocks.push(cautions::edge());
    blocks.extend(call_backs(reading));
    blocks.extend(notes(reading));
    section(
        reading,
        "The edge at the end of each day",
        blocks,
        &[Evidence::LeftSafe],
    )
}

/// What the day's laser or tape read of a length that is known.
fn length_check(reading: &Reading<'_>, check: &KnownLength) -> String {
    let tool = check
        .tool
        .and_then(|id| reading.job.tools.iter().find(|t| t.id == id));
    let with = tool.map_or_else(String::new, |t| format!(", {}", t.name));
    let off = check.read_nm - check.known_nm;
    format!(
        "{} read as {}{with} ({}{} mm)",
        words::mm(check.known_nm),
        words::mm(check.read_nm),
        if off < 0 { "−" } else { "+" },
        words::bare_mm(off.abs())
    )
}

/// Call-backs with what they came from, what was found and done.
fn call_backs(reading: &Reading<'_>) -> Vec<Block> {
    let rows: Vec<Row> = reading
        .job
        .call_backs
        .iter()
        .map(|fact| {
            let told = fact.shown();
            let text = |of: fn(&CallBack) -> Option<String>| told.and_then(of).unwrap_or_default();
            let done = text(|c| c.done.clone());
            let open = done.is_empty();
            Row::of([
                reading.say(fact, |c| c.complaint.clone()),
                told.and_then(|c| c.cause)
                    .map_or("", words::call_back)
                    .into(),
                text(|c| c.found.clone()),
                if open { "open".into() } else { done },
                reading.by(fact),
            ])
            .marked(open || fact.blocks())
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("Call-backs"),
        Block::table(
            &["Complaint", "Cause", "Found", "Done", "By"],
            &[2.2, 1.0, 2.2, 2.2, 1.4],
            rows,
        ),
    ]
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
    for (subject, field) in noted_items(job) {
        add(field, subject, "");
    }
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("Notes and call-backs"),
        Block::table(&["About", "Note", "By"], &[1.2, 5.0, 1.8], rows),
    ]
}

/// Things with an id of their own that are no part of a run, each with its field for notes.
fn noted_items(job: &Job<'_>) -> impl Iterator<Item = (Subject, Field<String, Said>)> {
    let items = |kind, ids: Vec<ItemId>, field| {
        let subject = move |id| (Subject::Item(kind, id), field);
        ids.into_iter().map(subject)
    };
    let defects = job.defects.iter().map(|d| d.id).collect();
    let photos = job.photos.iter().map(|p| p.id).collect();
    let documents = job.documents.iter().map(|d| d.id).collect();
    let tools = job.tools.iter().map(|t| t.id).collect();
    let batches = job.batches.iter().map(|b| b.id).collect();
    let visits = job.visits.iter().map(|v| v.id).collect();
    let strands = job.strands.iter().map(|s| s.id).collect();
    let sets = job.fitting_sets.iter().map(|s| s.id).collect();
    items(ItemKind::Defect, defects, fields::DEFECT_NOTE)
        .chain(items(ItemKind::Photo, photos, fields::PHOTO_NOTE))
        .chain(items(ItemKind::Document, documents, fields::DOCUMENT_NOTE))
        .chain(items(ItemKind::Tool, tools, fields::TOOL_NOTE))
        .chain(items(ItemKind::Batch, batches, fields::BATCH_NOTE))
        .chain(items(ItemKind::Visit, visits, fields::VISIT_NOTE))
        .chain(items(ItemKind::Strand, strands, fields::STRAND_NOTE))
        .chain(items(ItemKind::FittingSet, sets, fields::FITTING_NOTE))
}
