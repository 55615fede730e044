//! Evidence about deliveries, tools, samples, defects, visits and sign-offs.

use super::ask::Item;
use crate::job::{Fact, Job};
use crate::model::context::CrimpRead;
use crate::model::values::{BatchKind, CrimpResult, Evidence, SampleCrimp, SignStage, ToolKind};
use crate::subject::{ItemKind, Subject};
use crate::work::{cannot_be, samples, stock, words};

pub(super) fn materials(job: &Job<'_>) -> Vec<Item> {
    let subject = Subject::Job(job.id);
    let mut found: Vec<Item> = [
        (BatchKind::Strand, "strand", "Batch of the strand"),
        (BatchKind::Terminal, "terminal", "Batch of the terminals"),
        (BatchKind::Insert, "insert", "Batch of the inserts"),
    ]
    .into_iter()
    .map(|(kind, key, name)| {
        let of: Vec<&str> = job
            .batches
            .iter()
            .filter(|b| b.kind == Some(kind))
            .map(|b| b.name.as_str())
            .collect();
        Item::new(format!("batch/{key}"), 4, name, subject).there(
            !of.is_empty(),
            if of.is_empty() {
                "no delivery on record".to_owned()
            } else {
                of.join(", ")
            },
        )
    })
    .collect();
    for batch in &job.batches {
        if batch.kind == Some(BatchKind::Strand) {
            continue;
        }
        let handed = batch.kind.is_some_and(BatchKind::has_hands);
        let there = batch.arrival.as_ref().is_some_and(|a| a.tried || !handed);
        let detail = match &batch.arrival {
            Some(a) if handed => format!(
                "{} LH, {} RH counted{}",
                a.counted_left,
                a.counted_right,
                if a.tried {
                    ", one of each hand tried"
                } else {
                    ", hands not tried"
                }
            ),
            Some(a) => format!("{} counted", a.counted_left),
            None => "not counted on arrival".to_owned(),
        };
        let hands = if handed { ", hands tried" } else { "" };
        found.push(
            Item::new(
                format!("arrival/{}", batch.id),
                4,
                format!("{}: counted on arrival{hands}", batch.name),
                Subject::Item(ItemKind::Batch, batch.id),
            )
            .there(there, detail),
        );
    }
    found
}

/// Wires whose strand is told as wrong, or as another one, since they were cut; each delivery by itself.
pub(super) fn wrong_strand(job: &Job<'_>) -> Vec<Item> {
    let of = |wrong: stock::WrongSource| {
        let subject = Subject::Item(ItemKind::Batch, wrong.batch);
        let name = format!("{}: the strand of the wires cut from it", wrong.name);
        Item::new(format!("strand/{}", wrong.batch), 4, name, subject).there(false, wrong.sentence)
    };
    stock::wrong_sources(job).into_iter().map(of).collect()
}

pub(super) fn tools(job: &Job<'_>) -> Vec<Item> {
    let subject = Subject::Job(job.id);
    let mut found = Vec::new();
    for (kind, key, name) in [
        (ToolKind::TensionGauge, "gauge", "Tension gauge"),
        (ToolKind::Press, "press", "Press"),
        (ToolKind::Probe, "probe", "Probe"),
    ] {
        let any = job.tools.iter().any(|t| t.kind == Some(kind));
        found.push(
            Item::new(format!("tool/{key}"), 5, name, subject)
                .there(any, if any { "on record" } else { "not on record" }),
        );
    }
    for tool in &job.tools {
        if tool.kind != Some(ToolKind::TensionGauge) {
            continue;
        }
        let dated = tool.compared_on.is_some() && tool.due.is_some();
        let there = dated && tool.error_per_10000.is_some();
        found.push(
            Item::new(
                format!("toolDates/{}", tool.id),
                5,
                format!("{}: compared with what and when, due, error", tool.name),
                Subject::Item(ItemKind::Tool, tool.id),
            )
            .there(
                there,
                [format!(
                    "compared {}, due {}{}",
                    tool.compared_on
                        .as_ref()
                        .map_or("not told".into(), words::day),
                    tool.due.as_ref().map_or("not told".into(), words::day),
                    if tool.error_per_10000.is_none() {
                        ", error not told: what it reads is at the mark at best"
                    } else {
                        ""
                    }
                )]
                .into_iter()
                .chain(cannot_be::of_subject(
                    job,
                    &Subject::Item(ItemKind::Tool, tool.id),
                ))
                .collect::<Vec<_>>()
                .join(". "),
            ),
        );
    }
    found
}

pub(super) fn sample(job: &Job<'_>) -> Vec<Item> {
    let subject = Subject::Job(job.id);
    let governing = samples::governing(job);
    let delivered = job
        .batches
        .iter()
        .any(|b| b.kind == Some(BatchKind::Terminal));
    let of_batch = |fact: &Fact<SampleCrimp, CrimpRead>| {
        fact.tips
            .iter()
            .all(|t| t.with.as_ref().is_some_and(|w| w.batch.is_some()))
    };
    let faults: Vec<String> = governing
        .iter()
        .filter_map(|fact| {
            let untold = delivered && !of_batch(fact);
            sample_fault(job, fact.value()).or_else(|| {
                untold.then(|| "which delivery of terminals was pressed is not told".to_owned())
            })
        })
        .collect();
    let there = faults.is_empty() && !governing.is_empty();
    let told = governing.iter().filter_map(|s| s.value()).map(|s| {
        format!(
            "{} for {} s, mark moved {}",
            words::newtons(s.pull_mn),
            s.held_s,
            words::mm(s.mark_moved_nm)
        )
    });
    let detail = match (governing.is_empty(), there) {
        (true, _) => "none on record".to_owned(),
        (_, true) => told.collect::<Vec<_>>().join("; "),
        _ => faults.join("; "),
    };
    vec![
        Item::new(
            "sampleCrimp",
            6,
            "Sample crimp of both hands, measured and pulled",
            subject,
        )
        .there(there, detail),
        Item::new("sampleCrimpPicture", 6, "Sample crimp, picture", subject).pictured(
            job,
            Evidence::SampleCrimp,
            1,
            |_| true,
        ),
    ]
}

/// What the newest sample of a press and die does not show.
fn sample_fault(job: &Job<'_>, sample: Option<&SampleCrimp>) -> Option<String> {
    let Some(sample) = sample else {
        return Some("the newest is disputed".to_owned());
    };
    if sample.result == CrimpResult::Reject {
        return Some(
            "the newest one failed: crimps since the last good one are in doubt".to_owned(),
        );
    }
    if sample.left.is_none() || sample.right.is_none() {
        return Some("sizes after pressing are not told for both hands".to_owned());
    }
    if samples::asked_pull(job).is_none() {
        return Some("no upper tension is decided that its pull could be held against".to_owned());
    }
    let faults = samples::faults(job, sample);
    (!faults.is_empty()).then(|| faults.join("; "))
}

pub(super) fn below(job: &Job<'_>) -> Item {
    Item::new("below", 12, "What is below", Subject::Job(job.id)).pictured(
        job,
        Evidence::Below,
        1,
        |_| true,
    )
}

pub(super) fn defects(job: &Job<'_>) -> Vec<Item> {
    let mut found = Vec::new();
    for defect in &job.defects {
        let subject = Subject::Item(ItemKind::Defect, defect.id);
        let about = defect.about;
        let name = defect.found.value.clone().unwrap_or_default();
        let closed = defect.closed.value();
        found.push(
            Item::new(
                format!("defect/{}", defect.id),
                13,
                format!("Put right: {name}"),
                subject,
            )
            .there(
                closed.is_some(),
                closed.map_or_else(|| "open".to_owned(), |c| c.how.clone()),
            ),
        );
        for (evidence, key, when) in [
            (Evidence::DefectBefore, "before", "before"),
            (Evidence::DefectAfter, "after", "after, same angle"),
        ] {
            found.push(
                Item::new(
                    format!("defect{key}/{}", defect.id),
                    13,
                    format!("{name}: {when}"),
                    subject,
                )
                .pictured(job, evidence, 1, |s| *s == subject || Some(*s) == about),
            );
        }
    }
    found
}

pub(super) fn visits(job: &Job<'_>) -> Vec<Item> {
    job.visits
        .iter()
        .flat_map(|visit| {
            let subject = Subject::Item(ItemKind::Visit, visit.id);
            let day = visit.day.as_ref().map_or("day not told".into(), words::day);
            let told = match &visit.left_safe {
                Some(left) => format!("{}, {} told", left.how, left.told),
                None => "not told".to_owned(),
            };
            let of = |key: &str, name: &str| {
                let key = format!("{key}/{}", visit.id);
                Item::new(key, 15, format!("{day}: {name}"), subject)
            };
            [
                of("leftSafe", "how the edge was left").there(visit.left_safe.is_some(), told),
                of("leftSafePicture", "the edge as it was left, picture").pictured(
                    job,
                    Evidence::LeftSafe,
                    1,
                    |s| *s == subject,
                ),
            ]
        })
        .collect()
}

pub(super) fn sign_offs(job: &Job<'_>) -> Vec<Item> {
    SignStage::ALL
        .iter()
        .filter(|stage| **stage != SignStage::Handover)
        .map(|stage| {
            let word = serde_json::to_value(stage)
                .ok()
                .and_then(|v| v.as_str().map(str::to_owned))
                .unwrap_or_default();
            let signed: Vec<String> = job
                .sign_offs
                .iter()
                .filter(|(place, _)| *place == word)
                .filter_map(|(_, fact)| fact.value())
                .map(|s| job.reader.person(&s.person))
                .collect();
            Item::new(
                format!("signOff/{word}"),
                17,
                format!(
                    "Sign-off: {}",
                    words::value("stage", &serde_json::json!(word))
                ),
                Subject::Job(job.id),
            )
            .there(
                !signed.is_empty(),
                if signed.is_empty() {
                    "not signed".to_owned()
                } else {
                    signed.join(", ")
                },
            )
        })
        .collect()
}
