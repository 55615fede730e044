//! What a survey says, before it is held against a job: things by name, each with its facts.
//!
//! Invariant: nothing here has an id; names become ids when the import is planned.

use serde::Serialize;
use serde_json::Value;

use super::object::{Bounds, Object, Typed};
use super::problem::SurveyProblem;
use crate::model::Field;
use crate::model::context::{OpeningRead, Said};
use crate::model::fields;
use crate::model::values::{
    Day, Length, Opening, OpeningKind, PostRole, ProbeResult, Shape, Slope, Tensions,
};
use crate::subject::ItemKind;

/// A survey file as read, with everything in it that does not fit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// The job's title, where the file has a job.
    pub title: Option<String>,
    /// The job's address, where the file has a job.
    pub place: Option<String>,
    /// Set for a table of lengths, which can't begin a job.
    pub table: bool,
    pub(crate) job: Vec<Fact>,
    pub(crate) things: Vec<Thing>,
    pub(crate) in_runs: Vec<InRun>,
    pub(crate) bays: Vec<BayRow>,
    pub(crate) lengths: Vec<LengthRow>,
    pub(crate) tensions: Vec<TensionRow>,
    pub(crate) problems: Vec<SurveyProblem>,
}

/// One value that the file gives.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fact {
    pub(crate) path: String,
    pub(crate) field: &'static str,
    pub(crate) many: bool,
    pub(crate) place: String,
    pub(crate) value: Given,
    pub(crate) with: Option<Value>,
}

/// A value, or a thing of the job that the value names.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Given {
    Value(Value),
    Named(ItemKind, String),
}

/// A tool, strand, fitting set, run or post.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Thing {
    pub(crate) path: String,
    pub(crate) kind: ItemKind,
    pub(crate) name: String,
    pub(crate) facts: Vec<Fact>,
    /// Whether everything in it could be read; else nothing of it is recorded.
    pub(crate) whole: bool,
    /// For a run: what later parts are held against.
    pub(crate) run: RunShape,
}

/// Shape of a run as far as the import checks it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct RunShape {
    pub(crate) wires: Option<u32>,
    pub(crate) shape: Option<Shape>,
    pub(crate) slope: Option<Slope>,
}

/// A post's place in a run.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct InRun {
    pub(crate) path: String,
    pub(crate) run: String,
    pub(crate) post: String,
    pub(crate) position: Option<Length>,
    pub(crate) role: Option<PostRole>,
    pub(crate) facts: Vec<Fact>,
    pub(crate) whole: bool,
}

/// A bay's clear distance.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BayRow {
    pub(crate) path: String,
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) clear: Length,
    pub(crate) with: crate::model::context::BayRead,
    /// Name of the tool.
    pub(crate) tool: Option<String>,
    /// The lowest floor between the posts, with what was typed.
    pub(crate) low_spot: Option<(crate::model::values::LowSpot, String)>,
}

/// An inside-to-inside length.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LengthRow {
    pub(crate) path: String,
    pub(crate) run: String,
    pub(crate) wire: u32,
    pub(crate) length: Length,
    pub(crate) with: crate::model::context::LengthRead,
    /// Name of the tool.
    pub(crate) tool: Option<String>,
}

/// The tensions that a run was decided to have.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TensionRow {
    pub(crate) path: String,
    pub(crate) run: String,
    pub(crate) tensions: Tensions,
    /// The figures as the file has them.
    pub(crate) entered: String,
}

/// Collects the facts of one object of the file.
pub(crate) struct Facts<'o, 'a> {
    pub(crate) object: &'o Object<'a>,
    pub(crate) facts: Vec<Fact>,
}

impl<'o, 'a> Facts<'o, 'a> {
    pub(crate) fn of(object: &'o Object<'a>) -> Self {
        Facts {
            object,
            facts: Vec::new(),
        }
    }

    /// Takes a value where it is there.
    pub(crate) fn say<T: Serialize>(
        &mut self,
        name: &str,
        field: Field<T, Said>,
        value: Option<T>,
        entered: Option<String>,
    ) {
        let with = entered.map(|entered| Said {
            entered: Some(entered),
            ..Said::default()
        });
        self.read(name, field, "", value, with);
    }

    /// Takes a value with how it was read.
    pub(crate) fn read<T: Serialize, C: Serialize>(
        &mut self,
        name: &str,
        field: Field<T, C>,
        place: &str,
        value: Option<T>,
        with: Option<C>,
    ) {
        let plain = |v: Result<Value, _>| v.unwrap_or(Value::Null);
        let Some(value) = value else { return };
        self.facts.push(Fact {
            path: self.object.at(name),
            field: field.name,
            many: field.many,
            place: place.to_owned(),
            value: Given::Value(plain(serde_json::to_value(value))),
            with: with.map(|w| plain(serde_json::to_value(w))),
        });
    }

    pub(crate) fn text(&mut self, name: &'static str, field: Field<String, Said>) {
        self.say(name, field, self.object.text(name), None);
    }

    pub(crate) fn flag(&mut self, name: &'static str, field: Field<bool, Said>) {
        self.say(name, field, self.object.flag(name), None);
    }

    pub(crate) fn day(&mut self, name: &'static str, field: Field<Day, Said>) {
        self.say(name, field, self.object.day(name), None);
    }

    pub(crate) fn word<T: Serialize + Copy>(
        &mut self,
        name: &'static str,
        field: Field<T, Said>,
        all: &[T],
    ) {
        self.say(name, field, self.object.word(name, all), None);
    }

    pub(crate) fn length(
        &mut self,
        name: &'static str,
        field: Field<Length, Said>,
        bounds: Bounds,
    ) {
        if let Some(Typed { length, entered }) = self.object.length(name, bounds) {
            self.say(name, field, Some(length), Some(entered));
        }
    }

    pub(crate) fn notes(&mut self, field: Field<String, Said>) {
        for (path, node) in self.object.list("notes") {
            let text = match node {
                super::tree::Node::Text(text) => text.as_str(),
                _ => "",
            };
            let log = self.object.log;
            if let Some(text) = super::object::text_of(text, &path, log) {
                self.say("notes", field, Some(text), None);
            }
        }
    }

    pub(crate) fn openings(&mut self, field: Field<Opening, OpeningRead>) {
        for (path, node) in self.object.list("openings") {
            let Some(one) = Object::open(node, path, self.object.log) else {
                continue;
            };
            let kind = one.must("kind", one.word("kind", OpeningKind::ALL));
            let size = one.must("size", one.length("size", Bounds::Gap));
            let probe = one.length("probe", Bounds::Size);
            let result = one.word("result", ProbeResult::ALL);
            let push = one.whole("pushN", 1, 100_000);
            let (remark, place) = (one.text("remark"), one.text("place"));
            if result.is_some() && one.node("probe").is_none() {
                one.refuse("probe", "is missing; a result needs the probe's diameter");
            }
            if let (Some(kind), Some(size)) = (kind, size) {
                let with = OpeningRead {
                    kind,
                    entered: Some(size.entered),
                    remark,
                    probe_nm: probe.map(|p| p.length.nm),
                    push_mn: push.map(|n| n * 1000),
                    moment: None,
                };
                let value = Opening {
                    nm: size.length.nm,
                    result,
                };
                let place = place.unwrap_or_default();
                let at = one.path.rsplit('.').next().unwrap_or("openings").to_owned();
                self.read(&at, field, &place, Some(value), Some(with));
            }
            one.end();
        }
    }
}

/// A post's or run's name field, which every such thing has.
pub(crate) const fn name_field(kind: ItemKind) -> Option<Field<String, Said>> {
    match kind {
        ItemKind::Run => Some(fields::RUN_NAME),
        ItemKind::Post => Some(fields::POST_NAME),
        ItemKind::Tool => Some(fields::TOOL_NAME),
        ItemKind::Strand => Some(fields::STRAND_NAME),
        ItemKind::FittingSet => Some(fields::FITTING_NAME),
        _ => None,
    }
}
