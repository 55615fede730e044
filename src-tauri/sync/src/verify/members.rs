//! Who belongs to the crew, by the folder alone: the founder's log first, then those it admits.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use records::book::BookView;
use records::crew::{self, Crew};
use records::entry::Entry;
use records::ids::{BookId, DeviceId, Hash};
use records::keys::PublicKey;

use super::log::{Log, first_of, read_log};
use super::{FolderFault, FolderFaultKind, Known, MAKER, OnProgress, Verified, fault, tell};
use crate::card::read_card;
use crate::founder::find;
use crate::look::Devices;
use crate::name;
use crate::store::SharedStore;

/// The logs of the crew's devices, and the crew that they tell.
pub(super) struct Told {
    pub(super) members: BTreeMap<DeviceId, Log>,
    pub(super) view: BookView,
    pub(super) crew: Crew,
}

/// Reads the logs of all who belong, and nobody else's.
pub(super) fn read(
    store: &dyn SharedStore,
    crew_book: BookId,
    pinned: &Known,
    devices: &Devices,
    found: &mut Verified,
    on: &OnProgress<'_>,
) -> Result<Told, FolderFault> {
    let (founder, log) = founder(store, crew_book, pinned, devices, found)?;
    let mut members = BTreeMap::from([(founder, log)]);
    loop {
        let (view, crew) = crew_of(crew_book, pinned.founding, &members);
        let new: Vec<(DeviceId, PublicKey)> = crew
            .members
            .iter()
            .filter(|(device, _)| !members.contains_key(*device))
            .map(|(device, member)| (*device, member.key))
            .collect();
        if new.is_empty() {
            check_cards(store, members.keys().copied())?;
            found.devices = members.len() as u64;
            return Ok(Told {
                members,
                view,
                crew,
            });
        }
        let of = crew.members.len();
        for (device, key) in new {
            tell(on, "logs", members.len(), of)?;
            members.insert(device, read_log(store, device, &key, pinned, found)?);
        }
    }
}

/// The device whose crew book begins with the confirmed founding entry, and its log. Of the others
/// that are tried, one segment is read.
fn founder(
    store: &dyn SharedStore,
    crew_book: BookId,
    pinned: &Known,
    devices: &Devices,
    found: &mut Verified,
) -> Result<(DeviceId, Log), FolderFault> {
    let mut read = |device: &DeviceId, key: &PublicKey| first_of(store, device, key, crew_book);
    if let Some(found_it) = find(store, pinned.founding, devices, pinned.founder, &mut read)? {
        let log = read_log(store, found_it.device, &found_it.key, pinned, found)?;
        return Ok((found_it.device, log));
    }
    // A card that is missing or not its own device's hides the log behind it.
    let logs = devices.logs.iter().filter_map(|text| text.parse().ok());
    let founder = pinned.founder;
    check_cards(
        store,
        logs.filter(|log| founder.is_none_or(|founder| founder == *log)),
    )?;
    Err(fault(
        FolderFaultKind::SeenMissing,
        name::LOG,
        "the founding entry of the crew is not in this folder",
        MAKER,
    ))
}

fn crew_of(book: BookId, pinned: Hash, members: &BTreeMap<DeviceId, Log>) -> (BookView, Crew) {
    let mut view = BookView::of_crew(book, Some(pinned));
    let entries = members.values().flat_map(|log| log.entries(book));
    let entries: Vec<(Arc<Entry>, bool)> = entries.map(|entry| (entry, false)).collect();
    view.take(entries, &Crew::default());
    let crew = crew::evaluate(&view);
    view.judge(&crew);
    (view, crew)
}

fn check_cards(
    store: &dyn SharedStore,
    devices: impl Iterator<Item = DeviceId>,
) -> Result<(), FolderFault> {
    for device in devices.collect::<BTreeSet<_>>() {
        if let Err(error) = read_card(store, &device) {
            let path = name::device_path(&device.to_string());
            return Err(fault(
                FolderFaultKind::Card,
                &path,
                error.to_string(),
                "if it is missing, its device writes it again at its next exchange; if it was \
                 changed, move it away first",
            ));
        }
    }
    Ok(())
}
