//! The three devices, their clock, and what they did.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use api::{ApiError, App, ErrorCode};
use chrono::NaiveDateTime;
use records::clock::Clock;
use serde_json::{Value, json};

use super::{Places, astray, at};
use crate::follow;

/// Hours east of UTC at the place of the worked job, in minutes.
const OFFSET_MIN: i32 = 660;

/// A clock that the worked job sets: each look at it is a second later.
pub(super) struct SetClock(AtomicI64);

impl Clock for SetClock {
    fn now_ms(&self) -> i64 {
        self.0.fetch_add(1000, Ordering::Relaxed)
    }
    fn offset_min(&self) -> i32 {
        OFFSET_MIN
    }
}

/// Who acts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Who {
    Ann,
    Ben,
    Office,
}

impl Who {
    pub(super) const ALL: [Who; 3] = [Who::Ann, Who::Ben, Who::Office];

    pub(super) fn name(self) -> &'static str {
        match self {
            Who::Ann => "ann",
            Who::Ben => "ben",
            Who::Office => "office",
        }
    }

    pub(super) fn person(self) -> &'static str {
        match self {
            Who::Ann => "Ann",
            Who::Ben => "Ben",
            Who::Office => "Office",
        }
    }

    pub(super) fn role(self) -> &'static str {
        match self {
            Who::Ann => "surveyor",
            Who::Ben => "installer",
            Who::Office => "office",
        }
    }
}

/// The worked job while it goes on.
pub(super) struct Stage<'a> {
    apps: BTreeMap<Who, App>,
    clock: Arc<SetClock>,
    say: &'a dyn Fn(&str),
    steps: Vec<Value>,
    /// Names of things to ids: runs, posts, tools, batches.
    pub(super) ids: BTreeMap<String, String>,
    /// The job.
    pub(super) job: String,
    /// Listed pictures by key.
    pub(super) photos: BTreeMap<String, Value>,
    /// Figures to tell at the end.
    pub(super) told: serde_json::Map<String, Value>,
    data: PathBuf,
    pub(super) shared: PathBuf,
    pub(super) out: PathBuf,
    pub(super) photos_dir: PathBuf,
}

impl<'a> Stage<'a> {
    pub(super) fn open(places: &Places, say: &'a dyn Fn(&str)) -> Result<Self, ApiError> {
        let clock = Arc::new(SetClock(AtomicI64::new(0)));
        let photos = super::drawn::list(&places.photos)?;
        for folder in [&places.data, &places.shared] {
            fs::create_dir_all(folder).map_err(|e| {
                ApiError::new(
                    ErrorCode::Storage,
                    format!("could not make {}: {e}", folder.display()),
                )
            })?;
        }
        let mut stage = Stage {
            apps: BTreeMap::new(),
            clock,
            say,
            steps: Vec::new(),
            ids: BTreeMap::new(),
            job: String::new(),
            photos,
            told: serde_json::Map::new(),
            data: places.data.clone(),
            shared: absolute(&places.shared)?,
            out: absolute(&places.out)?,
            photos_dir: places.photos.clone(),
        };
        stage.at("2026-10-06T08:55")?;
        for who in Who::ALL {
            let clock: Arc<dyn Clock> = Arc::clone(&stage.clock) as _;
            let app = App::open_with(&stage.data.join(who.name()), clock)?;
            stage.apps.insert(who, app);
            let crew = if who == Who::Ann {
                "Port Hesper wires"
            } else {
                "not joined yet"
            };
            stage.call(
                who,
                "foundCrew",
                json!({"crew": crew, "person": who.person(), "role": who.role()}),
            )?;
        }
        Ok(stage)
    }

    /// Sets the clock to a local time.
    pub(super) fn at(&mut self, local: &str) -> Result<(), ApiError> {
        let local = NaiveDateTime::parse_from_str(local, "%Y-%m-%dT%H:%M")
            .map_err(|e| astray(format!("{local}: {e}")))?;
        let ms = local.and_utc().timestamp_millis() - i64::from(OFFSET_MIN) * 60_000;
        self.clock.0.store(ms, Ordering::Relaxed);
        Ok(())
    }

    /// Tells a step to whoever watches, and keeps it for the report.
    pub(super) fn step(&mut self, who: Who, what: &str) {
        let ms = self.clock.0.load(Ordering::Relaxed);
        self.steps
            .push(json!({"device": who.name(), "atMs": ms, "what": what}));
        (self.say)(&format!("{:7} {what}", who.name()));
    }

    pub(super) fn app(&self, who: Who) -> Result<&App, ApiError> {
        self.apps
            .get(&who)
            .ok_or_else(|| astray("a device is missing"))
    }

    /// Calls a command on a device.
    pub(super) fn call(&self, who: Who, name: &str, request: Value) -> Result<Value, ApiError> {
        let app = self.app(who)?;
        let answer = api::dispatch(app, name, request.clone()).map_err(|e| {
            ApiError::new(
                e.code,
                format!("{} {name} {request}: {}", who.name(), e.message),
            )
        })?;
        follow::to_the_end(app, answer)
    }

    /// Calls a command that takes the job.
    pub(super) fn on_job(
        &self,
        who: Who,
        name: &str,
        mut request: Value,
    ) -> Result<Value, ApiError> {
        if let Some(map) = request.as_object_mut() {
            map.insert("job".into(), json!(self.job));
        }
        self.call(who, name, request)
    }

    /// Calls a command on a run of the job.
    pub(super) fn on_run(
        &self,
        who: Who,
        run: &str,
        name: &str,
        mut request: Value,
    ) -> Result<Value, ApiError> {
        let id = self.id(&format!("run {run}"))?;
        if let Some(map) = request.as_object_mut() {
            map.insert("run".into(), json!(id));
        }
        self.on_job(who, name, request)
    }

    /// Calls a command that the program must refuse, and keeps its words.
    pub(super) fn refused_on_run(
        &mut self,
        who: Who,
        run: &str,
        name: &str,
        request: Value,
        code: ErrorCode,
    ) -> Result<String, ApiError> {
        match self.on_run(who, run, name, request) {
            Err(e) if e.code == code => {
                let words = e
                    .message
                    .rsplit_once("}: ")
                    .map_or(e.message.clone(), |(_, w)| w.to_owned());
                self.step(who, &format!("{name} was refused: {words}"));
                Ok(words)
            }
            Err(e) => Err(e),
            Ok(_) => Err(astray(format!("{name} should have been refused"))),
        }
    }

    /// Adds a thing and remembers its id under a name.
    pub(super) fn add(
        &mut self,
        who: Who,
        thing: &str,
        name: &str,
        fields: Vec<Value>,
    ) -> Result<String, ApiError> {
        let answer = self.on_job(who, "addThing", json!({"thing": thing, "fields": fields}))?;
        self.remember(name, &answer)
    }

    /// Remembers the id of what an answer created.
    pub(super) fn remember(&mut self, name: &str, answer: &Value) -> Result<String, ApiError> {
        let id = at(answer, "/created")
            .as_str()
            .and_then(|s| s.split_once(':'))
            .map(|(_, id)| id.to_owned())
            .ok_or_else(|| astray(format!("{name} was not created: {answer}")))?;
        self.ids.insert(name.to_owned(), id.clone());
        Ok(id)
    }

    pub(super) fn id(&self, name: &str) -> Result<String, ApiError> {
        self.ids
            .get(name)
            .cloned()
            .ok_or_else(|| astray(format!("there is no {name}")))
    }

    pub(super) fn post(&self, name: &str) -> Result<String, ApiError> {
        self.id(&format!("post {name}"))
    }

    /// A bay as a place of readings.
    pub(super) fn bay_place(&self, left: &str, right: &str) -> Result<String, ApiError> {
        Ok(self.bay(left, right)?.trim_start_matches("bay:").to_owned())
    }

    /// A bay as a subject.
    pub(super) fn bay(&self, left: &str, right: &str) -> Result<String, ApiError> {
        let (a, b) = (self.post(left)?, self.post(right)?);
        Ok(format!("bay:{}:{}", a.clone().min(b.clone()), a.max(b)))
    }

    /// Says plain values in one act: subject, field, place, value.
    pub(super) fn say(
        &self,
        who: Who,
        claims: &[(&str, &str, &str, Value)],
    ) -> Result<(), ApiError> {
        let claims: Vec<Value> = claims
            .iter()
            .map(|(subject, field, place, value)| {
                json!({"subject": subject, "field": field, "place": place, "value": value})
            })
            .collect();
        self.on_job(who, "say", json!({"claims": claims})).map(drop)
    }

    /// Exchanges with the shared folder, on each device in turn.
    pub(super) fn exchange(&mut self, devices: &[Who]) -> Result<(), ApiError> {
        for who in devices {
            let report = self.call(*who, "startSync", json!({}))?;
            let count = |path: &str| at(&report, path).as_u64().unwrap_or(0);
            let sent: u64 = ["segments", "thumbs", "views", "originals"]
                .iter()
                .map(|what| count(&format!("/published/{what}")))
                .sum();
            let taken = count("/newEntries");
            self.step(
                *who,
                &format!("exchanged with the folder: {sent} files sent, {taken} entries taken in"),
            );
            let faults = at(&report, "/faults").as_array().map_or(0, Vec::len);
            if faults > 0 {
                return Err(astray(format!("the exchange met faults: {report}")));
            }
        }
        Ok(())
    }

    /// The report: what was made, and whether all devices tell the same.
    pub(super) fn finish(mut self) -> Result<Value, ApiError> {
        let mut devices = Vec::new();
        let mut hashes = Vec::new();
        for who in Who::ALL {
            let state = self.on_job(who, "readState", json!({}))?;
            let hash = at(&state, "/hash").as_str().unwrap_or_default().to_owned();
            devices.push(json!({
                "device": who.name(),
                "data": self.data.join(who.name()),
                "stateHash": hash,
            }));
            hashes.push(hash);
        }
        let same = hashes
            .iter()
            .all(|h| Some(h) == hashes.first() && !h.is_empty());
        if !same {
            return Err(astray(format!(
                "the devices tell different states: {hashes:?}"
            )));
        }
        self.told.insert("job".into(), json!(self.job));
        self.told.insert("devices".into(), json!(devices));
        self.told.insert("sameState".into(), json!(same));
        self.told.insert("shared".into(), json!(self.shared));
        self.told.insert("steps".into(), json!(self.steps));
        Ok(Value::Object(self.told))
    }
}

fn absolute(path: &PathBuf) -> Result<PathBuf, ApiError> {
    std::path::absolute(path)
        .map_err(|e| ApiError::new(ErrorCode::Invalid, format!("{}: {e}", path.display())))
}
