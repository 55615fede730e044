//! Typed reading of one field: what stands, who said it, and whether people agree.

use serde::de::DeserializeOwned;
use serde_json::Value;

use crate::book::{BookView, Key, KeyState};
use crate::claims::{self, Line};
use crate::crew::Crew;
use crate::entry::{At, Entry};
use crate::ids::{DeviceId, Hash, PersonId};
use crate::model::{Field, bounds};
use crate::subject::{Subject, SubjectKind};

/// One person's word.
#[derive(Clone, Debug, PartialEq)]
pub struct Told<T, C> {
    /// The entry.
    pub id: Hash,
    /// The value; none when it was withdrawn.
    pub value: Option<T>,
    /// How it came about, where that was said.
    pub with: Option<C>,
    /// Who.
    pub person: PersonId,
    /// On which device.
    pub device: DeviceId,
    /// Number of the entry in that device's own chain.
    pub n: u64,
    /// When.
    pub at: At,
    /// What it was decided on.
    pub basis: Vec<Hash>,
}

/// How far people agree on a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Nobody said anything.
    Missing,
    /// One value stands.
    Agreed,
    /// It was withdrawn.
    Withdrawn,
    /// Two or more values stand apart.
    Disputed,
    /// A newer version changed it.
    Newer,
}

/// A value as the record tells it.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact<T, C> {
    /// How far people agree.
    pub standing: Standing,
    /// Words that stand, oldest first.
    pub tips: Vec<Told<T, C>>,
    /// Number of claims in the line, replaced ones included.
    pub said: usize,
}

impl<T, C> Fact<T, C> {
    /// The value that people agree on.
    #[must_use]
    pub fn value(&self) -> Option<&T> {
        match self.standing {
            Standing::Agreed => self.tips.iter().find_map(|t| t.value.as_ref()),
            _ => None,
        }
    }

    /// The agreed value's last word.
    #[must_use]
    pub fn told(&self) -> Option<&Told<T, C>> {
        match self.standing {
            Standing::Agreed => self.tips.last(),
            _ => None,
        }
    }

    /// Any value that stands, for drawing and naming; the oldest word where people disagree. No figure
    /// is computed from it without the dispute being told beside it (`work::differing`).
    #[must_use]
    pub fn shown(&self) -> Option<&T> {
        self.tips.iter().find_map(|t| t.value.as_ref())
    }

    /// All values that stand: one where people agree, each side's where they do not.
    pub fn values(&self) -> impl Iterator<Item = &T> {
        self.tips.iter().filter_map(|t| t.value.as_ref())
    }

    /// Whether it can't be used for cutting: disputed or changed by a newer version.
    #[must_use]
    pub fn blocks(&self) -> bool {
        matches!(self.standing, Standing::Disputed | Standing::Newer)
    }

    /// Entries that a correction must name.
    #[must_use]
    pub fn tip_ids(&self) -> Vec<Hash> {
        self.tips.iter().map(|t| t.id).collect()
    }
}

impl<C> Fact<String, C> {
    /// The text for showing: where people differ, every side's.
    #[must_use]
    pub fn label(&self) -> String {
        let mut sides: Vec<&str> = Vec::new();
        for side in self.values() {
            if !sides.contains(&side.as_str()) {
                sides.push(side);
            }
        }
        sides.join(" / ")
    }
}

/// Reads a book's counted claims.
#[derive(Clone, Copy, Debug)]
pub struct Reader<'a> {
    /// The book.
    pub view: &'a BookView,
    /// Its crew, for names.
    pub crew: &'a Crew,
}

impl<'a> Reader<'a> {
    /// A single-valued field.
    #[must_use]
    pub fn one<T, C>(&self, field: Field<T, C>, subject: &str, place: &str) -> Fact<T, C>
    where
        T: DeserializeOwned,
        C: DeserializeOwned,
    {
        self.many(field, subject, place)
            .into_iter()
            .next()
            .unwrap_or(Fact {
                standing: Standing::Missing,
                tips: Vec::new(),
                said: 0,
            })
    }

    /// Lines of a many-valued field, oldest first, withdrawn ones left out.
    #[must_use]
    pub fn many<T, C>(&self, field: Field<T, C>, subject: &str, place: &str) -> Vec<Fact<T, C>>
    where
        T: DeserializeOwned,
        C: DeserializeOwned,
    {
        let key = Key {
            subject: subject.to_owned(),
            field: field.name.to_owned(),
            place: place.to_owned(),
        };
        let Some(state) = self.view.key(&key) else {
            return Vec::new();
        };
        let mut facts: Vec<Fact<T, C>> = state
            .lines
            .iter()
            .map(|line| self.fact(field, &key, state, line))
            .filter(|fact| !field.many || fact.standing != Standing::Withdrawn)
            .collect();
        facts.sort_by_key(|fact| fact.tips.first().map(|t| (t.at, t.id)));
        facts
    }

    /// Places of a field on a subject that have a line, sorted.
    #[must_use]
    pub fn places<T, C>(&self, field: Field<T, C>, subject: &str) -> Vec<String> {
        self.view
            .keys_of_subject(subject)
            .filter(|(key, _)| key.field == field.name)
            .map(|(key, _)| key.place.clone())
            .collect()
    }

    /// The agreed value of a single-valued field; none where nobody told it, and none where people
    /// disagree. Whoever takes something else in its place asks [`Reader::untold`] which it is and
    /// says so.
    #[must_use]
    pub fn value<T, C>(&self, field: Field<T, C>, subject: &str) -> Option<T>
    where
        T: DeserializeOwned + Clone,
        C: DeserializeOwned,
    {
        self.one(field, subject, "").value().cloned()
    }

    /// Why a single-valued field has no agreed value, as the end of a sentence.
    #[must_use]
    pub fn untold<T, C>(&self, field: Field<T, C>, subject: &Subject) -> &'static str
    where
        T: DeserializeOwned,
        C: DeserializeOwned,
    {
        match self.one(field, &subject.to_string(), "").standing {
            Standing::Disputed => "is disputed: people differ on it",
            Standing::Newer => "was changed by a newer version",
            Standing::Missing | Standing::Withdrawn | Standing::Agreed => "is not told",
        }
    }

    /// Whether people disagree on a single-valued field, or a newer version changed it.
    #[must_use]
    pub fn blocks<T, C>(&self, field: Field<T, C>, subject: &Subject) -> bool
    where
        T: DeserializeOwned,
        C: DeserializeOwned,
    {
        self.one(field, &subject.to_string(), "").blocks()
    }

    /// Name of a person, or a short form of the id.
    #[must_use]
    pub fn person(&self, person: &PersonId) -> String {
        match self.crew.person_name(person) {
            Some(name) => name.to_owned(),
            None => person.to_string().chars().take(6).collect(),
        }
    }

    /// Every key that people dispute or a newer version changed.
    pub fn unsettled(&self) -> impl Iterator<Item = (&'a Key, &'a KeyState)> {
        self.view.keys().filter(|(_, state)| {
            !state.newer.is_empty()
                || state
                    .lines
                    .iter()
                    .any(|l| l.standing == claims::Standing::Disputed)
        })
    }

    fn fact<T, C>(&self, field: Field<T, C>, key: &Key, state: &KeyState, line: &Line) -> Fact<T, C>
    where
        T: DeserializeOwned,
        C: DeserializeOwned,
    {
        let mut tips: Vec<Told<T, C>> = line
            .tips
            .iter()
            .filter_map(|id| self.view.entry(id))
            .map(|entry| told(entry, field.subject, key))
            .collect();
        tips.sort_by_key(|t| (t.at, t.id));
        let newer = state
            .newer
            .iter()
            .filter_map(|id| self.view.entry(id))
            .any(|e| e.body.over.iter().any(|o| line.tips.contains(o)));
        let standing = match line.standing {
            _ if newer => Standing::Newer,
            claims::Standing::Agreed => Standing::Agreed,
            claims::Standing::Withdrawn => Standing::Withdrawn,
            claims::Standing::Disputed => Standing::Disputed,
        };
        Fact {
            standing,
            tips,
            said: line.claims.len(),
        }
    }
}

fn told<T: DeserializeOwned, C: DeserializeOwned>(
    entry: &Entry,
    subject: SubjectKind,
    key: &Key,
) -> Told<T, C> {
    let body = &entry.body;
    let (value, with) = said(entry, key);
    // What can't be is read as not told; `work::cannot_be` names it.
    let value = value.filter(|v| bounds::figures(subject, &key.field, v).is_none());
    Told {
        id: entry.id,
        value: value.and_then(|v| T::deserialize(v).ok()),
        with: with.and_then(|v| C::deserialize(v).ok()),
        person: body.person,
        device: body.device,
        n: body.n,
        at: body.at,
        basis: body.basis.clone(),
    }
}

/// What an entry says on a key: value and context as they stand in it.
#[must_use]
pub fn said<'a>(entry: &'a Entry, key: &Key) -> (Option<&'a Value>, Option<&'a Value>) {
    let data = &entry.body.data;
    let own = entry.body.kind.split_once('.').map(|(_, field)| field);
    if own == Some(key.field.as_str()) {
        return (data.get("value"), data.get("with"));
    }
    let first = data.get("fields").and_then(Value::as_array);
    let one = first.into_iter().flatten().find(|f| {
        f.get("field").and_then(Value::as_str) == Some(&key.field)
            && f.get("place").and_then(Value::as_str).unwrap_or("") == key.place
    });
    let of = |name: &str| one.and_then(|f| f.get(name));
    (of("value"), of("with"))
}

/// Values of the words that stand on a key.
#[must_use]
pub fn values<'a>(view: &'a BookView, key: &Key) -> Vec<&'a Value> {
    view.key(key)
        .into_iter()
        .flat_map(|state| &state.lines)
        .flat_map(|line| &line.tips)
        .filter_map(|id| view.entry(id))
        .filter_map(|entry| said(entry, key).0)
        .collect()
}
