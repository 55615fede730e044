//! Holes of a run's end off the middle of a post's face, as a survey tells them: refused where they can't be,
//! noted where little wood stays to the edge.
//!
//! Invariant: what the file tells of section and fitting set counts before what the job has, since it is
//! recorded with the end.

use std::collections::BTreeMap;

use super::super::facts::{Fact, Given, InRun, Survey};
use super::super::problem::Outcome;
use super::Planner;
use crate::ids::ItemId;
use crate::model::fields;
use crate::model::values::{End, Hand, Length, Section, Terminals};
use crate::subject::ItemKind;
use crate::work::{HolesSaid, OffMiddle, off_middle};

/// Sections of the file's posts, fitting sets of its runs, and terminals of its fitting sets, by name.
#[derive(Debug, Default)]
pub(super) struct Told {
    sections: BTreeMap<String, Section>,
    sets: BTreeMap<String, String>,
    terminals: BTreeMap<String, Terminals>,
}

impl Told {
    pub(super) fn of(survey: &Survey) -> Self {
        let mut told = Told::default();
        for thing in survey.things.iter().filter(|thing| thing.whole) {
            let name = || thing.name.clone();
            for fact in &thing.facts {
                match (thing.kind, &fact.value) {
                    (ItemKind::Post, Given::Value(value))
                        if fact.field == fields::POST_SECTION.name =>
                    {
                        let section = serde_json::from_value(value.clone()).ok();
                        told.sections
                            .extend(section.map(|section| (name(), section)));
                    }
                    (ItemKind::Run, Given::Named(_, set))
                        if fact.field == fields::RUN_FITTING_SET.name =>
                    {
                        told.sets.insert(name(), set.clone());
                    }
                    (ItemKind::FittingSet, Given::Value(value))
                        if fact.field == fields::FITTING_TERMINALS.name =>
                    {
                        let terminals = serde_json::from_value(value.clone()).ok();
                        told.terminals.extend(terminals.map(|of| (name(), of)));
                    }
                    _ => {}
                }
            }
        }
        told
    }
}

impl Planner<'_, '_> {
    /// What is to be noted of an end's holes once it is recorded; no answer where they can't be, which is
    /// refused here.
    pub(super) fn holes(
        &self,
        run: ItemId,
        row: &InRun,
        post: ItemId,
        fact: &Fact,
    ) -> Option<Option<String>> {
        let end = match &fact.value {
            Given::Value(value) if fact.field == fields::POST_END.name => {
                serde_json::from_value::<End>(value.clone()).ok()
            }
            _ => None,
        };
        let Some(end) = end else {
            return Some(None);
        };
        let stands = self.job.post(post).and_then(|post| post.section);
        let said = HolesSaid {
            post: &row.post,
            section: self.told.sections.get(&row.post).copied().or(stands),
            hole: self.hole(run, row, &end),
            end,
        };
        match off_middle(self.job, &said) {
            Some(OffMiddle::CantBe(why)) => {
                self.log.refuse(&format!("{}.aside", fact.path), why);
                None
            }
            Some(OffMiddle::LittleWood(doubt)) => Some(Some(doubt)),
            None => Some(None),
        }
    }

    /// Notes a doubt about an end that was recorded.
    pub(super) fn noted(&self, path: &str, doubt: Option<String>) {
        if let Some(doubt) = doubt {
            let message = format!("{doubt}; look again before it is drilled");
            self.log
                .say(&format!("{path}.aside"), Outcome::Noted, message);
        }
    }

    /// Diameter of an end's holes by the fitting set that the file names for the run, else by the job's.
    fn hole(&self, run: ItemId, row: &InRun, end: &End) -> Option<Length> {
        let of_file = self.told.sets.get(&row.run);
        let of_job = || {
            let set = self.job.run(run)?.fitting_set?;
            let set = self.job.fitting_sets.iter().find(|s| s.id == set)?;
            set.terminals.as_ref()
        };
        let terminals = match of_file {
            Some(set) => self.told.terminals.get(set),
            None => of_job(),
        }?;
        let terminal = match end.hand {
            Hand::Left => &terminals.left,
            Hand::Right => &terminals.right,
        };
        let nm = (terminal.kind == end.kind).then(|| terminal.told("holeNm"))??;
        Some(Length { nm })
    }
}
