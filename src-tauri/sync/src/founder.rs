//! The search for the device that founded a crew, by its founding entry alone.
//!
//! Invariant: every device with a card and a log is tried, the one that is known to be it first, so
//! that stray names in the folder can't hide it. Of each, only the first segments of the crew's
//! book are read; nobody else's word is heard here.

use records::entry::Entry;
use records::ids::{DeviceId, Hash};
use records::keys::PublicKey;
use records::segment::Segment;

use crate::card::read_card;
use crate::look::Devices;
use crate::name::SegmentName;
use crate::plan::{SeenLog, SeenSegment};
use crate::store::SharedStore;

/// The founding device with its key and the segment that begins with the founding entry.
pub(crate) struct Founder {
    pub(crate) device: DeviceId,
    pub(crate) key: PublicKey,
    pub(crate) segment: Segment,
}

/// Gives the first segments of the crew's book in a device's log.
pub(crate) type Read<'a, E> = dyn FnMut(&DeviceId, &PublicKey) -> Result<Vec<Segment>, E> + 'a;

/// Finds the founder. `read` gives the first segments of the crew's book in a device's log.
///
/// Errors: the first that `read` gave, where no founder was found.
pub(crate) fn find<E>(
    store: &dyn SharedStore,
    pinned: Hash,
    devices: &Devices,
    known: Option<DeviceId>,
    read: &mut Read<'_, E>,
) -> Result<Option<Founder>, E> {
    let with_log = devices.cards.intersection(&devices.logs);
    let others = with_log.filter_map(|text| text.parse::<DeviceId>().ok());
    let others = others.filter(|device| Some(*device) != known);
    let mut first = None;
    for device in known.into_iter().chain(others) {
        let Ok(card) = read_card(store, &device) else {
            continue;
        };
        match read(&device, &card.key) {
            Ok(segments) => {
                if let Some(segment) = segments.into_iter().find(|one| begins_with(one, pinned)) {
                    let key = card.key;
                    return Ok(Some(Founder {
                        device,
                        key,
                        segment,
                    }));
                }
            }
            // Perhaps this is the founder: told if no other is.
            Err(error) => first = first.or(Some(error)),
        }
    }
    first.map_or(Ok(None), Err)
}

/// The segments of a book in a log by number, each with its files.
pub(crate) fn of_book(seen: SeenLog, book: &str) -> Vec<(SegmentName, Vec<SeenSegment>)> {
    let mut found: Vec<(SegmentName, Vec<SeenSegment>)> = Vec::new();
    let mut segments = seen.segments;
    segments.retain(|segment| segment.name.book == book);
    segments.sort_by(|a, b| (a.name.no, &a.name, &a.path).cmp(&(b.name.no, &b.name, &b.path)));
    for segment in segments {
        match found.last_mut() {
            Some((name, files)) if *name == segment.name => files.push(segment),
            _ => found.push((segment.name.clone(), vec![segment])),
        }
    }
    found
}

fn begins_with(segment: &Segment, pinned: Hash) -> bool {
    let first = segment.lines.first();
    first.and_then(|line| Entry::parse(line).ok()).map(|e| e.id) == Some(pinned)
}
