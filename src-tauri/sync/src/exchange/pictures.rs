//! Pictures and documents: thumbs, views and originals, each class as one batch.
//!
//! Invariant: a file counts only if its bytes have the hash that its entry names. It is shared
//! only after the folder has it durably.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use records::RecordError;
use records::photos::{self, PhotoError};

use super::Run;
use super::wrong::{Expected, wrong};
use crate::error::SyncError;
use crate::local;
use crate::look::{Depth, look_objects};
use crate::name::object_folder;
use crate::plan::{
    KnownObject, MAX_OBJECT, ObjectPlan, ObjectRole, Publish, SeenObjects, plan_objects,
};
use crate::report::WaitingFor;
use crate::store::{IN_FLIGHT, Put, in_flight};

/// A class of files, moved as one batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Size {
    Thumbs,
    Views,
    Originals,
}

pub(super) struct Pictures {
    plan: ObjectPlan,
    photos_dir: PathBuf,
    /// Hashes known to lie in the folder whole.
    there: Vec<String>,
}

impl Size {
    fn role(self) -> ObjectRole {
        match self {
            Self::Thumbs => ObjectRole::Thumb,
            Self::Views => ObjectRole::View,
            Self::Originals => ObjectRole::Original,
        }
    }

    fn words(self, publishing: bool) -> &'static str {
        match (self, publishing) {
            (Self::Thumbs, true) => "Publishing small pictures",
            (Self::Views, true) => "Publishing pictures",
            (Self::Originals, true) => "Publishing original files",
            (Self::Thumbs, false) => "Fetching small pictures",
            (Self::Views, false) => "Fetching pictures",
            (Self::Originals, false) => "Fetching original files",
        }
    }
}

/// Compares what the kept books vouch for with what is here and what the folder shows.
///
/// What is held here and known to lie there is not looked for again, as long as its folder is
/// there; unless everything is to be looked over.
pub(super) fn look(run: &mut Run<'_>) -> Result<Pictures, SyncError> {
    let crew = local::crew(run.record, run.crew_book, run.options.all_jobs)?;
    let (mut objects, photos_dir) = local::objects(run.record, run.crew_book, &crew.kept)?;
    let everything = run.options.depth == Depth::Everything;
    if everything && !run.looked_over {
        run.damaged_here = damaged_here(run, &photos_dir, &objects)?;
    }
    for object in &mut objects {
        // What is not whole here is fetched like what never came.
        object.held &= !run.damaged_here.contains(&object.name.sha256);
    }
    let settled: BTreeSet<String> = match everything {
        true => BTreeSet::new(),
        false => {
            let shared = local::lock(run.record).objects_shared(&run.folder)?;
            let held = objects.iter().filter(|object| object.held);
            let hashes = held.map(|object| object.name.sha256.clone());
            hashes.filter(|sha256| shared.contains(sha256)).collect()
        }
    };
    let hashes = objects.iter().map(|object| object.name.sha256.as_str());
    let is_settled = |sha256: &str| settled.contains(sha256);
    let seen = match look_objects(run.store, hashes, &is_settled, run.options.stop) {
        Ok(seen) => seen,
        Err(error) => {
            run.report.fault(&error);
            let missing = std::mem::take(&mut objects);
            let plan = ObjectPlan {
                missing,
                ..ObjectPlan::default()
            };
            return Ok(Pictures {
                plan,
                photos_dir,
                there: Vec::new(),
            });
        }
    };
    seen.faults.iter().for_each(|error| run.report.fault(error));
    run.among_pictures = seen.others.clone();
    objects.retain(|object| {
        let folder = object_folder(&object.name.sha256);
        !is_settled(&object.name.sha256) || seen.listed.contains(&folder) || !seen.there(&folder)
    });
    // Of these nothing can be said or done this time.
    let (unclear, objects): (Vec<_>, Vec<_>) = objects
        .into_iter()
        .partition(|object| seen.unlisted.contains(&object_folder(&object.name.sha256)));
    let mut wrong = match everything && !run.looked_over {
        true => wrong_objects(run, &objects, &seen.objects),
        false => std::mem::take(&mut run.wrong_objects),
    };
    wrong.extend(seen.in_the_way);
    run.looked_over = true;
    let mut plan = plan_objects(&objects, &seen.objects, &wrong);
    run.wrong_objects = wrong;
    let to_publish: Vec<&str> = plan
        .publish
        .iter()
        .map(|publish| publish.what.name.sha256.as_str())
        .collect();
    let there = objects
        .iter()
        .filter(|object| object.held && !to_publish.contains(&object.name.sha256.as_str()))
        .map(|object| object.name.sha256.clone())
        .collect();
    plan.missing.extend(unclear);
    Ok(Pictures {
        plan,
        photos_dir,
        there,
    })
}

/// Files kept on this device that no longer have the bytes of their names; each is read once.
fn damaged_here(
    run: &mut Run<'_>,
    photos_dir: &Path,
    objects: &[KnownObject],
) -> Result<BTreeSet<String>, SyncError> {
    let held = objects.iter().filter(|object| object.held);
    let held: BTreeSet<&str> = held.map(|object| object.name.sha256.as_str()).collect();
    let held: Vec<&str> = held.into_iter().collect();
    let mut damaged = BTreeSet::new();
    for (done, group) in held.chunks(IN_FLIGHT * 4).enumerate() {
        run.tell(
            "Looking over what is kept here",
            done * IN_FLIGHT * 4,
            held.len(),
        );
        let read = in_flight(group, run.options.stop, &|sha256: &&str| {
            photos::read(photos_dir, sha256).map(drop)
        });
        for (sha256, read) in group.iter().zip(read) {
            match read {
                Some(Err(PhotoError::Damaged { .. })) => {
                    let why = "the bytes of this file are not those of its name: it was changed or \
                               damaged, and is fetched anew";
                    local::lock(run.record).note_aside(&format!("photos/{sha256}"), why)?;
                    damaged.insert((*sha256).to_owned());
                }
                Some(Err(error)) => run.report.fault(&RecordError::from(error).into()),
                Some(Ok(())) | None => {}
            }
        }
    }
    Ok(damaged)
}

/// Files that are held here and have the right length there, and whose bytes there are others.
fn wrong_objects(
    run: &mut Run<'_>,
    objects: &[KnownObject],
    seen: &SeenObjects,
) -> BTreeSet<String> {
    let mut files = BTreeMap::new();
    let held = objects.iter().filter(|o| o.held && o.bytes <= MAX_OBJECT);
    for object in held {
        let there = seen.get(&object.name.sha256).into_iter().flatten();
        let fits = there.filter(|(_, bytes)| *bytes == object.bytes);
        files.extend(fits.map(|(path, _)| (path.clone(), object)));
    }
    let files = files.into_iter().map(|(path, object)| Expected {
        path,
        at_most: object.bytes,
        start: object.name.sha256.clone(),
    });
    wrong(run, &files.collect::<Vec<_>>())
}

/// Publishes one class and makes it durable.
pub(super) fn publish(
    run: &mut Run<'_>,
    pictures: &mut Pictures,
    size: Size,
) -> Result<(), SyncError> {
    let role = size.role();
    let (now, later): (Vec<_>, Vec<_>) = std::mem::take(&mut pictures.plan.publish)
        .into_iter()
        .partition(|publish| publish.what.role == role);
    pictures.plan.publish = later;
    let mut written: Vec<&KnownObject> = Vec::new();
    let mut failing = false;
    for (done, group) in now.chunks(IN_FLIGHT * 4).enumerate() {
        run.tell(size.words(true), done * IN_FLIGHT * 4, now.len());
        let dir = &pictures.photos_dir;
        let put = |publish: &Publish<KnownObject>| -> Result<Put, SyncError> {
            let bytes = photos::read(dir, &publish.what.name.sha256).map_err(RecordError::from)?;
            run.store.put_new(&publish.path, &bytes)
        };
        // A folder that takes nothing will not take the next file either.
        let stop = || failing || (run.options.stop)();
        let results = in_flight(group, &stop, &put);
        failing |= results.iter().all(|result| matches!(result, Some(Err(_))));
        for (publish, result) in group.iter().zip(results) {
            let object = &publish.what;
            match result {
                Some(Ok(Put::Created)) => written.push(object),
                Some(Ok(Put::AlreadyThere)) => {
                    run.unshared.remove(&object.name.sha256);
                    pictures.there.push(object.name.sha256.clone());
                }
                Some(Ok(Put::Different)) => {
                    let reason =
                        "other bytes stand under this name, so others can't read this file";
                    run.report.put_aside(&publish.path, reason);
                    run.unshared(object);
                }
                Some(Err(error)) => {
                    run.report.fault(&error);
                    run.unshared(object);
                }
                None => run.unshared(object),
            }
        }
    }
    if written.is_empty() {
        return Ok(());
    }
    let settled = run.store.settle();
    for object in written {
        if settled.is_ok() {
            run.unshared.remove(&object.name.sha256);
            run.report.published.add_object(role, object.bytes);
            pictures.there.push(object.name.sha256.clone());
        } else {
            run.unshared(object);
        }
    }
    if let Err(error) = settled {
        run.report.fault(&error);
    }
    Ok(())
}

/// Fetches one class.
pub(super) fn fetch(
    run: &mut Run<'_>,
    pictures: &mut Pictures,
    size: Size,
) -> Result<(), SyncError> {
    let role = size.role();
    let (now, later): (Vec<_>, Vec<_>) = std::mem::take(&mut pictures.plan.fetch)
        .into_iter()
        .partition(|(object, _)| object.role == role);
    pictures.plan.fetch = later;
    let of = now.len();
    for (done, group) in now.chunks(IN_FLIGHT).enumerate() {
        if run.stopped() {
            let rest = now
                .iter()
                .skip(done * IN_FLIGHT)
                .map(|(object, _)| object.clone());
            pictures.plan.missing.extend(rest);
            return Ok(());
        }
        run.tell(size.words(false), done * IN_FLIGHT, of);
        let results = in_flight(group, run.options.stop, &|(object, paths)| {
            get(run, object, paths)
        });
        let mut got: Vec<(&KnownObject, Vec<u8>)> = Vec::new();
        for ((object, _), result) in group.iter().zip(results) {
            match result {
                Some(Ok(bytes)) => got.push((object, bytes)),
                Some(Err(errors)) => {
                    errors.iter().for_each(|error| run.report.fault(error));
                    pictures.plan.missing.push(object.clone());
                }
                None => pictures.plan.missing.push(object.clone()),
            }
        }
        let objects: Vec<photos::Object<'_>> = got
            .iter()
            .map(|(object, bytes)| photos::Object {
                bytes,
                extension: &object.name.extension,
            })
            .collect();
        // A device that can't keep a file can't keep the next: the record's error ends the exchange.
        photos::store_batch(&pictures.photos_dir, &objects).map_err(RecordError::from)?;
        for (object, bytes) in &got {
            run.report.fetched.add_object(role, bytes.len() as u64);
            pictures.there.push(object.name.sha256.clone());
        }
    }
    Ok(())
}

/// Tells what is still to come, and notes what is known to be in the folder.
pub(super) fn conclude(run: &mut Run<'_>, pictures: Pictures) -> Result<(), SyncError> {
    let there = pictures.there.iter().map(String::as_str);
    local::note_shared(run.record, &run.folder, there)?;
    let crew = local::crew(run.record, run.crew_book, false)?;
    let names: BTreeMap<String, String> = crew
        .members
        .into_iter()
        .map(|(device, (_, name))| (device.to_string(), name))
        .collect();
    let own = local::lock(run.record).device().to_string();
    let mut own_gone = Vec::new();
    for object in pictures.plan.missing {
        if object.held {
            run.unshared(&object);
            continue;
        }
        if object.device == own && !run.damaged_here.contains(&object.name.sha256) {
            own_gone.push(object.name.path());
            run.unshared(&object);
        }
        if run.damaged_here.contains(&object.name.sha256) {
            let reason = "the file on this device is damaged, and the shared folder has no whole one. \
                          Add the same file again, or exchange again once another device has shared \
                          it";
            let path = object.name.path();
            run.report
                .fault(&SyncError::permanent("looking over", &path, reason));
            if object.device == own {
                run.unshared(&object);
            }
        }
        let what = match object.role {
            ObjectRole::Thumb => WaitingFor::Thumbs,
            ObjectRole::View => WaitingFor::Views,
            ObjectRole::Original => WaitingFor::Originals,
        };
        let whose = names.get(&object.device).unwrap_or(&object.device);
        run.report.wait(what, whose, 1);
    }
    if let Some(first) = own_gone.first() {
        let reason = format!(
            "files that were added on this device and are gone or cut here, and of which the shared \
             folder has no whole one: {}. Add the same files again",
            own_gone.len()
        );
        let fault = SyncError::permanent("looking over", first, reason);
        run.report.fault(&fault);
    }
    Ok(())
}

/// The bytes of an object from the first place where they are right.
fn get(run: &Run<'_>, object: &KnownObject, paths: &[String]) -> Result<Vec<u8>, Vec<SyncError>> {
    let mut errors = Vec::new();
    if object.bytes > MAX_OBJECT {
        let reason = format!("{} bytes; at most {MAX_OBJECT} are fetched", object.bytes);
        return Err(vec![SyncError::permanent(
            "fetching",
            &object.name.path(),
            reason,
        )]);
    }
    for path in paths {
        match run.store.get(path, object.bytes) {
            Ok(bytes) if photos::sha256_hex(&bytes) == object.name.sha256 => return Ok(bytes),
            // Of the right length and not the right bytes: still arriving, or damaged.
            Ok(_) | Err(SyncError::NotFound { .. }) => {}
            Err(error) => errors.push(error),
        }
    }
    Err(errors)
}
