//! A disk on which only so many pages are free, swept from none until nothing is refused: whatever
//! step of saving finds it full, what is acknowledged afterwards stays.

use std::fs::{self, File};
use std::io::Write;
use std::path::Path;

use api::{ApiError, App, ErrorCode};
use serde_json::{Value, json};

use super::devices::{Device, Disk};
use super::{alone, look};

const PAGE: u64 = 4096;
/// No save takes so many; a sweep that gets there would never end.
const MOST: u64 = 200;

/// Takes every page of the disk but so many, until it is dropped.
struct Full(std::path::PathBuf);

impl Full {
    fn but(disk: &Disk, free: u64) -> Self {
        let path = disk.path.join("filler");
        let mut file = File::create(&path).unwrap();
        let mut pages = 0;
        while file.write_all(&[1; PAGE as usize]).is_ok() {
            pages += 1;
        }
        file.set_len((pages - free) * PAGE).unwrap();
        Full(path)
    }
}

impl Drop for Full {
    fn drop(&mut self) {
        fs::remove_file(&self.0).unwrap();
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for item in fs::read_dir(from).unwrap() {
        let item = item.unwrap();
        let target = to.join(item.file_name());
        if item.file_type().unwrap().is_dir() {
            copy(&item.path(), &target);
        } else {
            fs::copy(item.path(), target).unwrap();
        }
    }
}

fn refused_for_room(error: &ApiError, at: &str) {
    assert_eq!(error.code, ErrorCode::Storage, "{at}: {error:?}");
    assert!(error.message.contains("make room"), "{at}: {error:?}");
}

/// What a device acknowledged.
#[derive(Default)]
struct Said {
    notes: Vec<String>,
    jobs: Vec<String>,
}

impl Said {
    fn note(&mut self, ann: &Device, text: &str) -> Result<(), ApiError> {
        ann.note(&self.jobs[0], text)?;
        self.notes.push(text.to_owned());
        Ok(())
    }

    fn job(&mut self, ann: &Device) -> Result<(), ApiError> {
        let begun = ann.try_call("beginJob", json!({"title": "Stair", "place": "an island"}))?;
        let id = begun["created"].as_str().unwrap();
        self.jobs.push(id.trim_start_matches("job:").to_owned());
        Ok(())
    }

    fn is_what(&self, ann: &Device, at: &str) {
        assert_eq!(ann.notes(&self.jobs[0]), self.notes, "{at}");
        let overview = ann.call("overview", json!({}));
        let mut jobs: Vec<&str> = overview["jobs"]
            .as_array()
            .unwrap()
            .iter()
            .map(|card| card["job"].as_str().unwrap())
            .collect();
        let mut wanted: Vec<&str> = self.jobs.iter().map(String::as_str).collect();
        jobs.sort_unstable();
        wanted.sort_unstable();
        assert_eq!(jobs, wanted, "{at}");
    }

    /// Each job is begun once and listed once: no other device hears of one that is not listed.
    fn is_listed(&self, data: &Path, at: &str) {
        let journal = fs::read_to_string(data.join("journal/00000001.jsonl")).unwrap();
        let created: Vec<&str> = journal
            .lines()
            .filter(|line| line.contains("\"kind\":\"job.created\""))
            .collect();
        for job in &self.jobs {
            let of_job = created.iter().filter(|line| line.contains(job.as_str()));
            assert_eq!(of_job.count(), 2, "{at}: {job}");
        }
        assert_eq!(created.len(), 2 * self.jobs.len(), "{at}");
    }
}

/// Saves on a disk with so many free pages, twice where it is refused, then with room again; then
/// holds the folder to what was acknowledged. Whether all was saved at once.
fn saves(disk: &Disk, template: &Path, lead: usize, job: bool, free: u64) -> bool {
    let at = format!("{lead} before, {free} pages free");
    let data = disk.path.join("ann");
    copy(template, &data);
    let ann = Device::at(&data, "Ann").unwrap();
    let first = &ann.call("overview", json!({}))["jobs"][0]["job"];
    let mut said = Said {
        notes: ann.notes(first.as_str().unwrap()),
        jobs: vec![first.as_str().unwrap().to_owned()],
    };
    for number in 0..lead {
        said.note(&ann, &format!("b{number} {}", "x".repeat(1500)))
            .unwrap();
    }
    let mut met_none = true;
    let full = Full::but(disk, free);
    for number in 0..2 {
        let saved = match job {
            true => said.job(&ann),
            false => said.note(&ann, &format!("c{number}")),
        };
        if let Err(error) = saved {
            refused_for_room(&error, &at);
            met_none = false;
        }
    }
    drop(full);
    for number in 0..3 {
        said.note(&ann, &format!("d{number}")).unwrap();
    }
    said.job(&ann).unwrap();
    said.is_what(&ann, &at);
    said.is_listed(&data, &at);
    ann.run("startVerify", json!({"what": "data"}))
        .unwrap_or_else(|error| panic!("{at}: {error:?}"));
    drop(ann);
    look(&data).unwrap_or_else(|error| panic!("{at}: {error:?}"));
    let ann = Device::at(&data, "Ann").unwrap();
    said.is_what(&ann, &at);
    assert_eq!(ann.call("rebuild", json!({}))["same"], true, "{at}");
    said.is_what(&ann, &at);
    drop(ann);
    look(&data).unwrap_or_else(|error| panic!("{at}: {error:?}"));
    fs::remove_dir_all(&data).unwrap();
    met_none
}

/// A closed folder of Ann's with a job and two notes, and a small disk.
fn scene(dir: &Path) -> (Disk, std::path::PathBuf) {
    let template = dir.join("template");
    let ann = Device::at(&template, "Ann").unwrap();
    let job = ann.begin_job();
    ann.note(&job, "a0").unwrap();
    ann.note(&job, "a1").unwrap();
    drop(ann);
    (Disk::new(dir.join("disk"), "4m"), template)
}

fn sweep(lead: usize, job: bool) {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let (disk, template) = scene(dir.path());
    let enough = (0..MOST).find(|free| saves(&disk, &template, lead, job, *free));
    // With no page free nothing is saved, so the sweep met refusals.
    assert!(enough.is_some_and(|free| free > 3), "{enough:?}");
}

#[test]
fn a_note_refused_at_any_step_costs_nothing_that_is_acknowledged_later() {
    sweep(0, false);
}

#[test]
fn nor_does_one_after_more_writing() {
    sweep(4, false);
}

#[test]
fn a_job_refused_at_any_step_is_begun_and_listed_or_neither() {
    sweep(1, true);
}

#[test]
fn a_crew_is_founded_once_at_whatever_step_the_disk_is_full() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "4m");
    let request = json!({"crew": "Reef", "person": "Ann", "role": "surveyor"});
    let founds = |free: u64| {
        let data = disk.path.join("ann");
        let app = App::open(&data).unwrap();
        let call = |name: &str, request: Value| api::dispatch(&app, name, request);
        let full = Full::but(&disk, free);
        let founded = call("foundCrew", request.clone());
        drop(full);
        if let Err(error) = &founded {
            refused_for_room(error, &format!("{free} pages free"));
            call("foundCrew", request.clone()).unwrap();
        }
        let ann = Device { app };
        let job = ann.begin_job();
        ann.note(&job, "one").unwrap();
        drop(ann);
        look(&data).unwrap();
        let ann = Device::at(&data, "Ann").unwrap();
        let overview = ann.call("overview", json!({}));
        assert_eq!(overview["crews"].as_array().unwrap().len(), 1, "{overview}");
        assert_eq!(
            (&overview["person"], ann.notes(&job)),
            (&json!("Ann"), vec!["one".into()])
        );
        let journal = fs::read_to_string(data.join("journal/00000001.jsonl")).unwrap();
        assert_eq!(
            journal.matches("\"kind\":\"crew.founded\"").count(),
            1,
            "{free}"
        );
        drop(ann);
        fs::remove_dir_all(&data).unwrap();
        founded.is_ok()
    };
    let enough = (0..MOST).find(|free| founds(*free));
    assert!(enough.is_some_and(|free| free > 3), "{enough:?}");
}

#[test]
fn a_folder_that_can_not_be_opened_for_want_of_room_says_so_and_is_whole() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let (disk, template) = scene(dir.path());
    let opens = |free: u64, index: bool| {
        let data = disk.path.join("ann");
        copy(&template, &data);
        if !index {
            fs::remove_file(data.join("index.db")).unwrap();
        }
        let full = Full::but(&disk, free);
        let opened = App::open(&data).map(drop);
        drop(full);
        if let Err(error) = &opened {
            refused_for_room(error, &format!("{free} pages free"));
        }
        let ann = Device::at(&data, "Ann").unwrap();
        let job = ann.call("overview", json!({}))["jobs"][0]["job"].clone();
        assert_eq!(ann.notes(job.as_str().unwrap()), ["a0", "a1"]);
        drop(ann);
        look(&data).unwrap();
        fs::remove_dir_all(&data).unwrap();
        opened.is_ok()
    };
    for index in [true, false] {
        let enough = (0..MOST).find(|free| opens(*free, index));
        assert!(enough.is_some_and(|free| free > 0), "{enough:?}");
    }
}
