//! Who belongs to a crew, from the entries of its book alone.
//!
//! Invariant: the answer is a function of the set of proven entries. The founder is judged first,
//! then the keepers that the founder named, then nobody else: other attempts stay without effect.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::book::BookView;
use crate::entry::{Entry, FORMAT};
use crate::ids::{BookId, DeviceId, Hash, PersonId};
use crate::keys::PublicKey;

/// Kind of the founding entry.
pub const FOUNDED: &str = "crew.founded";
/// Kind of an admission.
pub const ADMITTED: &str = "device.admitted";
/// Kind of a device's end.
pub const ENDED: &str = "device.ended";
/// Kind of the naming of a keeper.
pub const KEEPER: &str = "device.keeper";

/// What a device is mostly used for. Roles warn, they never block.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum Role {
    /// Measures and photographs.
    Surveyor,
    /// Cuts, fits, tensions, checks.
    Installer,
    /// Hands over.
    Office,
}

/// A person who uses a device.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Person {
    /// Id.
    pub id: PersonId,
    /// Name as it is shown.
    pub name: String,
}

/// Data of a founding entry and of an admission.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Admission {
    /// Public key; its hash is the device's id.
    pub key: PublicKey,
    /// Persons who may record on the device.
    pub persons: Vec<Person>,
    /// What it is mostly used for.
    pub role: Role,
}

/// The last entry of an ended device that counts in a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct LastCounting {
    /// The book.
    pub book: BookId,
    /// Number of the entry.
    pub n: u64,
    /// Its hash.
    pub hash: Hash,
}

/// Data of a device's end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Ending {
    /// What still counts, per book.
    pub last: Vec<LastCounting>,
}

/// A device that was admitted, with what its members may do.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// The key.
    pub key: PublicKey,
    /// Who may record on it.
    pub persons: Vec<Person>,
    /// What it is mostly used for.
    pub role: Role,
    /// May admit and end others.
    pub keeper: bool,
    /// Set when the device was ended: what still counts.
    pub ended: Option<Vec<LastCounting>>,
}

/// A crew as its book tells.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crew {
    /// The founder's device.
    pub founder: Option<DeviceId>,
    /// Hash of the founding entry.
    pub founding: Option<Hash>,
    /// Members by device.
    pub members: BTreeMap<DeviceId, Member>,
    /// Keys of all devices that any admission names, whether it has effect or not. A device's id
    /// is its key's hash, so nobody can name another; what is proven rests on these and not on who
    /// belongs, which an end heard later may change.
    pub keys: BTreeMap<DeviceId, PublicKey>,
    /// Admissions, ends and keeper namings that have no effect, for showing.
    pub without_effect: Vec<Hash>,
    /// Books of ended devices of which the founder said what still counts.
    ended_by_founder: BTreeSet<(DeviceId, BookId)>,
}

impl Crew {
    /// The member with this device.
    #[must_use]
    pub fn member(&self, device: &DeviceId) -> Option<&Member> {
        self.members.get(device)
    }

    /// The key by which a device's entries are proven, where any admission tells it.
    #[must_use]
    pub fn key(&self, device: &DeviceId) -> Option<PublicKey> {
        let known = self.keys.get(device).copied();
        known.or_else(|| self.member(device).map(|member| member.key))
    }

    /// Name of a person on any device of the crew.
    #[must_use]
    pub fn person_name(&self, person: &PersonId) -> Option<&str> {
        self.members
            .values()
            .flat_map(|m| &m.persons)
            .find(|p| p.id == *person)
            .map(|p| p.name.as_str())
    }

    /// First name told for a device.
    #[must_use]
    pub fn device_name(&self, device: &DeviceId) -> Option<&str> {
        self.member(device)?
            .persons
            .first()
            .map(|p| p.name.as_str())
    }
}

/// The founding entry's own key, when the entry founds this book by its form; who proves it, itself
/// or a later entry of its chain, is another question.
#[must_use]
pub fn founding_key(entry: &Entry) -> Option<PublicKey> {
    if entry.body.kind != FOUNDED || entry.body.n != 1 {
        return None;
    }
    let key = read_admission(entry)?.key;
    (key.device() == entry.body.device).then_some(key)
}

fn read_admission(entry: &Entry) -> Option<Admission> {
    let data = serde_json::Value::Object(entry.body.data.clone());
    serde_json::from_value(data).ok()
}

fn read_ending(entry: &Entry) -> Option<Ending> {
    let data = serde_json::Value::Object(entry.body.data.clone());
    serde_json::from_value(data).ok()
}

fn about_device(entry: &Entry) -> Option<DeviceId> {
    entry.body.subject.strip_prefix("device:")?.parse().ok()
}

/// Why an act on who belongs has no effect, in words: who tried, and who may.
#[must_use]
pub fn no_effect(crew: &Crew, act: &Entry) -> String {
    let by = crew.device_name(&act.body.device).unwrap_or("A device");
    let by = crate::photos::visible(by, 60);
    let (tried, who) = match act.body.kind.as_str() {
        ADMITTED => ("admits a device", "the founder and keepers admit"),
        ENDED => (
            "ends a device",
            "the founder and keepers end devices, and the founder alone a keeper's",
        ),
        _ => ("names a keeper", "the founder alone names keepers"),
    };
    if crew.founder == Some(act.body.device) {
        return format!("{by} {tried}, without effect: it was no member that could be so");
    }
    format!("{by} {tried}, without effect: {who}")
}

/// Keys that a crew book's entries tell, each by its own hash.
#[must_use]
pub(crate) fn keys<'a>(entries: impl Iterator<Item = &'a Entry>) -> BTreeMap<DeviceId, PublicKey> {
    let told = |entry: &Entry| {
        let device = match entry.body.kind.as_str() {
            FOUNDED => entry.body.device,
            ADMITTED => about_device(entry)?,
            _ => return None,
        };
        let key = read_admission(entry)?.key;
        (key.device() == device).then_some((device, key))
    };
    entries.filter_map(told).collect()
}

/// Reads the crew from a crew book's proven and closed entries.
#[must_use]
pub fn evaluate(view: &BookView) -> Crew {
    let mut acts: Vec<&Entry> = view
        .proven()
        .filter(|e| matches!(e.body.kind.as_str(), ADMITTED | ENDED | KEEPER))
        .collect();
    acts.sort_by_key(|e| e.id);
    let mut crew = Crew {
        keys: keys(view.entries()),
        ..Crew::default()
    };
    let Some(founding) = view.founding_entry() else {
        return crew;
    };
    let Some(first) = read_admission(founding) else {
        return crew;
    };
    let founder = founding.body.device;
    crew.founder = Some(founder);
    crew.founding = Some(founding.id);
    crew.members.insert(
        founder,
        Member {
            key: first.key,
            persons: first.persons,
            role: first.role,
            keeper: true,
            ended: None,
        },
    );
    let of = |kind: &'static str, by_founder: bool| {
        let acts = acts.iter().copied();
        acts.filter(move |e| e.body.kind == kind && (e.body.device == founder) == by_founder)
    };
    // Hashes order nothing in time: who belongs is settled before who no longer does.
    for act in of(ADMITTED, true).chain(of(KEEPER, true)) {
        take(&mut crew, act, founder);
    }
    for act in of(ENDED, true) {
        // Also decides which keepers are still heard; of those whom keepers admit it is tried again.
        let _ = about_device(act)
            .filter(|_| counts(&crew, act))
            .and_then(|device| end(&mut crew, device, act, true));
    }
    // A keeper is named by the founder alone, so this set is fixed before keepers are heard.
    let keepers: Vec<DeviceId> = crew
        .members
        .iter()
        .filter(|(device, m)| m.keeper && **device != founder)
        .map(|(device, _)| *device)
        .collect();
    let hear = |crew: &mut Crew, act: &Entry| {
        if keepers.contains(&act.body.device) && view.within_end(crew, act) {
            take(crew, act, founder);
        } else {
            crew.without_effect.push(act.id);
        }
    };
    for act in of(ADMITTED, false).chain(of(KEEPER, false)) {
        hear(&mut crew, act);
    }
    for act in of(ENDED, true) {
        take(&mut crew, act, founder);
    }
    let members = crew.members.iter();
    crew.ended_by_founder = members
        .flat_map(|(device, member)| {
            let last = member.ended.iter().flatten();
            last.map(|last| (*device, last.book))
        })
        .collect();
    for act in of(ENDED, false) {
        hear(&mut crew, act);
    }
    crew
}

fn take(crew: &mut Crew, act: &Entry, founder: DeviceId) {
    let by_founder = act.body.device == founder;
    let effect = match (about_device(act), act.body.kind.as_str()) {
        _ if !counts(crew, act) => None,
        (Some(device), ADMITTED) => admit(crew, device, act),
        (Some(device), ENDED) => end(crew, device, act, by_founder),
        (Some(device), KEEPER) if by_founder => {
            crew.members.get_mut(&device).map(|m| m.keeper = true)
        }
        _ => None,
    };
    if effect.is_none() {
        crew.without_effect.push(act.id);
    }
}

/// Whether this version understands the act and its person is listed for its device.
fn counts(crew: &Crew, act: &Entry) -> bool {
    let body = &act.body;
    let by = crew.member(&body.device);
    body.format == FORMAT
        && body.needs.is_empty()
        && by.is_some_and(|m| m.persons.iter().any(|p| p.id == body.person))
}

fn admit(crew: &mut Crew, device: DeviceId, act: &Entry) -> Option<()> {
    let admission = read_admission(act).filter(|a| a.key.device() == device)?;
    match crew.members.get_mut(&device) {
        Some(member) => {
            for person in admission.persons {
                if !member.persons.contains(&person) {
                    member.persons.push(person);
                }
            }
        }
        None => {
            crew.members.insert(
                device,
                Member {
                    key: admission.key,
                    persons: admission.persons,
                    role: admission.role,
                    keeper: false,
                    ended: None,
                },
            );
        }
    }
    Some(())
}

fn end(crew: &mut Crew, device: DeviceId, act: &Entry, by_founder: bool) -> Option<()> {
    let ending = read_ending(act)?;
    let founder = crew.founder;
    let member = crew.members.get_mut(&device)?;
    if Some(device) == founder || (member.keeper && !by_founder) {
        return None;
    }
    let last = member.ended.get_or_insert_with(Vec::new);
    let books: BTreeSet<BookId> = ending.last.iter().map(|one| one.book).collect();
    for book in books {
        // What the founder said of a book is not widened or narrowed by a keeper.
        if !by_founder && crew.ended_by_founder.contains(&(device, book)) {
            continue;
        }
        let of = |from: &[LastCounting]| {
            let of = from.iter().filter(|one| one.book == book).copied();
            of.collect::<BTreeSet<LastCounting>>()
        };
        let (known, told) = (of(last), of(&ending.last));
        // Keepers' ends count together: one who knew less takes nothing from what another named.
        if !by_founder {
            last.extend(told);
            continue;
        }
        // Of several ends of the founder the lowest holds: a later one adds books, and brings nothing
        // back.
        let height = |ends: &BTreeSet<LastCounting>| ends.iter().map(|one| one.n).max();
        if known.is_empty() || (height(&told), &told) < (height(&known), &known) {
            last.retain(|one| one.book != book);
            last.extend(told);
        }
    }
    last.sort_unstable();
    last.dedup();
    Some(())
}
