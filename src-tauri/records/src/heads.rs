//! Heads, the last entries of devices that somebody has seen, held against what is here.
//!
//! Pure. A missing end of a chain shows in nothing else. A head tells that something is missing and
//! gives nothing: what counts follows from entries alone.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::book::{BookView, Key};
use crate::crew::Crew;
use crate::ids::{BookId, DeviceId, Hash};
use crate::subject::Subject;

/// The last entry of a device in a book, as somebody saw it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// The book.
    pub book: BookId,
    /// Whose entry.
    pub device: DeviceId,
    /// Who saw it; none where it was in this device's own record.
    pub by: Option<DeviceId>,
    /// Its number.
    pub n: u64,
    /// Its hash.
    pub hash: Hash,
}

/// An end of a device's entries that somebody saw and that is not here, or is another here.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NotHere {
    /// The book.
    pub book: String,
    /// Whose entries: first name, or the device's id where no name is known.
    pub whose: String,
    /// Who saw them; none where this device itself had them.
    pub by: Option<String>,
    /// How many were seen.
    pub seen: u64,
    /// How many are here.
    pub here: u64,
    /// Whether as many are here, and another one stands at the number that was seen.
    pub differs: bool,
    /// The same in a sentence.
    pub words: String,
}

/// What to do about entries that were here.
const COMES_BACK: &str = "`rebuild`, then exchange: what the shared folder holds comes back";

/// Which place the sentence is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Telling {
    /// This device.
    Here,
    /// A shared folder.
    Folder,
}

/// The furthest head of each device that a book does not hold. Devices that do not belong to the
/// crew have none, and what they say they saw is not heard. `own` is the device that is told.
#[must_use]
pub fn not_here(
    view: &BookView,
    crew: &Crew,
    heads: &[Head],
    own: Option<DeviceId>,
    telling: Telling,
) -> Vec<NotHere> {
    let member = |device: &DeviceId| crew.member(device).is_some();
    let holds = |head: &&Head| {
        let entry = view.entry(&head.hash).map(|entry| &entry.body);
        entry.is_some_and(|body| (body.device, body.n) == (head.device, head.n))
    };
    let mut furthest: BTreeMap<DeviceId, &Head> = BTreeMap::new();
    // How far a device says that it came itself, its own entries tell.
    let heard = |head: &&Head| head.book == view.book && head.by != Some(head.device);
    let ours = heads.iter().filter(heard);
    // Whom the crew ended is heard no more, as to what it saw either.
    let stands = |by: DeviceId| crew.member(&by).is_some_and(|by| by.ended.is_none());
    for head in ours.filter(|head| member(&head.device) && head.by.is_none_or(stands)) {
        if holds(&head) {
            continue;
        }
        let known = furthest.entry(head.device).or_insert(head);
        // What was here once is told before what others saw.
        if (head.n, head.by.is_none()) > (known.n, known.by.is_none()) {
            *known = head;
        }
    }
    furthest
        .into_values()
        .map(|head| {
            let linked = view.last_linked(&head.device);
            let here = linked.map_or(0, |entry| entry.body.n);
            told(view, crew, head, here, own, telling)
        })
        .collect()
}

/// Ends that were in this device's own record, of books of which nothing is here any more; one for
/// each book and device. What others saw of such a book may be one that this device never chose.
#[must_use]
pub fn gone_whole(
    heads: &[Head],
    here: &dyn Fn(BookId) -> bool,
    own: Option<DeviceId>,
) -> Vec<NotHere> {
    let own_notes = heads.iter().filter(|head| head.by.is_none());
    let mut gone: Vec<NotHere> = own_notes
        .filter(|head| !here(head.book))
        .map(|head| {
            let whose = match own == Some(head.device) {
                true => "this device".to_owned(),
                false => head.device.to_string(),
            };
            let (seen, are) = match head.n {
                1 => ("1 entry".to_owned(), "it is gone"),
                n => (format!("{n} entries"), "all are gone"),
            };
            let words = format!(
                "This device had {seen} of {whose} in a book of which nothing is left here: {are}. \
                 {COMES_BACK}"
            );
            NotHere {
                book: head.book.to_string(),
                whose,
                by: None,
                seen: head.n,
                here: 0,
                differs: false,
                words,
            }
        })
        .collect();
    gone.sort();
    gone
}

fn told(
    view: &BookView,
    crew: &Crew,
    head: &Head,
    here: u64,
    own: Option<DeviceId>,
    telling: Telling,
) -> NotHere {
    let name = |device: DeviceId| match crew.device_name(&device) {
        _ if Some(device) == own => "this device".to_owned(),
        Some(name) => crate::photos::visible(name, 60),
        None => device.to_string(),
    };
    let whose = name(head.device);
    let by = head.by.map(name);
    let differs = here >= head.n;
    let words = words(head, &whose, by.as_deref(), here, &place(view), telling);
    NotHere {
        book: view.book.to_string(),
        whose,
        by,
        seen: head.n,
        here,
        differs,
        words,
    }
}

fn words(
    head: &Head,
    whose: &str,
    by: Option<&str>,
    here: u64,
    place: &str,
    telling: Telling,
) -> String {
    let saw = match by {
        Some("this device") => "This device saw".to_owned(),
        Some(by) => format!("{by} saw"),
        None => "This device had".to_owned(),
    };
    let at = match telling {
        Telling::Here => "here",
        Telling::Folder => "in the shared folder",
    };
    if here >= head.n {
        return format!(
            "{saw} another entry {} of {whose} in {place} than the one that is {at}: what {whose} \
             recorded went two ways",
            head.n
        );
    }
    let entries = if head.n == 1 { "entry" } else { "entries" };
    let are = if here == 1 { "is" } else { "are" };
    let end = match (by, head.n - here) {
        (Some(_), left) => format!("waiting for {left}"),
        (None, left) => {
            let are = if left == 1 { "is" } else { "are" };
            match telling {
                Telling::Here => format!("{left} {are} gone. {COMES_BACK}"),
                Telling::Folder => format!("{left} {are} gone"),
            }
        }
    };
    format!(
        "{saw} {} {entries} of {whose} in {place}; {here} {are} {at}: {end}",
        head.n
    )
}

/// A book as people name it.
fn place(view: &BookView) -> String {
    if view.is_crew() {
        return "the crew's book".to_owned();
    }
    let title = Key {
        subject: Subject::Job(view.book).to_string(),
        field: "title".to_owned(),
        place: String::new(),
    };
    match crate::job::first_text(view, &title) {
        Some(title) => format!("“{}”", crate::photos::visible(&title, 60)),
        None => "a job".to_owned(),
    }
}
