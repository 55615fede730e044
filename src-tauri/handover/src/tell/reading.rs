//! Reading the job for the document: names, notes, pictures, and which decisions still stand.

use std::collections::BTreeMap;

use records::ids::{Hash, PersonId};
use records::job::{Fact as Told, Job, Standing};
use records::model::Field;
use records::model::context::Said;
use records::model::values::{Evidence, Position, Taken};
use records::subject::{ItemKind, Subject};
use records::work::{self, EvidenceState, Lack};

use super::found::Found;
use super::{Picture, marked, original, words};
use crate::{Left, Originals, Source};

/// The job with what the document needs beside it.
pub(super) struct Reading<'a> {
    pub(super) job: &'a Job<'a>,
    pub(super) source: Source<'a>,
    pub(super) left: &'a Originals,
    pub(super) found: Found,
    stands: work::Stands,
    numbers: BTreeMap<Hash, usize>,
}

impl<'a> Reading<'a> {
    pub(super) fn of(source: &Source<'a>, left: &'a Originals) -> Self {
        let job = source.job;
        Reading {
            job,
            source: *source,
            left,
            found: Found::of(job),
            stands: work::Stands::of(job),
            numbers: job
                .photos
                .iter()
                .enumerate()
                .map(|(n, p)| (p.entry, n + 1))
                .collect(),
        }
    }

    pub(super) fn text(&self, field: Field<String, Said>) -> String {
        self.fact(field, Clone::clone)
    }

    /// A fact of the job in words; what people dispute is shown with both sides.
    pub(super) fn fact<T>(&self, field: Field<T, Said>, say: impl Fn(&T) -> String) -> String
    where
        T: serde::de::DeserializeOwned,
    {
        let fact = self.job.reader.one(field, &self.job.subject(), "");
        self.say(&fact, say)
    }

    /// A value in words; both sides where people disagree.
    pub(super) fn say<T, C>(&self, fact: &Told<T, C>, say: impl Fn(&T) -> String) -> String {
        match fact.standing {
            Standing::Missing => String::new(),
            Standing::Agreed => fact.value().map(say).unwrap_or_default(),
            Standing::Withdrawn => "withdrawn".into(),
            Standing::Disputed | Standing::Newer => {
                let sides: Vec<String> = fact
                    .tips
                    .iter()
                    .map(|t| {
                        let value = t.value.as_ref().map_or_else(|| "withdrawn".into(), &say);
                        format!("{value} ({})", self.person(&t.person))
                    })
                    .collect();
                format!(
                    "{}: {}",
                    words::standing(fact.standing),
                    sides.join(" against ")
                )
            }
        }
    }

    pub(super) fn person(&self, person: &PersonId) -> String {
        self.job.reader.person(person)
    }

    /// Who and when of a fact's last word.
    pub(super) fn by<T, C>(&self, fact: &Told<T, C>) -> String {
        fact.tips.last().map_or_else(String::new, |t| {
            format!("{}, {}", self.person(&t.person), words::day(t.at))
        })
    }

    /// What must be said of a decision whose ground moved.
    pub(super) fn basis(&self, decision: work::Decision<'_>, basis: &[Hash]) -> String {
        match self.stands.moved(self.job, decision, basis) {
            0 => String::new(),
            1 => "1 value that it rests on was changed, added or disputed since".into(),
            n => {
                format!("{n} values that it rests on were changed, added or disputed since")
            }
        }
    }

    /// What a section goes without for a reason told, one line each, by the section's number.
    pub(super) fn waived(&self, section: usize) -> Vec<String> {
        let Ok(lacks) = &self.found.lacks else {
            return Vec::new();
        };
        let here = |item: &&Lack| {
            item.state == EvidenceState::Waived && usize::try_from(item.section) == Ok(section)
        };
        let line = |item: &Lack| {
            let reason = item.waived_because.as_deref().unwrap_or("no reason told");
            let by = item.waived_by.as_deref().unwrap_or("not told by whom");
            format!("{} — none, because {reason} ({by})", item.name)
        };
        lacks.items.iter().filter(here).map(line).collect()
    }

    /// Pictures that show one of these.
    pub(super) fn photos(&self, shows: &[Evidence]) -> Vec<Picture> {
        self.job
            .photos
            .iter()
            .filter(|p| {
                let told = p.shows.iter().any(|(_, e)| shows.contains(e));
                told || (p.shows.is_empty() && shows.contains(&Evidence::Other))
            })
            .flat_map(|p| self.pictures(p, shows))
            .collect()
    }

    /// The picture as the document shows it: once, or once for each side where people differ on its marks.
    fn pictures(&self, photo: &records::job::things::Photo, shows: &[Evidence]) -> Vec<Picture> {
        let Some(sha256) = original(photo).map(|hash| hash.to_string()) else {
            return Vec::new();
        };
        let about: Vec<String> = photo
            .shows
            .iter()
            .filter(|(_, e)| shows.contains(e))
            .map(|(subject, e)| format!("{}: {}", self.name(subject), words::evidence(*e)))
            .collect();
        let exif = photo.exif.as_ref();
        let mut place = match (photo.position, exif.and_then(|e| e.position)) {
            (Some(p), _) => position(&p),
            (None, Some(p)) => format!("{} (as the file says)", position(&p)),
            (None, None) => "place not recorded".into(),
        };
        if let Some(doubt) = exif.and_then(|e| e.doubts.first()) {
            place = format!("{place}; the file's own data: {doubt}");
        }
        let left = self.left.left(&sha256).map_or("", Left::words);
        if !left.is_empty() {
            place.push_str(&format!("; the original is {left}"));
        }
        let picture = Picture {
            sha256,
            number: self.numbers.get(&photo.entry).copied().unwrap_or(0),
            shows: about.join("; "),
            caption: photo.caption.clone(),
            taken: taken(photo.taken.as_ref()),
            place,
            by: photo.by.clone(),
            marks: Vec::new(),
            marked: String::new(),
        };
        let copies = marked::copies(self, photo, left.is_empty());
        let of = |copy: marked::Shown| Picture {
            marks: copy.marks,
            marked: copy.told,
            ..picture.clone()
        };
        copies.into_iter().map(of).collect()
    }

    /// A place within a field, in words.
    pub(super) fn place(&self, place: &str) -> String {
        records::work::words::place(self.job, place)
    }

    /// Name of a thing as people say it.
    pub(super) fn name(&self, subject: &Subject) -> String {
        let named = match subject {
            Subject::Item(ItemKind::Defect, id) => {
                let defect = self.job.defects.iter().find(|d| d.id == *id);
                defect
                    .and_then(|d| d.about.as_ref())
                    .map(|about| format!("defect at {}", self.job.name_of(about)))
            }
            Subject::Item(ItemKind::Batch, id) => {
                let batch = self.job.batches.iter().find(|b| b.id == *id);
                batch.map(|b| b.name.clone()).filter(|n| !n.is_empty())
            }
            Subject::Item(ItemKind::Visit, id) => {
                let visit = self.job.visits.iter().find(|v| v.id == *id);
                visit
                    .and_then(|v| v.day.as_ref())
                    .map(|day| format!("visit of {}", words::date(Some(day))))
            }
            _ => None,
        };
        named.unwrap_or_else(|| self.job.name_of(subject))
    }
}

/// When a picture was taken, in words.
pub(super) fn taken(taken: Option<&Taken>) -> String {
    let Some(taken) = taken else {
        return "time uncertain: not recorded".into();
    };
    let time = taken
        .ms
        .map_or_else(String::new, |ms| words::moment(ms, taken.offset_min));
    let witness = if taken.witness == "file" {
        ", as the file says"
    } else {
        ""
    };
    match (&taken.uncertain, taken.ms) {
        (None, Some(_)) => format!("{time}{witness}"),
        (None, None) => "time uncertain: not recorded".into(),
        (Some(why), Some(_)) => format!("{time}{witness}, time uncertain: {why}"),
        (Some(why), None) => format!("time uncertain: {why}"),
    }
}

fn position(p: &Position) -> String {
    let degrees = |e7: i64| {
        // To 1e-5 degree, about a metre.
        let rounded = e7.unsigned_abs().saturating_add(50) / 100;
        let text = format!("{}.{:05}", rounded / 100_000, rounded % 100_000);
        if e7 < 0 { format!("−{text}") } else { text }
    };
    let mut text = format!("{}°, {}°", degrees(p.lat_e7), degrees(p.lon_e7));
    if let Some(within) = p.accuracy_nm {
        text.push_str(&format!(" ±{} m", within / 1_000_000_000));
    }
    text
}
