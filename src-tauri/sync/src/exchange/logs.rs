//! The logs of the others: the crew's book first, then the jobs kept here.
//!
//! Invariant: only segments of admitted devices are read, and before the crew is known only those
//! of the device whose founding entry is the confirmed one. A piece that is not whole waits and
//! is tried again; it stops nothing else.
//! One file past 400 lines, since what a piece may do is seen only beside what the others may.

use std::collections::{BTreeMap, BTreeSet};
use std::time::{Duration, Instant};

use records::RecordError;
use records::ids::{DeviceId, Hash};
use records::keys::PublicKey;
use records::record::Intake;
use records::segment::{self, Header, Segment};

use super::own::too_many;
use super::{NOBODYS, Run};
use crate::error::SyncError;
use crate::founder;
use crate::founding::Founding;
use crate::local::{self, Crew, lock};
use crate::look::{Devices, look_log};
use crate::name::SegmentName;
use crate::plan::{Fetch, KnownLog, LogPlan, MAX_SEGMENT, SeenLog, gaps, plan_log};
use crate::report::{FOUNDER, WaitingFor};
use crate::store::{IN_FLIGHT, in_flight};

/// How long the record's lock may be held for one batch.
const LOCK_TARGET: Duration = Duration::from_millis(20);
/// Bytes of entry lines in the first batch; later ones follow from how long the lock was held.
const FIRST_BATCH: usize = 32 << 10;
const LARGEST_BATCH: usize = 4 << 20;
/// Below this a batch is not made smaller: what holds the lock then is the disk's wait, and more
/// batches would only wait more often.
const SMALLEST_BATCH: usize = 16 << 10;

/// Takes in what the logs of the others hold; answers whether anything new came.
pub(super) fn take_logs(
    run: &mut Run<'_>,
    founding: &Founding,
    devices: &Devices,
) -> Result<bool, SyncError> {
    let before = run.report.new_entries;
    if lock(run.record).crew(run.crew_book).founding.is_none() {
        take_founding(run, founding, devices)?;
    }
    let book = run.crew_book.to_string();
    let mut logs = Logs {
        batch: FIRST_BATCH,
        ..Logs::default()
    };
    // Each round may show more members; a crew has fewer rounds than members.
    loop {
        let crew = local::crew(run.record, run.crew_book, run.options.all_jobs)?;
        let members = crew.members.len();
        logs.round(run, &crew, &|wanted| wanted == book)?;
        let now = local::crew(run.record, run.crew_book, run.options.all_jobs)?;
        if run.stopped() || now.members.len() == members {
            break;
        }
    }
    lock(run.record).adopt_person(run.crew_book)?;
    let crew = local::crew(run.record, run.crew_book, run.options.all_jobs)?;
    logs.round(run, &crew, &|wanted| crew.kept.contains(wanted))?;
    if !run.stopped() && local::waits_for_a_ground(run.record, run.crew_book, &crew.kept) {
        // A member may have gone by the word of a device that was admitted in vain.
        let named = local::named_in_vain(run.record, run.crew_book, &crew);
        logs.round(run, &named, &|wanted| crew.kept.contains(wanted))?;
    }
    logs.conclude(run, &crew)?;
    Ok(run.report.new_entries > before)
}

/// Before the crew is known: finds the device whose founding entry is the confirmed one and takes
/// in its crew book. Nobody else is heard yet.
fn take_founding(
    run: &mut Run<'_>,
    founding: &Founding,
    devices: &Devices,
) -> Result<(), SyncError> {
    let pinned: Hash = founding.founding.parse()?;
    let looked: &Run<'_> = run;
    let mut read = |device: &DeviceId, key: &PublicKey| {
        Ok::<_, SyncError>(first_of_crew(looked, device, key, &founding.book))
    };
    let found = founder::find(run.store, pinned, devices, None, &mut read)?;
    if let Some(founder) = found {
        let mut record = lock(run.record);
        let lines = &founder.segment.lines;
        let taken = record.take_in_log(run.crew_book, founder.device, lines)?;
        run.report.new_entries += taken.new as u64;
        // The person joined this crew on purpose: new jobs go to it from now on.
        return Ok(record.set_setting("crew", &founding.book)?);
    }
    run.report.wait(WaitingFor::Segments, FOUNDER, 1);
    Ok(())
}

/// The first segments of the crew's book in a log, of those that can be read.
fn first_of_crew(run: &Run<'_>, device: &DeviceId, key: &PublicKey, book: &str) -> Vec<Segment> {
    let (known, all) = (KnownLog::default(), |_: &str| true);
    let (text, depth) = (device.to_string(), run.options.depth);
    let Ok(seen) = look_log(run.store, &text, &known, &all, depth, BTreeSet::new()) else {
        return Vec::new();
    };
    let plan = plan_log(&known, &seen, &|named| named == book, &all);
    let mut found: Vec<Segment> = Vec::new();
    for fetch in plan.fetch {
        let no = u64::from(fetch.name.no);
        if found.first().is_some_and(|first| first.header.no < no) {
            break;
        }
        if let Some(Read::Whole(read)) = read_segment(run, &fetch, key) {
            found.push(read.segment);
        }
    }
    found
}

/// Why a piece was met and not taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Open {
    /// It has not arrived whole, or can't be read just now.
    Cut,
    /// It has the lines that its header tells of, and they are not those of its name.
    Damaged,
    /// A newer version wrote it.
    Newer,
}

#[derive(Default)]
struct Logs {
    seen: BTreeMap<DeviceId, SeenLog>,
    /// Pieces that were met and could not be taken in, so that each is told once.
    open: BTreeMap<SegmentName, Open>,
    batch: usize,
}

impl Logs {
    fn round(
        &mut self,
        run: &mut Run<'_>,
        crew: &Crew,
        wanted: &dyn Fn(&str) -> bool,
    ) -> Result<(), SyncError> {
        let own = lock(run.record).device();
        let kept = |book: &str| crew.kept.contains(book);
        for (device, (key, _)) in crew.members.iter().filter(|(device, _)| **device != own) {
            if run.stopped() {
                return Ok(());
            }
            let known = local::known_log(run.record, &run.folder, device)?;
            if !self.seen.contains_key(device) {
                let text = device.to_string();
                match look_log(
                    run.store,
                    &text,
                    &known,
                    &kept,
                    run.options.depth,
                    BTreeSet::new(),
                ) {
                    Ok(seen) => {
                        run.report.others.join(seen.others.clone());
                        if seen.cut {
                            run.report.fault(&too_many(&text));
                        }
                        for path in seen.in_the_way.iter().filter(|path| hides(&text, path)) {
                            run.report.put_aside(path, IN_THE_WAY);
                        }
                        self.seen.insert(*device, seen);
                    }
                    Err(error) => {
                        run.report.fault(&error);
                        continue;
                    }
                }
            }
            let Some(seen) = self.seen.get(device) else {
                continue;
            };
            let plan = plan_log(&known, seen, wanted, &kept);
            self.take(run, *device, key, plan)?;
        }
        Ok(())
    }

    fn take(
        &mut self,
        run: &mut Run<'_>,
        device: DeviceId,
        key: &PublicKey,
        plan: LogPlan,
    ) -> Result<(), SyncError> {
        for (path, bytes) in plan.oversized {
            run.report.put_aside(
                &path,
                format!("{bytes} bytes; no piece of a log is that large: {NOBODYS}"),
            );
        }
        self.open
            .extend(plan.empty.into_iter().map(|name| (name, Open::Cut)));
        let of = plan.fetch.len();
        let mut waiting: Vec<(SegmentName, Box<WholeSegment>)> = Vec::new();
        for (done, group) in plan.fetch.chunks(IN_FLIGHT * 4).enumerate() {
            if run.stopped() {
                break;
            }
            run.tell("Reading what the others recorded", done * IN_FLIGHT * 4, of);
            let read = in_flight(group, run.options.stop, &|fetch: &Fetch| {
                read_segment(run, fetch, key)
            });
            for (fetch, read) in group.iter().zip(read) {
                match read.flatten() {
                    Some(Read::Whole(whole)) => {
                        self.open.remove(&fetch.name);
                        waiting.push((fetch.name.clone(), whole));
                    }
                    Some(Read::Newer) => {
                        self.open.insert(fetch.name.clone(), Open::Newer);
                    }
                    Some(Read::Damaged) => {
                        self.open.insert(fetch.name.clone(), Open::Damaged);
                    }
                    Some(Read::Refused(path, reason)) => run.report.put_aside(&path, reason),
                    Some(Read::Unreadable(errors)) => {
                        errors.iter().for_each(|error| run.report.fault(error));
                        self.open.insert(fetch.name.clone(), Open::Cut);
                    }
                    None => {}
                }
            }
            self.apply(run, device, &mut waiting)?;
        }
        Ok(())
    }

    /// Gives what was read to the record, in batches that hold its lock only briefly. A piece is
    /// noted as taken in after its last entry, so that one cut short here is read again.
    fn apply(
        &mut self,
        run: &mut Run<'_>,
        device: DeviceId,
        read: &mut Vec<(SegmentName, Box<WholeSegment>)>,
    ) -> Result<(), SyncError> {
        let mut names = Vec::new();
        let mut headers = Vec::new();
        let mut paths = Vec::new();
        let mut promised = Vec::new();
        let mut lines = Vec::new();
        for (wanted, whole) in read.drain(..) {
            let whole = *whole;
            run.report.fetched.add_segment(whole.bytes as u64);
            lines.extend(
                whole
                    .segment
                    .lines
                    .into_iter()
                    .map(|line| (paths.len(), line)),
            );
            headers.push(whole.segment.header);
            paths.push(whole.path);
            names.push(whole.name.clone());
            promised.push(wanted);
        }
        let mut bad = BTreeSet::new();
        let mut damaged = BTreeSet::new();
        let mut rest = lines.into_iter().peekable();
        while rest.peek().is_some() {
            let mut size = 0;
            let (mut from, mut batch) = (Vec::new(), Vec::new());
            while let Some((path, line)) = rest.next_if(|_| size < self.batch) {
                size += line.len();
                from.push(path);
                batch.push(line);
            }
            let taken = self.take_batch(run, device, &batch)?;
            run.report.new_entries += taken.new as u64;
            for aside in taken.aside {
                let at = from.get(aside.position).copied();
                bad.extend(at);
                let path = at.and_then(|at| paths.get(at));
                let path = path.map(String::as_str).unwrap_or_default();
                run.report.put_aside(path, aside.reason);
            }
            for (book, entry) in taken.damaged {
                run.report.fault(&RecordError::Damaged(entry).into());
                damaged.insert(book.to_string());
            }
        }
        let mut there = BTreeSet::new();
        if !bad.is_empty() {
            let known = local::known_log(run.record, &run.folder, &device)?;
            there.extend(known.taken.iter().map(|(no, _)| *no));
            let good = names.iter().enumerate().filter(|(at, _)| !bad.contains(at));
            there.extend(good.map(|(_, name)| name.no));
        }
        let mut at = 0;
        names.retain(|name: &SegmentName| {
            let (wanted, bad) = (promised.get(at), bad.contains(&at));
            at += 1;
            // What the name promised is still missing; what was found may be whole all the same. Of
            // what was refused a line may be brought back later, so the piece is read again.
            let why = match wanted.is_some_and(|wanted| wanted == name) {
                // Beside a piece that was taken in a false one is told once.
                true if !bad || there.contains(&name.no) => return true,
                false if !bad => Open::Cut,
                _ => Open::Damaged,
            };
            self.open.extend(wanted.map(|wanted| (wanted.clone(), why)));
            !bad
        });
        // What a damaged job could not take is read again once it is mended.
        names.retain(|name| !damaged.contains(&name.book));
        lock(run.record).note_seen(run.crew_book, &headers)?;
        local::note_taken(run.record, &run.folder, &device, &names)
    }

    fn take_batch(
        &mut self,
        run: &Run<'_>,
        device: DeviceId,
        batch: &[Vec<u8>],
    ) -> Result<Intake, SyncError> {
        let mut record = lock(run.record);
        let begun = Instant::now();
        let taken = record.take_in_log(run.crew_book, device, batch)?;
        let held = begun.elapsed();
        if held > LOCK_TARGET {
            self.batch = (self.batch / 2).max(SMALLEST_BATCH);
        } else if held < LOCK_TARGET / 2 {
            self.batch = (self.batch * 2).min(LARGEST_BATCH);
        }
        Ok(taken)
    }

    /// Counts what was passed over and what is still to come.
    fn conclude(&self, run: &mut Run<'_>, crew: &Crew) -> Result<(), SyncError> {
        let own = lock(run.record).device();
        let kept = |book: &str| crew.kept.contains(book);
        let cut = |name: &SegmentName| self.open.get(name) == Some(&Open::Cut);
        let files = self.seen.values().flat_map(|seen| &seen.segments);
        let met = files.filter(|file| cut(&file.name));
        let met = met.map(|file| (file.path.clone(), file.bytes)).collect();
        for (path, bytes) in local::stay_cut(run.record, &run.folder, &met)? {
            run.report
                .put_aside(&path, format!("cut at {bytes} bytes: {STAYS_CUT}"));
        }
        for (device, (_, name)) in crew.members.iter().filter(|(device, _)| **device != own) {
            let known = local::known_log(run.record, &run.folder, device)?;
            let Some(seen) = self.seen.get(device) else {
                continue;
            };
            let passed = plan_log(&known, seen, &|_| false, &kept).pass;
            local::note_passed(run.record, &run.folder, device, &known, &passed)?;
            let taken: BTreeSet<u32> = known.taken.iter().map(|(no, _)| *no).collect();
            let mut there = taken.clone();
            there.extend(passed.iter().map(|name| name.no));
            let old = known.passed.iter().filter(|(_, book)| !kept(book));
            there.extend(old.map(|(no, _)| *no));
            run.report.passed_over += (there.len() - taken.len()) as u64;
            let text = device.to_string();
            let open = self.open.iter().filter(|(open, _)| open.device == text);
            let open: Vec<(u32, Open)> = open.map(|(open, why)| (open.no, *why)).collect();
            let count = |why: Open| open.iter().filter(|(_, is)| *is == why).count() as u64;
            run.report.wait(WaitingFor::Newer, name, count(Open::Newer));
            run.report
                .wait(WaitingFor::Damaged, name, count(Open::Damaged));
            let last = |numbers: &BTreeSet<u32>| numbers.last().copied().unwrap_or(0);
            let (last_taken, last_named) = (last(&taken), last(&there));
            there.extend(open.iter().map(|(no, _)| *no));
            let gaps = gaps(last_taken, last_named, &there, &seen.listed);
            let cut = count(Open::Cut);
            run.report.wait(WaitingFor::Segments, name, cut + gaps);
        }
        Ok(())
    }
}

/// What to do about a piece that does not arrive.
const STAYS_CUT: &str = "it has been so for an hour, so it is damaged and not on its way. Nothing is \
    lost while its device has it: exchange on that device, and a whole one is written beside it";

/// What to do about something else than a file under the name of a piece.
const IN_THE_WAY: &str = "a link or a folder stands here in place of a piece of a log, and is not \
    followed: move it away and exchange from that device with everything looked over, which writes \
    the piece again";

/// Whether a path has the name of a piece of a device's log.
fn hides(device: &str, path: &str) -> bool {
    let file = path.rsplit('/').next().unwrap_or_default();
    SegmentName::parse(device, file).is_some()
}

struct WholeSegment {
    /// What its content says it is.
    name: SegmentName,
    path: String,
    bytes: usize,
    segment: Segment,
}

enum Read {
    Whole(Box<WholeSegment>),
    Newer,
    Damaged,
    Refused(String, String),
    Unreadable(Vec<SyncError>),
}

/// Reads the file whose content is what its name promises; else the first that is a segment of this
/// device.
fn read_segment(run: &Run<'_>, fetch: &Fetch, key: &PublicKey) -> Option<Read> {
    let mut errors = Vec::new();
    let mut refused = None;
    let mut other = None;
    for path in &fetch.paths {
        let bytes = match run.store.get(path, MAX_SEGMENT) {
            Ok(bytes) => bytes,
            // Gone since it was listed: it is waited for like any that has not come.
            Err(SyncError::NotFound { .. }) => continue,
            Err(error) => {
                errors.push(error);
                continue;
            }
        };
        let hash = Hash::of(&bytes).short();
        match segment::read(&bytes, key) {
            Ok(segment) => {
                let name = SegmentName {
                    device: segment.header.device.to_string(),
                    no: u32::try_from(segment.header.no).unwrap_or(0),
                    book: segment.header.book.to_string(),
                    hash,
                };
                let right = name == fetch.name;
                let whole = Read::Whole(Box::new(WholeSegment {
                    name,
                    path: path.clone(),
                    bytes: bytes.len(),
                    segment,
                }));
                if right {
                    return Some(whole);
                }
                other = other.or(Some(whole));
            }
            Err(RecordError::SegmentNewer(_)) => return Some(Read::Newer),
            // Whole by its name's hash, and yet no segment of this device: it will never be one.
            Err(error) if hash == fetch.name.hash => {
                refused = Some(Read::Refused(path.clone(), error.to_string()));
            }
            Err(_) if errors.is_empty() && has_all_lines(&bytes) => {
                refused = refused.or(Some(Read::Damaged));
            }
            Err(_) => {}
        }
    }
    Some(other.or(refused).unwrap_or(Read::Unreadable(errors)))
}

/// Whether a file that is not what its name says has as many lines as its header tells, or a header
/// that can't be read: what is still arriving begins with a whole header and lacks lines.
fn has_all_lines(bytes: &[u8]) -> bool {
    if !bytes.ends_with(b"\n") {
        return false;
    }
    let mut lines = bytes.split_inclusive(|b| *b == b'\n');
    let header = lines.next().unwrap_or_default();
    let body = header.iter().position(|b| *b == b' ');
    let body = body.and_then(|at| header.get(at + 1..));
    let header = body.and_then(|body| serde_json::from_slice::<Header>(body).ok());
    // Nothing of it is verified yet: its numbers may be anything.
    header.is_none_or(|header| {
        let more = header.last.checked_sub(header.first);
        more.and_then(|more| more.checked_add(1)) == Some(lines.count() as u64)
    })
}
