//! What an exchange did, what is still to come, and what could not be used, in plain words.
//!
//! Invariant: nothing that was met is dropped silently: it is counted as moved, passed over,
//! waiting, set aside, unknown or a fault. Names of people come from the record; paths are those
//! inside the shared folder.

use records::heads::NotHere;
use records::ids::BookId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::others::Others;
use crate::plan::ObjectRole;

/// The outcome of one exchange.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", default)]
#[ts(rename = "SyncReport")]
#[schemars(rename = "SyncReport")]
pub struct Report {
    /// What was written into the folder.
    pub published: Moved,
    /// What was taken in from it.
    pub fetched: Moved,
    /// Entries that are new on this device.
    pub new_entries: u64,
    /// Own segments and files that are not in the folder yet.
    pub unshared: Moved,
    /// Whether everything made on this device lies in the folder.
    pub shared: bool,
    /// Segments of books that this device does not keep.
    pub passed_over: u64,
    /// Devices in the folder that nobody admitted, and how many segments each has there.
    pub strangers: Vec<Stranger>,
    /// Files and folders that are none of ours; left alone.
    #[serde(flatten)]
    pub others: Others,
    /// What is expected and not all there yet.
    pub waiting: Vec<Waiting>,
    /// What somebody saw of the crew's books and is not here, or is another here.
    pub not_here: Vec<NotHere>,
    /// What is there and can't be used.
    pub aside: Vec<Aside>,
    /// What could not be done this time.
    pub faults: Vec<Fault>,
    /// Whether this device wrote before it had read its own log, and needs a new identity.
    pub forked: bool,
    /// Whether it was stopped before its end.
    pub cancelled: bool,
    /// Number of the newest own entry of each book that was in a piece when the pieces were made;
    /// what is recorded after that waits for the next exchange.
    #[serde(skip)]
    #[ts(skip)]
    #[schemars(skip)]
    pub made_to: Vec<(BookId, u64)>,
}

/// Counts by what was moved.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Moved {
    /// Pieces of logs.
    pub segments: u64,
    /// Small pictures.
    pub thumbs: u64,
    /// Pictures for the screen.
    pub views: u64,
    /// Files as they were taken in.
    pub originals: u64,
    /// Bytes of all of them.
    pub bytes: u64,
}

/// A device that was not admitted.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Stranger {
    /// Its id.
    pub device: String,
    /// Whether its card is there, so that it can be admitted.
    pub has_card: bool,
    /// Segments counted, none of them read.
    pub segments: u64,
}

/// Something that is expected to come.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Waiting {
    /// What.
    pub what: WaitingFor,
    /// Whose: first name, or the device's id where no name is known.
    pub whose: String,
    /// How many.
    pub count: u64,
    /// The same in a sentence.
    pub words: String,
}

/// Kinds of what is expected to come.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum WaitingFor {
    /// Pieces of a log that have not arrived whole.
    Segments,
    /// Pieces written by a newer version.
    Newer,
    /// Pieces that lie there whole with other bytes.
    Damaged,
    /// Small pictures.
    Thumbs,
    /// Pictures for the screen.
    Views,
    /// Files as they were taken in.
    Originals,
}

/// Something that can't be used, with its reason.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Aside {
    /// Where it is in the folder.
    pub path: String,
    /// Why it does not count.
    pub reason: String,
}

/// Something that could not be done this time.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Fault {
    /// What happened, what was kept, what to do.
    pub message: String,
    /// Whether the next exchange may do it without anybody changing anything.
    pub retryable: bool,
}

impl Moved {
    pub(crate) fn add_segment(&mut self, bytes: u64) {
        self.segments += 1;
        self.bytes += bytes;
    }

    pub(crate) fn add_object(&mut self, role: ObjectRole, bytes: u64) {
        match role {
            ObjectRole::Thumb => self.thumbs += 1,
            ObjectRole::View => self.views += 1,
            ObjectRole::Original => self.originals += 1,
        }
        self.bytes += bytes;
    }

    /// Whether nothing was moved.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

impl Report {
    /// Whether a person has to know of something: a fault, something set aside, a second branch
    /// here, another entry than somebody saw, or entries that were here and are gone.
    #[must_use]
    pub fn needs_attention(&self) -> bool {
        let lost = |one: &NotHere| one.differs || one.by.is_none();
        let lost = self.not_here.iter().any(lost);
        !self.faults.is_empty() || !self.aside.is_empty() || self.forked || lost
    }

    pub(crate) fn wait(&mut self, what: WaitingFor, whose: &str, count: u64) {
        if count == 0 {
            return;
        }
        let same = |waiting: &&mut Waiting| waiting.what == what && waiting.whose == whose;
        match self.waiting.iter_mut().find(same) {
            Some(waiting) => waiting.count += count,
            None => self.waiting.push(Waiting {
                what,
                whose: whose.to_owned(),
                count,
                words: String::new(),
            }),
        }
    }

    pub(crate) fn put_aside(&mut self, path: &str, reason: impl Into<String>) {
        let path = visible(path);
        let reason = reason.into();
        self.aside.push(Aside { path, reason });
    }

    pub(crate) fn fault(&mut self, error: &crate::SyncError) {
        let fault = Fault {
            message: error.to_string(),
            retryable: error.is_temporary(),
        };
        if !self.faults.contains(&fault) {
            self.faults.push(fault);
        }
    }

    pub(crate) fn finish(&mut self) {
        for waiting in &mut self.waiting {
            waiting.words = words(waiting);
        }
        self.waiting.sort();
        self.aside.sort();
        self.aside.dedup();
        self.strangers.sort();
        self.shared = self.unshared.is_empty() && !self.cancelled;
    }
}

/// Who is waited for before the crew is known.
pub(crate) const FOUNDER: &str = "the founder";

fn words(waiting: &Waiting) -> String {
    let Waiting {
        what, whose, count, ..
    } = waiting;
    let many = |one: &str, more: &str| {
        if *count == 1 {
            format!("1 {one} of {whose}")
        } else {
            format!("{count} {more} of {whose}")
        }
    };
    let is = if *count == 1 { "is" } else { "are" };
    match what {
        WaitingFor::Segments if whose == FOUNDER => {
            "the founder's entries are not in this folder yet: \
            let the device that founded the crew exchange, then exchange here again"
                .to_owned()
        }
        WaitingFor::Segments => {
            format!(
                "{} {is} not all there yet: exchange again later; what stays so is named when the \
                 folder is looked over",
                many("piece of the log", "pieces of the log")
            )
        }
        WaitingFor::Newer => format!(
            "{} {is} from a newer version: update this program to read {}",
            many("piece of the log", "pieces of the log"),
            if *count == 1 { "it" } else { "them" }
        ),
        WaitingFor::Damaged => format!(
            "{} {is} damaged in the folder: exchange on the device of {whose} with everything \
             looked over, and {} written again there; of what stays so, what is set aside tells why",
            many("piece of the log", "pieces of the log"),
            if *count == 1 { "it is" } else { "they are" }
        ),
        WaitingFor::Thumbs => format!(
            "{} {is} not there yet",
            many("small picture", "small pictures")
        ),
        WaitingFor::Views => format!("{} {is} not there yet", many("picture", "pictures")),
        WaitingFor::Originals => {
            format!(
                "{} {is} not there yet",
                many("original file", "original files")
            )
        }
    }
}

/// A name from the folder with control and direction marks made visible.
fn visible(name: &str) -> String {
    let hidden = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
    };
    name.chars()
        .map(|c| {
            if hidden(c) {
                char::REPLACEMENT_CHARACTER
            } else {
                c
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waiting_is_told_in_words_and_added_up() {
        let mut report = Report::default();
        report.wait(WaitingFor::Originals, "Ben", 2);
        report.wait(WaitingFor::Originals, "Ben", 1);
        report.wait(WaitingFor::Segments, "Ann", 1);
        report.wait(WaitingFor::Newer, "Ann", 2);
        report.wait(WaitingFor::Thumbs, "Ann", 0);
        report.finish();
        let words: Vec<&str> = report.waiting.iter().map(|w| w.words.as_str()).collect();
        assert_eq!(
            words,
            [
                "1 piece of the log of Ann is not all there yet: exchange again later; what stays so is named when the folder is looked over",
                "2 pieces of the log of Ann are from a newer version: update this program to read them",
                "3 original files of Ben are not there yet",
            ]
        );
        assert!(report.shared && !report.needs_attention());
    }

    #[test]
    fn shared_is_said_only_when_all_is_there() {
        let mut report = Report::default();
        report.unshared.add_object(ObjectRole::Original, 5);
        report.finish();
        assert!(!report.shared);
        let mut stopped = Report {
            cancelled: true,
            ..Report::default()
        };
        stopped.finish();
        assert!(!stopped.shared);
    }

    #[test]
    fn what_was_here_and_is_gone_needs_a_person_and_what_others_saw_may_still_come() {
        let of = |by: Option<&str>| Report {
            not_here: vec![NotHere {
                book: String::new(),
                whose: "Ben".to_owned(),
                by: by.map(str::to_owned),
                seen: 2,
                here: 1,
                differs: false,
                words: String::new(),
            }],
            ..Report::default()
        };
        assert!(of(None).needs_attention() && !of(Some("Ann")).needs_attention());
    }

    #[test]
    fn marks_that_hide_are_shown() {
        let mut report = Report::default();
        report.put_aside("log/a\u{202e}gpj.exe\n", "strange");
        assert_eq!(report.aside[0].path, "log/a\u{fffd}gpj.exe\u{fffd}");
        assert!(report.needs_attention());
    }
}
