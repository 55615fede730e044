//! Evidence about the job as a whole, its posts, deliveries, tools, visits and sign-offs.

use serde::de::DeserializeOwned;

use super::Lack;
use super::ask::{Asking, Item, pictures, settle};
use crate::job::{Job, PostFacts};
use crate::model::values::{BatchKind, CrimpResult, Evidence, PostRole, SignStage, ToolKind};
use crate::model::{Field, fields};
use crate::subject::{ItemKind, Subject};
use crate::work::words;

pub(super) fn items(job: &Job<'_>, asking: &Asking) -> Vec<Lack> {
    let mut found = site(job);
    found.extend(posts(job));
    found.extend(materials(job));
    found.extend(tools(job));
    found.extend(sample(job));
    found.push(below(job));
    found.extend(defects(job));
    found.extend(visits(job));
    found.extend(sign_offs(job));
    if let Some(rule_set) = found.iter_mut().find(|i| i.key == "fact/ruleSet") {
        rule_set.asked_by = asking.rule();
    }
    found.into_iter().map(|i| settle(job, i)).collect()
}

fn site(job: &Job<'_>) -> Vec<Item> {
    let subject = Subject::Job(job.id);
    fn told<T, C>(job: &Job<'_>, field: Field<T, C>) -> bool
    where
        T: DeserializeOwned,
        C: DeserializeOwned,
    {
        job.reader.one(field, &job.subject(), "").value().is_some()
    }
    let facts = [
        (
            fields::JOB_PLACE.name,
            "Address",
            told(job, fields::JOB_PLACE),
        ),
        (
            fields::JOB_OWNER.name,
            "Owner",
            told(job, fields::JOB_OWNER),
        ),
        (
            fields::JOB_CERTIFIER.name,
            "Certifier or inspector",
            told(job, fields::JOB_CERTIFIER),
        ),
        (
            fields::JOB_PERMIT.name,
            "Permit number",
            told(job, fields::JOB_PERMIT),
        ),
        (
            fields::JOB_PERMIT_DATE.name,
            "Date of the permit",
            told(job, fields::JOB_PERMIT_DATE),
        ),
        (
            fields::JOB_RULE_SET.name,
            "Rule set in force on that date",
            told(job, fields::JOB_RULE_SET),
        ),
        (
            fields::JOB_BUILDING_CLASS.name,
            "Class of the building",
            told(job, fields::JOB_BUILDING_CLASS),
        ),
        (
            fields::JOB_FALL.name,
            "Height of the fall",
            told(job, fields::JOB_FALL),
        ),
        (
            fields::JOB_BELOW.name,
            "What is below",
            told(job, fields::JOB_BELOW),
        ),
        (
            fields::JOB_POOL.name,
            "Pool boundary, yes or no",
            told(job, fields::JOB_POOL),
        ),
        (
            fields::JOB_CHILDREN.name,
            "Young children, yes or no",
            told(job, fields::JOB_CHILDREN),
        ),
        (
            fields::JOB_SALT_DISTANCE.name,
            "Distance to salt or surf",
            told(job, fields::JOB_SALT_DISTANCE),
        ),
        (
            fields::JOB_STEEL.name,
            "Steel grade and why",
            told(job, fields::JOB_STEEL),
        ),
    ];
    facts
        .into_iter()
        .map(|(field, name, there)| {
            Item::new(format!("fact/{field}"), 1, name, subject)
                .there(there, if there { "told" } else { "not told" })
        })
        .collect()
}

fn posts(job: &Job<'_>) -> Vec<Item> {
    let mut found = Vec::new();
    for post in &job.posts {
        let roles: Vec<PostRole> = job
            .runs
            .iter()
            .flat_map(|r| &r.posts)
            .filter(|p| p.id == post.id)
            .map(|p| p.role)
            .collect();
        if roles.is_empty() {
            continue;
        }
        found.extend(post_items(job, post, roles.contains(&PostRole::Anchor)));
    }
    if job.runs.iter().any(|r| !r.posts.is_empty()) {
        found.push(
            Item::new(
                "engineersLetter",
                3,
                "Engineer's letter on the posts",
                Subject::Job(job.id),
            )
            .pictured(job, Evidence::EngineersLetter, 1, |_| true),
        );
    }
    found
}

fn post_items(job: &Job<'_>, post: &PostFacts, anchor: bool) -> Vec<Item> {
    let subject = Subject::post(post.id);
    let mut missing = Vec::new();
    for (there, what) in [
        (post.section.is_some(), "section"),
        (post.material.is_some(), "material"),
        (post.condition.is_some(), "condition"),
        (post.base.is_some(), "base fixing"),
    ] {
        if !there {
            missing.push(what);
        }
    }
    let mut found = vec![
        Item::new(
            format!("post/{}", post.id),
            3,
            format!("Post {}: facts", post.name),
            subject,
        )
        .there(
            missing.is_empty(),
            if missing.is_empty() {
                "told".to_owned()
            } else {
                format!("not told: {}", missing.join(", "))
            },
        ),
    ];
    if anchor {
        found.push(
            Item::new(
                format!("postFixing/{}", post.id),
                3,
                format!("Post {}: base fixing before it was covered", post.name),
                subject,
            )
            .pictured(job, Evidence::PostFixing, 1, |s| *s == subject),
        );
        found.push(
            Item::new(
                format!("railJoint/{}", post.id),
                3,
                format!("Post {}: rail joint", post.name),
                subject,
            )
            .pictured(job, Evidence::RailJoint, 1, |s| *s == subject),
        );
    }
    if added(&post.name) {
        found.push(
            Item::new(
                format!("postAdded/{}", post.id),
                3,
                format!("Post {}: added later", post.name),
                subject,
            )
            .pictured(job, Evidence::PostAdded, 1, |s| *s == subject),
        );
    }
    found
}

/// A post added later takes a letter behind its number: A4a.
fn added(name: &str) -> bool {
    let mut letters = name.chars().rev();
    letters.next().is_some_and(|c| c.is_ascii_lowercase())
        && letters.next().is_some_and(|c| c.is_ascii_digit())
}

fn materials(job: &Job<'_>) -> Vec<Item> {
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
        let there = batch.arrival.as_ref().is_some_and(|a| a.tried);
        let detail = match &batch.arrival {
            Some(a) => format!(
                "{} LH, {} RH counted{}",
                a.counted_left,
                a.counted_right,
                if a.tried {
                    ", one of each hand tried"
                } else {
                    ", hands not tried"
                }
            ),
            None => "not counted on arrival".to_owned(),
        };
        found.push(
            Item::new(
                format!("arrival/{}", batch.id),
                4,
                format!("{}: counted on arrival, hands tried", batch.name),
                Subject::Item(ItemKind::Batch, batch.id),
            )
            .there(there, detail),
        );
    }
    found
}

fn tools(job: &Job<'_>) -> Vec<Item> {
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
                format!(
                    "compared {}, due {}",
                    tool.compared_on
                        .as_ref()
                        .map_or("not told".into(), words::day),
                    tool.due.as_ref().map_or("not told".into(), words::day)
                ),
            ),
        );
    }
    found
}

fn sample(job: &Job<'_>) -> Vec<Item> {
    let subject = Subject::Job(job.id);
    let good = job
        .sample_crimps
        .iter()
        .filter_map(|s| s.value())
        .find(|s| s.result == CrimpResult::Good);
    vec![
        Item::new(
            "sampleCrimp",
            6,
            "Sample crimp of both hands, pulled",
            subject,
        )
        .there(
            good.is_some(),
            good.map_or_else(
                || "none on record".to_owned(),
                |s| {
                    format!(
                        "{} for {} s, mark moved {}",
                        words::newtons(s.pull_mn),
                        s.held_s,
                        words::mm(s.mark_moved_nm)
                    )
                },
            ),
        ),
        Item::new("sampleCrimpPicture", 6, "Sample crimp, picture", subject).pictured(
            job,
            Evidence::SampleCrimp,
            1,
            |_| true,
        ),
    ]
}

fn below(job: &Job<'_>) -> Item {
    Item::new("below", 12, "What is below", Subject::Job(job.id)).pictured(
        job,
        Evidence::Below,
        1,
        |_| true,
    )
}

fn defects(job: &Job<'_>) -> Vec<Item> {
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

fn visits(job: &Job<'_>) -> Vec<Item> {
    job.visits
        .iter()
        .map(|visit| {
            let subject = Subject::Item(ItemKind::Visit, visit.id);
            let day = visit.day.as_ref().map_or("day not told".into(), words::day);
            let picture = pictures(job, Evidence::LeftSafe, |s| *s == subject);
            Item::new(
                format!("leftSafe/{}", visit.id),
                15,
                format!("{day}: how the edge was left"),
                subject,
            )
            .there(
                visit.left_safe.is_some(),
                match &visit.left_safe {
                    Some(left) => format!("{}, {} told, pictures: {picture}", left.how, left.told),
                    None => "not told".to_owned(),
                },
            )
        })
        .collect()
}

fn sign_offs(job: &Job<'_>) -> Vec<Item> {
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
