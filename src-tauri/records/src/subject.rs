//! Subjects: what an entry is about, in one text form.
//!
//! `job:<id>`, `run:<id>`, `wire:<run id>:<number>`, `bay:<post id>:<post id>` and so on. A bay is
//! the pair of its posts, so it stays with them when the layout changes.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, ItemId};

/// Most wires that one run may have.
pub const MOST_WIRES: u32 = 200;

/// The sort of thing that a subject is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SubjectKind {
    /// A crew, named by its book.
    Crew,
    /// A device.
    Device,
    /// A job, named by its book; in a crew book its listing there.
    Job,
    /// A barrier line.
    Run,
    /// A post or other support.
    Post,
    /// Two neighbouring posts.
    Bay,
    /// A run's wire by number from the bottom.
    Wire,
    /// A picture.
    Photo,
    /// A document.
    Document,
    /// A defect.
    Defect,
    /// A gauge, press, die, probe, mass, tape …
    Tool,
    /// A delivery.
    Batch,
    /// A day on site.
    Visit,
    /// A strand's figures.
    Strand,
    /// A fitting set's figures.
    FittingSet,
    /// A rule set that the crew wrote or changed.
    RuleSet,
}

impl SubjectKind {
    /// The word in subjects and kinds.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            SubjectKind::Crew => "crew",
            SubjectKind::Device => "device",
            SubjectKind::Job => "job",
            SubjectKind::Run => "run",
            SubjectKind::Post => "post",
            SubjectKind::Bay => "bay",
            SubjectKind::Wire => "wire",
            SubjectKind::Photo => "photo",
            SubjectKind::Document => "document",
            SubjectKind::Defect => "defect",
            SubjectKind::Tool => "tool",
            SubjectKind::Batch => "batch",
            SubjectKind::Visit => "visit",
            SubjectKind::Strand => "strand",
            SubjectKind::FittingSet => "fittingSet",
            SubjectKind::RuleSet => "ruleSet",
        }
    }
}

/// What an entry is about.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(try_from = "String", into = "String")]
#[ts(type = "string")]
#[schemars(with = "String")]
pub enum Subject {
    /// A crew.
    Crew(BookId),
    /// A device.
    Device(DeviceId),
    /// A job.
    Job(BookId),
    /// Anything with an id of its own.
    Item(ItemKind, ItemId),
    /// A wire of a run, numbered from the bottom, from 1.
    Wire(ItemId, u32),
    /// The bay between two posts, the one whose id reads first in front.
    Bay(ItemId, ItemId),
}

/// The things that have random ids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)] // each is explained at SubjectKind
pub enum ItemKind {
    Run,
    Post,
    Photo,
    Document,
    Defect,
    Tool,
    Batch,
    Visit,
    Strand,
    FittingSet,
    RuleSet,
}

const ITEM_KINDS: [ItemKind; 11] = [
    ItemKind::Run,
    ItemKind::Post,
    ItemKind::Photo,
    ItemKind::Document,
    ItemKind::Defect,
    ItemKind::Tool,
    ItemKind::Batch,
    ItemKind::Visit,
    ItemKind::Strand,
    ItemKind::FittingSet,
    ItemKind::RuleSet,
];

impl From<ItemKind> for SubjectKind {
    fn from(kind: ItemKind) -> Self {
        match kind {
            ItemKind::Run => SubjectKind::Run,
            ItemKind::Post => SubjectKind::Post,
            ItemKind::Photo => SubjectKind::Photo,
            ItemKind::Document => SubjectKind::Document,
            ItemKind::Defect => SubjectKind::Defect,
            ItemKind::Tool => SubjectKind::Tool,
            ItemKind::Batch => SubjectKind::Batch,
            ItemKind::Visit => SubjectKind::Visit,
            ItemKind::Strand => SubjectKind::Strand,
            ItemKind::FittingSet => SubjectKind::FittingSet,
            ItemKind::RuleSet => SubjectKind::RuleSet,
        }
    }
}

impl Subject {
    /// A bay by its two posts, in either order.
    #[must_use]
    pub fn bay(a: ItemId, b: ItemId) -> Self {
        // By text: other programs sort the ids as they read them.
        if a.to_string() <= b.to_string() {
            Subject::Bay(a, b)
        } else {
            Subject::Bay(b, a)
        }
    }

    /// A run.
    #[must_use]
    pub fn run(id: ItemId) -> Self {
        Subject::Item(ItemKind::Run, id)
    }

    /// A post.
    #[must_use]
    pub fn post(id: ItemId) -> Self {
        Subject::Item(ItemKind::Post, id)
    }

    /// The sort of thing.
    #[must_use]
    pub fn kind(&self) -> SubjectKind {
        match self {
            Subject::Crew(_) => SubjectKind::Crew,
            Subject::Device(_) => SubjectKind::Device,
            Subject::Job(_) => SubjectKind::Job,
            Subject::Item(kind, _) => (*kind).into(),
            Subject::Wire(..) => SubjectKind::Wire,
            Subject::Bay(..) => SubjectKind::Bay,
        }
    }

    /// The id, where the subject has one of its own.
    #[must_use]
    pub fn item(&self) -> Option<ItemId> {
        match self {
            Subject::Item(_, id) => Some(*id),
            _ => None,
        }
    }
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = self.kind().word();
        match self {
            Subject::Crew(id) | Subject::Job(id) => write!(f, "{word}:{id}"),
            Subject::Device(id) => write!(f, "{word}:{id}"),
            Subject::Item(_, id) => write!(f, "{word}:{id}"),
            Subject::Wire(run, number) => write!(f, "{word}:{run}:{number}"),
            Subject::Bay(a, b) => write!(f, "{word}:{a}:{b}"),
        }
    }
}

impl FromStr for Subject {
    type Err = RecordError;

    fn from_str(text: &str) -> Result<Self, RecordError> {
        let parsed = parse(text);
        match parsed {
            Some(subject) if subject.to_string() == text => Ok(subject),
            _ => Err(RecordError::NotASubject(text.chars().take(120).collect())),
        }
    }
}

fn parse(text: &str) -> Option<Subject> {
    let mut parts = text.split(':');
    let (word, first, second) = (parts.next()?, parts.next()?, parts.next());
    if parts.next().is_some() {
        return None;
    }
    match (word, second) {
        ("crew", None) => Some(Subject::Crew(first.parse().ok()?)),
        ("device", None) => Some(Subject::Device(first.parse().ok()?)),
        ("job", None) => Some(Subject::Job(first.parse().ok()?)),
        ("wire", Some(number)) => {
            let number = number.parse().ok()?;
            (1..=MOST_WIRES)
                .contains(&number)
                .then_some(Subject::Wire(first.parse().ok()?, number))
        }
        ("bay", Some(other)) => {
            let (a, b) = (first.parse().ok()?, other.parse().ok()?);
            (first < other).then_some(Subject::Bay(a, b))
        }
        (_, None) => {
            let kind = ITEM_KINDS
                .into_iter()
                .find(|k| SubjectKind::from(*k).word() == word)?;
            Some(Subject::Item(kind, first.parse().ok()?))
        }
        _ => None,
    }
}

impl TryFrom<String> for Subject {
    type Error = RecordError;
    fn try_from(text: String) -> Result<Self, RecordError> {
        text.parse()
    }
}

impl From<Subject> for String {
    fn from(subject: Subject) -> String {
        subject.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::{Hash, Id};

    fn id(seed: u8) -> ItemId {
        ItemId(Id::from_hash(&Hash::of(&[seed])))
    }

    #[test]
    fn every_subject_has_one_text_form() {
        let mut all = vec![
            Subject::Crew(BookId(id(1).0)),
            Subject::Job(BookId(id(2).0)),
            Subject::Wire(id(3), 12),
            Subject::bay(id(5), id(4)),
        ];
        all.extend(ITEM_KINDS.map(|kind| Subject::Item(kind, id(6))));
        for subject in all {
            assert_eq!(subject.to_string().parse::<Subject>().unwrap(), subject);
        }
        let run = id(3);
        let (four, five) = (id(4).to_string(), id(5).to_string());
        let (first, last) = (four.clone().min(five.clone()), four.max(five));
        for bad in [
            format!("wire:{run}:0"),
            format!("wire:{run}:01"),
            format!("wire:{run}:201"),
            format!("bay:{last}:{first}"),
            format!("bay:{run}:{run}"),
            "job".into(),
            format!("ship:{run}"),
            format!("run:{run}:1"),
        ] {
            assert!(bad.parse::<Subject>().is_err(), "{bad}");
        }
    }
}
