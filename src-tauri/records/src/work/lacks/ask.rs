//! How one item of the evidence list comes about.

use mechanics::rules::{NoteAbout, Status};

use super::{EvidenceState, Lack};
use crate::job::{Fact, Job, Run};
use crate::model::context::Said;
use crate::model::fields;
use crate::model::values::Evidence;
use crate::subject::Subject;
use crate::work::{WorkError, rules};

/// What asks where no document does.
pub(super) const COMMON_PRACTICE: &str = "common practice";

/// Titles of the handover's sections, in the inspector's order.
const SECTIONS: &[&str] = &[
    "Summary",
    "Drawing as built",
    "Posts, fixings and rail joints",
    "Materials, batches, arrival",
    "Tools and dates",
    "Sample crimp and crimps",
    "Template check",
    "Engagement",
    "Tension",
    "Openings",
    "Heights",
    "Views",
    "Defects",
    "Recheck",
    "Edge left safe",
    "Owner's care",
    "Sign-offs",
];

/// What asks for evidence in a job.
pub(super) struct Asking {
    document: Option<String>,
    /// What the document itself says of a run in words.
    said: Vec<NoteAbout>,
    pub(super) has_wire_table: bool,
    pub(super) has_deflection_table: bool,
}

impl Asking {
    pub(super) fn of(job: &Job<'_>) -> Result<Self, WorkError> {
        let set = rules::rules(job)?;
        let wires = set.as_ref().and_then(|s| s.wires.as_ref());
        let notes = set.as_ref().map_or(&[][..], |s| &s.notes);
        let of_document = notes
            .iter()
            .filter(|note| note.cite.status != Status::CommonPractice);
        Ok(Asking {
            said: of_document.filter_map(|note| note.about).collect(),
            has_wire_table: wires.is_some_and(|w| w.tension.is_some()),
            has_deflection_table: wires.is_some_and(|w| w.deflection.is_some()),
            document: set.as_ref().map(mechanics::rules::document_of),
        })
    }

    pub(super) fn rule(&self) -> String {
        match &self.document {
            Some(document) => document.clone(),
            None => COMMON_PRACTICE.to_owned(),
        }
    }

    /// Who asks for what a note of the set may be about: its document where that says it.
    pub(super) fn said_on(&self, about: NoteAbout) -> String {
        if self.said.contains(&about) {
            self.rule()
        } else {
            COMMON_PRACTICE.to_owned()
        }
    }
}

/// An item before it is held against pictures and waivers.
pub(super) struct Item {
    pub(super) key: String,
    pub(super) section: u32,
    pub(super) name: String,
    pub(super) subject: Subject,
    pub(super) there: bool,
    pub(super) detail: String,
    pub(super) evidence: Option<Evidence>,
    pub(super) asked_by: String,
}

impl Item {
    pub(super) fn new(
        key: impl Into<String>,
        section: u32,
        name: impl Into<String>,
        subject: Subject,
    ) -> Self {
        Item {
            key: key.into(),
            section,
            name: name.into(),
            subject,
            there: false,
            detail: String::new(),
            evidence: None,
            asked_by: COMMON_PRACTICE.to_owned(),
        }
    }

    pub(super) fn there(mut self, there: bool, detail: impl Into<String>) -> Self {
        self.there = there;
        self.detail = detail.into();
        self
    }

    pub(super) fn asked_by(mut self, document: String) -> Self {
        self.asked_by = document;
        self
    }

    /// Settled by pictures or documents marked as this evidence and about one of these subjects.
    pub(super) fn pictured(
        mut self,
        job: &Job<'_>,
        evidence: Evidence,
        needed: usize,
        about: impl Fn(&Subject) -> bool,
    ) -> Self {
        let found = pictures(job, evidence, about);
        self.evidence = Some(evidence);
        self.there = found >= needed;
        self.detail = match (found, needed) {
            (0, 1) => "nothing here yet".to_owned(),
            (found, 1) => format!("{found} here"),
            (found, needed) => format!("{found} of {needed} here"),
        };
        self
    }
}

/// Pictures and documents marked as this evidence and about one of these subjects.
fn pictures(job: &Job<'_>, evidence: Evidence, about: impl Fn(&Subject) -> bool) -> usize {
    let fits =
        |shows: &Vec<(Subject, Evidence)>| shows.iter().any(|(s, e)| *e == evidence && about(s));
    job.photos.iter().filter(|p| fits(&p.shows)).count()
        + job.documents.iter().filter(|d| fits(&d.shows)).count()
}

/// Whether a subject is the run, or a post, bay or wire of it.
pub(super) fn of_run(run: &Run) -> impl Fn(&Subject) -> bool + '_ {
    move |subject| match subject {
        Subject::Wire(id, _) => *id == run.id,
        Subject::Bay(..) => run.bays.iter().any(|b| b.subject == *subject),
        other => *other == run.subject() || run.posts.iter().any(|p| Subject::post(p.id) == *other),
    }
}

/// Names of all who said it, each once.
fn said_by(job: &Job<'_>, waiver: &Fact<String, Said>) -> String {
    let mut names: Vec<String> = Vec::new();
    for told in waiver.tips.iter().filter(|told| told.value.is_some()) {
        let name = job.reader.person(&told.person);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}

/// Joins an item with its waiver, where a person gave one.
pub(super) fn settle(job: &Job<'_>, item: Item) -> Lack {
    let waiver = job
        .reader
        .one(fields::JOB_EVIDENCE_WAIVED, &job.subject(), &item.key);
    let told = waiver.told().filter(|t| t.value.is_some());
    let state = if item.there {
        EvidenceState::There
    } else if told.is_some() {
        EvidenceState::Waived
    } else {
        EvidenceState::Lacking
    };
    let at = usize::try_from(item.section).unwrap_or(0);
    Lack {
        section_title: SECTIONS
            .get(at.saturating_sub(1))
            .map_or_else(String::new, |t| (*t).to_owned()),
        // Several may have said why: all of it is told.
        waived_because: told.map(|_| waiver.label()),
        waived_by: told.map(|_| said_by(job, &waiver)),
        key: item.key,
        section: item.section,
        name: item.name,
        subject: item.subject,
        state,
        detail: item.detail,
        asks_for_picture: item.evidence.is_some(),
        evidence: item.evidence,
        asked_by: item.asked_by,
    }
}
