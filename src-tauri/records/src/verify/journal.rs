//! The journal read again, line by line, more strictly than opening does.

use std::fs::{self, File};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::sync::Arc;

use super::fault::named;
use super::moment::{Bounds, Moment};
use super::{Fault, FaultKind, OnProgress, tell};
use crate::entry::Entry;
use crate::journal::Place;

/// An entry with its place in the journal.
pub(super) struct Read {
    pub(super) entry: Arc<Entry>,
    pub(super) place: Place,
}

/// The whole journal, in arrival order.
pub(super) struct Journal {
    pub(super) files: u64,
    pub(super) entries: Vec<Read>,
    /// Whole lines that are no entries, each with its fault.
    pub(super) no_entries: Vec<(Place, Fault)>,
}

/// Where a line lies, in words.
pub(super) fn words(place: Place) -> String {
    format!("journal/{:08}.jsonl, byte {}", place.file, place.offset)
}

/// Reads every line up to where the journal ended at the moment.
pub(super) fn read(dir: &Path, at: &Moment, on: &OnProgress<'_>) -> Result<Journal, Fault> {
    let files = numbered(dir, at)?;
    let mut entries = Vec::new();
    let mut no_entries = Vec::new();
    for (done, number) in (1..=files).enumerate() {
        tell(
            on,
            "journal",
            done,
            usize::try_from(files).unwrap_or(usize::MAX),
        )?;
        let bounds = at.bounds(number);
        let last = number == files;
        read_file(dir, number, last, bounds, &mut entries, &mut no_entries)?;
    }
    // A line that is none any more may have been the end of an act.
    let first = no_entries.first().map(|(_, fault)| fault.clone());
    act_is_closed(at, &entries).map_err(|open| first.unwrap_or(open))?;
    Ok(Journal {
        files,
        entries,
        no_entries,
    })
}

/// How many files there are, numbered 1, 2, 3 … without a gap.
fn numbered(dir: &Path, at: &Moment) -> Result<u64, Fault> {
    let listing = fs::read_dir(dir).map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => {
            Fault::damaged(FaultKind::Missing, "journal", "the journal is not here")
        }
        _ => Fault::unreadable("journal", &e),
    })?;
    let mut numbers = Vec::new();
    for item in listing {
        let item = item.map_err(|e| Fault::unreadable("journal", &e))?;
        let name = item.file_name();
        let number = name
            .to_str()
            .and_then(|n| n.strip_suffix(".jsonl"))
            .and_then(|n| n.parse::<u64>().ok());
        numbers.extend(number);
    }
    if let Some((last, _)) = at.end {
        numbers.retain(|n| *n <= last);
    }
    numbers.sort_unstable();
    let newest = numbers.last().copied().unwrap_or(0).max(at.known_files());
    let missing = (1..=newest).find(|n| numbers.binary_search(n).is_err());
    match missing {
        None => Ok(newest),
        Some(number) => Err(Fault::damaged(
            FaultKind::Missing,
            format!("journal/{number:08}.jsonl"),
            "this file of the journal is not here",
        )),
    }
}

fn read_file(
    dir: &Path,
    number: u64,
    last: bool,
    bounds: Bounds,
    entries: &mut Vec<Read>,
    no_entries: &mut Vec<(Place, Fault)>,
) -> Result<(), Fault> {
    let path = dir.join(format!("{number:08}.jsonl"));
    let failed = |e: std::io::Error| Fault::unreadable(&named("journal", &path), &e);
    let mut reader = BufReader::with_capacity(1 << 20, File::open(&path).map_err(failed)?);
    let mut offset = 0;
    let mut line = Vec::new();
    while bounds.most.is_none_or(|most| offset < most) {
        line.clear();
        let length = reader.read_until(b'\n', &mut line).map_err(failed)? as u64;
        if length == 0 {
            break;
        }
        let place = Place {
            file: number,
            offset,
            length,
        };
        if !line.ends_with(b"\n") {
            return Err(if offset < bounds.least {
                let gone = "this entry had been saved, and its end is gone";
                Fault::damaged(FaultKind::Missing, words(place), gone)
            } else {
                torn(place, last)
            });
        }
        match entry(place, &line) {
            Ok(entry) => entries.push(Read {
                entry: Arc::new(entry),
                place,
            }),
            Err(fault) if fault.kind == FaultKind::NotAnEntry => no_entries.push((place, fault)),
            Err(fault) => return Err(fault),
        }
        offset += length;
    }
    if offset < bounds.least {
        let least = bounds.least;
        return Err(Fault::damaged(
            FaultKind::Missing,
            named("journal", &path),
            format!("it ends at byte {offset}, but {least} bytes of it were acknowledged"),
        ));
    }
    Ok(())
}

fn entry(place: Place, line: &[u8]) -> Result<Entry, Fault> {
    Entry::parse(line).map_err(|error| {
        let kind = match Entry::parse_own(line) {
            Ok(_) => FaultKind::NotCanonical,
            Err(_) => FaultKind::NotAnEntry,
        };
        Fault::damaged(kind, words(place), error.to_string())
    })
}

fn torn(place: Place, last: bool) -> Fault {
    if last {
        return unfinished(place, "the last line has no end");
    }
    Fault::damaged(
        FaultKind::Torn,
        words(place),
        "a line has no end, though the journal goes on in the next file",
    )
}

fn unfinished(place: Place, what: &str) -> Fault {
    Fault::new(
        FaultKind::Torn,
        words(place),
        format!("{what}: it was being written when the program or the power stopped"),
        "it was never acknowledged; open the folder once, and it is moved to aside/",
    )
}

/// The last act is whole, if it is this device's own: an act is one write, so only the last can be
/// cut. An older one that is open shows among what does not count.
fn act_is_closed(at: &Moment, entries: &[Read]) -> Result<(), Fault> {
    let Some(own) = at.known.own else {
        return Ok(());
    };
    let mut open: Option<Place> = None;
    for read in entries {
        let body = &read.entry.body;
        match (body.device == own, open) {
            (true, _) if body.closes() => open = None,
            (true, None) => open = Some(read.place),
            (true, Some(_)) => {}
            (false, _) => open = None,
        }
    }
    match open {
        None => Ok(()),
        Some(began) => Err(unfinished(began, "the last act is not whole")),
    }
}
