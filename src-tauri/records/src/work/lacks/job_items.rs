//! Evidence about the job as a whole and its posts.

use serde::de::DeserializeOwned;

use super::Lack;
use super::ask::{Asking, Item, settle};
use super::things;
use crate::job::{Job, PostFacts};
use crate::model::values::{Evidence, PostRole};
use crate::model::{Field, fields};
use crate::subject::Subject;

pub(super) fn items(job: &Job<'_>, asking: &Asking) -> Vec<Lack> {
    let mut found = site(job);
    found.extend(posts(job));
    found.extend(things::materials(job));
    found.extend(things::wrong_strand(job));
    found.extend(things::tools(job));
    found.extend(things::sample(job));
    found.push(things::below(job));
    found.extend(things::defects(job));
    found.extend(things::visits(job));
    found.extend(things::sign_offs(job));
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
        (
            fields::JOB_CHLORINE.name,
            "Chlorine nearby, yes or no",
            told(job, fields::JOB_CHLORINE),
        ),
        (
            fields::JOB_WASHED.name,
            "Washed by rain, yes or no",
            told(job, fields::JOB_WASHED),
        ),
        (
            fields::JOB_METALS.name,
            "Dissimilar metals that touch",
            told(job, fields::JOB_METALS),
        ),
        (
            fields::JOB_CLIMBABLES.name,
            "Things to climb on",
            told(job, fields::JOB_CLIMBABLES),
        ),
        (
            fields::JOB_HAZARDS.name,
            "Drilling hazards",
            told(job, fields::JOB_HAZARDS),
        ),
        (
            fields::JOB_ACCESS.name,
            "Access",
            told(job, fields::JOB_ACCESS),
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
    if added(job, post) {
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

/// Whether a post was added later: it stands in a bay that was measured from post to post before.
fn added(job: &Job<'_>, post: &PostFacts) -> bool {
    job.runs.iter().any(|run| {
        let Some(at) = run.posts.iter().position(|p| p.id == post.id) else {
            return false;
        };
        let after = at.saturating_add(1);
        let (before, behind) = (run.posts.get(..at), run.posts.get(after..));
        let pairs = before.into_iter().flatten().flat_map(|left| {
            let behind = behind.into_iter().flatten();
            behind.map(move |right| Subject::bay(left.id, right.id))
        });
        pairs
            .into_iter()
            .any(|bay| !job.bay_readings(&bay).is_empty())
    })
}
