//! From the file's JSON to what it says: one function for each part of a survey.
//!
//! Invariant: every part is read to its end, so that one reading reports every problem. Does not
//! know the job that the survey goes to.

mod lengths;
mod post;
mod run;
mod site;

use std::collections::BTreeSet;

use super::error::SurveyError;
use super::facts::{Facts, RunShape, Survey, Thing, name_field};
use super::object::Object;
use super::problem::Log;
use super::tree::Node;
use crate::subject::ItemKind;

/// The format that this version reads.
pub const FORMAT: u64 = 1;

/// Reads a survey.
pub(crate) fn survey(node: &Node, log: &Log) -> Result<Survey, SurveyError> {
    let not = |what: &str| Err(SurveyError::NotASurvey(what.to_owned()));
    let Node::Object(fields) = node else {
        return not(&format!("the file holds {}", node.sort()));
    };
    match fields.iter().find(|(name, _)| name == "format") {
        None => return not("the file has no format number"),
        Some((_, Node::Number(text))) => match text.parse::<u64>() {
            Ok(FORMAT) => {}
            Ok(newer) if newer > FORMAT => return Err(SurveyError::Newer(newer)),
            _ => return not(&format!("the format number {text} is none")),
        },
        Some((_, other)) => return not(&format!("as format number stands {}", other.sort())),
    }
    let mut survey = Survey::default();
    let Some(root) = Object::open(node, String::new(), log) else {
        return not("the file holds no object");
    };
    root.node("format");
    site::job(&root, &mut survey);
    site::tools(&root, &mut survey);
    site::library(&root, &mut survey);
    run::runs(&root, &mut survey);
    post::posts(&root, &mut survey);
    lengths::bays(&root, &mut survey);
    lengths::lengths(&root, &mut survey);
    if fields.len() == 1 {
        return Err(SurveyError::Nothing);
    }
    root.end();
    twice(&mut survey, log);
    Ok(survey)
}

/// Reads one thing of a list; it is whole when nothing in it was refused.
fn thing(
    object: &Object<'_>,
    kind: ItemKind,
    survey: &mut Survey,
    read: impl FnOnce(&mut Facts<'_, '_>, &mut Survey) -> RunShape,
) {
    let before = object.log.refused();
    let mut facts = Facts::of(object);
    let name = object.must("name", object.text("name"));
    if let Some(field) = name_field(kind) {
        facts.say("name", field, name.clone(), None);
    }
    let run = read(&mut facts, survey);
    let facts = facts.facts;
    survey.things.push(Thing {
        path: object.path.clone(),
        kind,
        name: name.unwrap_or_default(),
        facts,
        whole: object.log.refused() == before,
        run,
    });
}

/// Refuses the second thing of a name: nobody could tell which is meant.
fn twice(survey: &mut Survey, log: &Log) {
    let mut seen = BTreeSet::new();
    for thing in survey.things.iter_mut().filter(|t| !t.name.is_empty()) {
        if !seen.insert((thing.kind, thing.name.clone())) {
            log.refuse(
                &format!("{}.name", thing.path),
                "another one in this file has this name; give each its own",
            );
            thing.whole = false;
        }
    }
}
