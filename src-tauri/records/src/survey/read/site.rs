//! The job with its site facts, its tools, and what it takes from the library.

use super::super::facts::{Fact, Facts, Given, RunShape, Survey, Thing};
use super::super::object::{Bounds, Object, Typed, text_of};
use super::super::problem::{Log, shown};
use super::super::tree::Node;
use super::thing;
use crate::library;
use crate::model::context::Said;
use crate::model::values::{Allowances, Force, Spare, ToolKind};
use crate::model::{entered, fields};
use crate::subject::ItemKind;

pub(super) fn job(root: &Object<'_>, survey: &mut Survey) {
    let Some(job) = root.object("job") else {
        return;
    };
    survey.title = job.must("title", job.text("title"));
    survey.place = job.must("place", job.text("place"));
    let mut facts = Facts::of(&job);
    facts.say("title", fields::JOB_TITLE, survey.title.clone(), None);
    facts.say("place", fields::JOB_PLACE, survey.place.clone(), None);
    for (name, field) in [
        ("owner", fields::JOB_OWNER),
        ("certifier", fields::JOB_CERTIFIER),
        ("permit", fields::JOB_PERMIT),
        ("buildingClass", fields::JOB_BUILDING_CLASS),
        ("below", fields::JOB_BELOW),
        ("steel", fields::JOB_STEEL),
        ("dissimilarMetals", fields::JOB_METALS),
        ("climbables", fields::JOB_CLIMBABLES),
        ("drillingHazards", fields::JOB_HAZARDS),
        ("access", fields::JOB_ACCESS),
    ] {
        facts.text(name, field);
    }
    for (name, field) in [
        ("pool", fields::JOB_POOL),
        ("children", fields::JOB_CHILDREN),
        ("chlorine", fields::JOB_CHLORINE),
        ("washedByRain", fields::JOB_WASHED),
    ] {
        facts.flag(name, field);
    }
    facts.day("permitDate", fields::JOB_PERMIT_DATE);
    facts.length("fall", fields::JOB_FALL, Bounds::Size);
    facts.length("saltDistance", fields::JOB_SALT_DISTANCE, Bounds::Far);
    facts.length("comingFloor", fields::JOB_COMING_FLOOR, Bounds::Gap);
    facts.length("leastWood", fields::JOB_LEAST_WOOD, Bounds::Gap);
    if let Some(key) = job.text("ruleSet") {
        match library::rule_set(&key) {
            Some(file) => {
                let copy = library::copy_of(&file);
                facts.say("ruleSet", fields::JOB_RULE_SET, Some(copy), None);
            }
            None => {
                let known = library::rule_sets().into_iter().map(|r| r.name);
                job.refuse("ruleSet", unknown(&key, known.collect()));
            }
        }
    }
    facts.notes(fields::JOB_NOTE);
    survey.job.append(&mut facts.facts);
    job.end();
    allowances(root, survey);
}

fn allowances(root: &Object<'_>, survey: &mut Survey) {
    let Some(given) = root.object("allowances") else {
        return;
    };
    let before = given.log.refused();
    let spare = |name| {
        let Some(one) = given.object(name) else {
            return Spare::default();
        };
        let count = |name| {
            let count = one.whole(name, 0, 10_000).unwrap_or(0);
            u32::try_from(count).unwrap_or(0)
        };
        let spare = Spare {
            sample: count("sample"),
            scrap: count("scrap"),
            over: count("over"),
        };
        one.end();
        spare
    };
    let sample = given.length("sampleStrand", Bounds::Gap);
    let scrap = given.length("scrapStrand", Bounds::Gap);
    let nm = |typed: &Option<Typed>| typed.as_ref().map_or(0, |typed| typed.length.nm);
    let allowances = Allowances {
        terminals: spare("terminals"),
        inserts: spare("inserts"),
        lock_nuts: spare("lockNuts"),
        angled_seats: spare("angledSeats"),
        linings: spare("linings"),
        sample_strand_nm: nm(&sample),
        scrap_strand_nm: nm(&scrap),
    };
    let typed: Vec<String> = [("for samples", sample), ("for remakes", scrap)]
        .into_iter()
        .filter_map(|(name, typed)| Some(format!("{} {name}", typed?.entered)))
        .collect();
    let entered = (!typed.is_empty()).then(|| typed.join(", "));
    if given.log.refused() == before {
        let mut facts = Facts::of(root);
        let field = fields::JOB_ALLOWANCES;
        facts.say("allowances", field, Some(allowances), entered);
        survey.job.append(&mut facts.facts);
    }
    given.end();
}

pub(super) fn tools(root: &Object<'_>, survey: &mut Survey) {
    for (path, node) in root.list("tools") {
        let Some(object) = Object::open(node, path, root.log) else {
            continue;
        };
        thing(&object, ItemKind::Tool, survey, |facts, _| {
            let object = facts.object;
            let kind = object.must("kind", object.word("kind", ToolKind::ALL));
            facts.say("kind", fields::TOOL_KIND, kind, None);
            facts.text("range", fields::TOOL_RANGE);
            for (name, field) in [
                ("rangeFromN", fields::TOOL_RANGE_FROM),
                ("rangeToN", fields::TOOL_RANGE_TO),
            ] {
                let newtons = object.whole(name, 1, 1_000_000);
                let typed = newtons.and_then(|_| object.written(name));
                let typed = typed.as_deref().map(entered::said_force);
                facts.say(name, field, newtons.map(Force::newtons), typed);
            }
            facts.text("comparedWith", fields::TOOL_COMPARED_WITH);
            facts.text("certificate", fields::TOOL_CERTIFICATE);
            facts.day("comparedOn", fields::TOOL_COMPARED_ON);
            facts.day("due", fields::TOOL_DUE);
            facts.length("size", fields::TOOL_SIZE, Bounds::Size);
            let error = object.decimal("errorPercent", 2, 0, 10_000);
            facts.say("errorPercent", fields::TOOL_ERROR, error, None);
            let mass = object.decimal("massKg", 6, 1, 1_000_000_000);
            let typed = mass.and_then(|_| object.written("massKg"));
            let typed = typed.map(|text| format!("{text} kg"));
            facts.say("massKg", fields::TOOL_MASS, mass, typed);
            RunShape::default()
        });
        object.end();
    }
}

/// Strands and fitting sets that the file lists by their keys.
pub(super) fn library(root: &Object<'_>, survey: &mut Survey) {
    for (name, kind) in [
        ("strands", ItemKind::Strand),
        ("fittingSets", ItemKind::FittingSet),
    ] {
        for (path, node) in root.list(name) {
            let text = match node {
                Node::Text(text) => text.as_str(),
                _ => "",
            };
            if let Some(key) = text_of(text, &path, root.log) {
                from_library(kind, &key, &path, survey, root.log);
            }
        }
    }
}

/// The thing that a library key stands for, added to the survey once.
pub(super) fn from_library(
    kind: ItemKind,
    key: &str,
    path: &str,
    survey: &mut Survey,
    log: &Log,
) -> Option<Given> {
    let found = match kind {
        ItemKind::Strand => strand(key, path)?,
        _ => fitting_set(key, path)?,
    };
    let (name, facts) = match found {
        Ok(found) => found,
        Err(known) => {
            log.refuse(path, unknown(key, known));
            return None;
        }
    };
    let there = |t: &Thing| t.kind == kind && t.name == name;
    if !survey.things.iter().any(there) {
        survey.things.push(Thing {
            path: path.to_owned(),
            kind,
            name: name.clone(),
            facts,
            whole: true,
            run: RunShape::default(),
        });
    }
    Some(Given::Named(kind, name))
}

/// A name with its facts, or the keys that there are.
type Found = Option<Result<(String, Vec<Fact>), Vec<String>>>;

fn strand(key: &str, path: &str) -> Found {
    let all = library::strands();
    let Some(found) = all.iter().find(|s| s.key == key) else {
        return Some(Err(all.into_iter().map(|s| s.key).collect()));
    };
    let facts = vec![
        fact(path, &fields::STRAND_NAME, &found.name)?,
        fact(path, &fields::STRAND_FIGURES, &found.figures)?,
    ];
    Some(Ok((found.name.clone(), facts)))
}

fn fitting_set(key: &str, path: &str) -> Found {
    let all = library::fitting_sets();
    let Some(found) = all.iter().find(|s| s.key == key) else {
        return Some(Err(all.into_iter().map(|s| s.key).collect()));
    };
    let mut facts = vec![
        fact(path, &fields::FITTING_NAME, &found.name)?,
        fact(path, &fields::FITTING_TERMINALS, &found.terminals)?,
    ];
    let hole = (&found.through_hole, found.origin_of("throughHoleNm"));
    facts.push(from(path, &fields::FITTING_THROUGH_HOLE, hole)?);
    let efficiency = (&found.efficiency, Some(found.efficiency_origin.clone()));
    facts.push(from(path, &fields::FITTING_EFFICIENCY, efficiency)?);
    if let Some(deduction) = &found.fixed_deduction {
        let deduction = (deduction, found.fixed_deduction_origin.clone());
        facts.push(from(path, &fields::FITTING_FIXED_DEDUCTION, deduction)?);
    }
    if let Some(pull) = &found.insert_pull {
        let pull = (pull, found.origin_of("insertPullMn"));
        facts.push(from(path, &fields::FITTING_INSERT_PULL, pull)?);
    }
    if let Some(limit) = &found.thread_limit {
        let limit = (limit, found.origin_of("threadLimitMn"));
        facts.push(from(path, &fields::FITTING_THREAD_LIMIT, limit)?);
    }
    Some(Ok((found.name.clone(), facts)))
}

/// A figure with where it is from, as far as that is told.
fn from<T: serde::Serialize>(
    path: &str,
    field: &crate::model::Field<T, Said>,
    (value, origin): (&T, Option<String>),
) -> Option<Fact> {
    let said = |origin| Said {
        origin: Some(origin),
        ..Said::default()
    };
    let origin = origin.filter(|origin| !origin.is_empty());
    let with = origin.map(|origin| serde_json::to_value(said(origin)));
    Some(Fact {
        with: with.transpose().ok()?,
        ..fact(path, field, value)?
    })
}

fn fact<T: serde::Serialize, C>(
    path: &str,
    field: &crate::model::Field<T, C>,
    value: &T,
) -> Option<Fact> {
    Some(Fact {
        path: path.to_owned(),
        field: field.name,
        many: field.many,
        place: String::new(),
        value: Given::Value(serde_json::to_value(value).ok()?),
        with: None,
    })
}

fn unknown(key: &str, known: Vec<String>) -> String {
    format!(
        "the library has no {:?}; write one of: {}",
        shown(key),
        known.join(", ")
    )
}
