//! One exchange with a shared folder: what the plan says is done, nothing else.
//!
//! Invariant: the own log is read before anything is written; small things go before large ones;
//! a fault in one file stops nothing but that file. What is true or counts is the record's matter.

mod logs;
mod make;
mod own;
mod pictures;
mod wrong;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;

use records::Record;
use records::ids::BookId;

use crate::error::SyncError;
use crate::founding::Founding;
use crate::join;
use crate::local;
use crate::look::{Depth, Devices, count_strangers, look_devices, look_top};
use crate::others::Others;
use crate::plan::{KnownObject, ObjectRole};
use crate::report::{Report, Stranger};
use crate::store::SharedStore;

/// What to do with a file that has a piece's name and can be none.
const NOBODYS: &str = "nobody's piece, so move it away. What should lie there is written again by its \
                       device at its next exchange with everything looked over";

/// How to exchange.
pub struct Options<'a> {
    /// How much of each log to list.
    pub depth: Depth,
    /// Whether to fetch every job that the crew lists, not only those kept or chosen here.
    pub all_jobs: bool,
    /// Told of every step.
    pub progress: &'a (dyn Fn(Progress) + Sync),
    /// Asked between steps; once it says yes, the exchange ends and keeps what it has.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// How far an exchange is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What is being done, in words.
    pub what: &'static str,
    /// Files done of this step.
    pub done: u64,
    /// Files of this step.
    pub of: u64,
}

impl Default for Options<'_> {
    fn default() -> Self {
        Self {
            depth: Depth::Newest,
            all_jobs: false,
            progress: &|_| {},
            stop: &|| false,
        }
    }
}

/// Exchanges with a shared folder: publishes what is new here and takes in what is new there.
///
/// Errors only where nothing could be begun: `NoFolder`, `NotShared`, `NotConfirmed`, `OtherCrew`,
/// `Newer`, a top that can't be read, or a record that can't be read or written. Everything else
/// stands in the report.
pub fn exchange(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    options: &Options<'_>,
) -> Result<Report, SyncError> {
    let others = look_top(store).map_err(|error| match error {
        SyncError::NotFound { .. } => SyncError::NoFolder,
        other => other,
    })?;
    let founding = join::confirmed(store, record)?;
    let mut run = Run {
        store,
        record,
        options,
        crew_book: founding.book.parse()?,
        folder: founding.folder.clone(),
        report: Report {
            others,
            ..Report::default()
        },
        among_pictures: Others::default(),
        unshared: BTreeMap::new(),
        looked_over: false,
        wrong_objects: BTreeSet::new(),
        damaged_here: BTreeSet::new(),
    };
    run.all(&founding)?;
    for (role, bytes) in std::mem::take(&mut run.unshared).into_values() {
        run.report.unshared.add_object(role, bytes);
    }
    run.report.others.join(run.among_pictures);
    run.report.cancelled |= (options.stop)();
    run.report.finish();
    Ok(run.report)
}

/// An exchange under way.
struct Run<'a> {
    store: &'a dyn SharedStore,
    record: &'a Mutex<Record>,
    options: &'a Options<'a>,
    crew_book: BookId,
    folder: String,
    report: Report,
    /// What the pictures' folders showed last of what is none of the record's.
    among_pictures: Others,
    /// Files that this device holds and the folder lacks, by hash.
    unshared: BTreeMap<String, (ObjectRole, u64)>,
    /// Whether the files were read and held to their hashes, and the paths that failed.
    looked_over: bool,
    wrong_objects: BTreeSet<String>,
    /// Hashes of files that are kept on this device and no longer have their bytes.
    damaged_here: BTreeSet<String>,
}

impl Run<'_> {
    fn all(&mut self, founding: &Founding) -> Result<(), SyncError> {
        let devices = match look_devices(self.store) {
            Ok(devices) => devices,
            Err(error) => {
                self.report.fault(&error);
                Devices::default()
            }
        };
        self.report.others.join(devices.others.clone());
        let own_log = own::take_own_log(self)?;
        self.publish_card(&devices);
        let mut pictures = pictures::look(self)?;
        pictures::publish(self, &mut pictures, pictures::Size::Thumbs)?;
        make::publish_segments(self, &own_log)?;
        let fetched = logs::take_logs(self, founding, &devices)?;
        if fetched {
            pictures = pictures::look(self)?;
        }
        for size in [
            pictures::Size::Thumbs,
            pictures::Size::Views,
            pictures::Size::Originals,
        ] {
            pictures::publish(self, &mut pictures, size)?;
            pictures::fetch(self, &mut pictures, size)?;
        }
        pictures::conclude(self, pictures)?;
        self.report.not_here = local::lock(self.record).not_here(self.crew_book)?;
        self.tell_own_end();
        self.count_strangers(&devices)
    }

    /// An end that came with this exchange, or before: what is recorded here since counts for nobody.
    fn tell_own_end(&mut self) {
        let record = local::lock(self.record);
        let ended = record.own_member(self.crew_book);
        if ended.is_some_and(|member| member.ended.is_some()) {
            self.report.fault(&SyncError::Ended);
        }
    }

    fn publish_card(&mut self, devices: &Devices) {
        let device = local::lock(self.record).device().to_string();
        if devices.cards.contains(&device) {
            return;
        }
        if let Err(error) = join::put_own_card(self.store, self.record, self.crew_book) {
            self.report.fault(&error);
        }
    }

    fn count_strangers(&mut self, devices: &Devices) -> Result<(), SyncError> {
        let crew = local::crew(self.record, self.crew_book, false)?;
        let own = local::lock(self.record).device().to_string();
        let admitted = |text: &str| {
            text == own || crew.members.keys().any(|device| device.to_string() == text)
        };
        match count_strangers(self.store, devices, &admitted) {
            Ok(counts) => {
                let stranger = |(device, segments): (String, u64)| Stranger {
                    has_card: devices.cards.contains(&device),
                    device,
                    segments,
                };
                self.report.strangers = counts.into_iter().map(stranger).collect();
            }
            Err(error) => self.report.fault(&error),
        }
        Ok(())
    }

    fn stopped(&self) -> bool {
        (self.options.stop)()
    }

    fn unshared(&mut self, object: &KnownObject) {
        let what = (object.role, object.bytes);
        self.unshared.insert(object.name.sha256.clone(), what);
    }

    fn tell(&self, what: &'static str, done: usize, of: usize) {
        (self.options.progress)(Progress {
            what,
            done: done as u64,
            of: of as u64,
        });
    }
}
