//! Long work: one thread per task, its progress, its end and the wish to cancel it.
//!
//! Invariant: a task ends exactly once, with a result, an error, or the news that it broke; a
//! waiter always comes back. The room keeps the last ended tasks so that a late question finds its
//! answer. Tasks live as long as the process: what they saved is on disk, the rest is begun again.

use std::{
    collections::VecDeque,
    ops::ControlFlow,
    sync::{
        Arc, Condvar, Mutex, MutexGuard, PoisonError,
        atomic::{AtomicBool, AtomicU64, Ordering},
    },
    thread,
    time::{Duration, Instant},
};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use crate::{ApiError, App, ErrorCode};

/// How many ended tasks stay readable.
const KEPT: usize = 64;
/// The longest a waiter is held, so that connections and threads come free.
const LONGEST_WAIT: Duration = Duration::from_secs(25);

/// The room where long work runs.
#[derive(Default)]
pub struct Tasks {
    begun: AtomicU64,
    /// Held while work is begun of which only one piece may run.
    alone: Mutex<()>,
    slots: Mutex<VecDeque<Arc<Slot>>>,
}

/// What running work reports through, and where it sees that it should end.
pub struct Progress {
    slot: Arc<Slot>,
}

/// The answer of a `start…` command.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TaskStarted {
    /// The task's id, for `task` and `cancelTask`.
    pub task: String,
}

/// Which task, what the caller knows, and how long to wait for more.
#[derive(Debug, Clone, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TaskRequest {
    /// The task's id.
    pub task: String,
    /// The version last seen; the answer waits for a newer one.
    #[ts(optional)]
    pub seen: Option<u64>,
    /// How long to wait, in milliseconds; 25 000 at most, 0 when it is absent.
    #[ts(optional)]
    pub wait_ms: Option<u64>,
}

/// Which task to end.
#[derive(Debug, Clone, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CancelTask {
    /// The task's id.
    pub task: String,
}

/// How far a task has come.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TaskState {
    /// The task's id.
    pub task: String,
    /// What kind of work it is.
    pub kind: String,
    /// Grows with every change.
    pub version: u64,
    /// Steps done.
    pub done: u64,
    /// Steps in all; 0 while unknown.
    pub total: u64,
    /// What is being done, in words.
    pub what: String,
    /// Running, or how it ended.
    pub state: TaskEnd,
    /// What it made, when it is done.
    #[ts(type = "unknown")]
    pub result: Value,
    /// Why it failed.
    pub error: Option<ApiError>,
}

/// Whether a task runs, or how it ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum TaskEnd {
    /// Still at it.
    Running,
    /// Ended with a result.
    Done,
    /// Ended with an error.
    Failed,
    /// Ended because someone asked for it.
    Cancelled,
}

struct Slot {
    id: String,
    kind: String,
    cancel: AtomicBool,
    now: Mutex<Now>,
    changed: Condvar,
}

struct Now {
    version: u64,
    done: u64,
    total: u64,
    what: String,
    end: Option<Result<Value, ApiError>>,
}

impl Tasks {
    /// Begins work on a thread of its own and gives its id at once.
    ///
    /// Fails only when the system gives no thread.
    pub fn start(
        &self,
        kind: &str,
        work: impl FnOnce(&Progress) -> Result<Value, ApiError> + Send + 'static,
    ) -> Result<TaskStarted, ApiError> {
        let number = self.begun.fetch_add(1, Ordering::Relaxed) + 1;
        let slot = Arc::new(Slot {
            id: format!("task-{number}"),
            kind: kind.to_owned(),
            cancel: AtomicBool::new(false),
            now: Mutex::new(Now {
                version: 1,
                done: 0,
                total: 0,
                what: String::new(),
                end: None,
            }),
            changed: Condvar::new(),
        });
        let ending = Ending(Arc::clone(&slot));
        let progress = Progress {
            slot: Arc::clone(&slot),
        };
        thread::Builder::new()
            .name(format!("{kind}-{number}"))
            .spawn(move || {
                let ending = ending;
                let end = work(&progress);
                ending.0.end_with(end);
            })
            .map_err(|error| {
                ApiError::retryable(
                    ErrorCode::Storage,
                    format!(
                        "The work could not begin: {error}. Close other programs and try again."
                    ),
                )
            })?;
        let started = TaskStarted {
            task: slot.id.clone(),
        };
        self.keep(slot);
        Ok(started)
    }

    /// Begins work of which only one piece may run at a time: while one runs, its id is the answer.
    ///
    /// Fails as [`Tasks::start`], and while the one that runs was asked to end and has not.
    pub fn start_alone(
        &self,
        kind: &str,
        work: impl FnOnce(&Progress) -> Result<Value, ApiError> + Send + 'static,
    ) -> Result<TaskStarted, ApiError> {
        let _turn = held(&self.alone);
        let running = held(&self.slots)
            .iter()
            .find(|slot| slot.kind == kind && !slot.ended())
            .cloned();
        match running {
            None => self.start(kind, work),
            Some(slot) if slot.cancel.load(Ordering::Relaxed) => Err(ApiError::retryable(
                ErrorCode::Cancelled,
                "The one before is just stopping as asked. Start it again in a moment.",
            )),
            Some(slot) => Ok(TaskStarted {
                task: slot.id.clone(),
            }),
        }
    }

    fn keep(&self, slot: Arc<Slot>) {
        let mut slots = held(&self.slots);
        slots.push_back(slot);
        let ended = slots.iter().filter(|slot| slot.ended()).count();
        if ended > KEPT
            && let Some(oldest) = slots.iter().position(|slot| slot.ended())
        {
            slots.remove(oldest);
        }
    }

    fn find(&self, task: &str) -> Result<Arc<Slot>, ApiError> {
        held(&self.slots)
            .iter()
            .find(|slot| slot.id == task)
            .cloned()
            .ok_or_else(|| {
                ApiError::new(
                    ErrorCode::NotFound,
                    "That work is not known here: it ended long ago or the program was started again. Begin it again.",
                )
            })
    }
}

impl Progress {
    /// Tells how far the work has come: steps done, steps in all (0 while unknown), what is done.
    pub fn report(&self, done: u64, total: u64, what: &str) {
        let mut now = held(&self.slot.now);
        now.version += 1;
        now.done = done;
        now.total = total;
        what.clone_into(&mut now.what);
        drop(now);
        self.slot.changed.notify_all();
    }

    /// The same, and whether to go on: work that takes its own steps is told to break off where
    /// someone asked it to end.
    pub fn tell(&self, done: u64, total: u64, what: &str) -> ControlFlow<()> {
        self.report(done, total, what);
        if self.cancelled() {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }

    /// Whether someone asked the work to end.
    pub fn cancelled(&self) -> bool {
        self.slot.cancel.load(Ordering::Relaxed)
    }

    /// Ends the work with `?` at a safe point when someone asked for it.
    pub fn keep_going(&self) -> Result<(), ApiError> {
        if self.cancelled() {
            return Err(ApiError::retryable(
                ErrorCode::Cancelled,
                "Stopped as asked. What was whole is kept.",
            ));
        }
        Ok(())
    }
}

/// Handler of `task`.
pub(crate) fn task(app: &App, request: TaskRequest) -> Result<TaskState, ApiError> {
    let wait = Duration::from_millis(request.wait_ms.unwrap_or(0)).min(LONGEST_WAIT);
    Ok(app
        .tasks
        .find(&request.task)?
        .wait(request.seen.unwrap_or(0), wait))
}

/// Handler of `cancelTask`.
pub(crate) fn cancel_task(app: &App, request: CancelTask) -> Result<TaskState, ApiError> {
    let slot = app.tasks.find(&request.task)?;
    slot.cancel.store(true, Ordering::Relaxed);
    Ok(slot.wait(0, Duration::ZERO))
}

impl Slot {
    fn ended(&self) -> bool {
        held(&self.now).end.is_some()
    }

    fn end_with(&self, end: Result<Value, ApiError>) {
        let mut now = held(&self.now);
        if now.end.is_none() {
            now.version += 1;
            now.end = Some(end);
        }
        drop(now);
        self.changed.notify_all();
    }

    fn wait(&self, seen: u64, longest: Duration) -> TaskState {
        let until = Instant::now() + longest;
        let mut now = held(&self.now);
        while now.version <= seen && now.end.is_none() {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                break;
            }
            now = self
                .changed
                .wait_timeout(now, left)
                .unwrap_or_else(PoisonError::into_inner)
                .0;
        }
        let (state, result, error) = match &now.end {
            None => (TaskEnd::Running, Value::Null, None),
            Some(Ok(result)) => (TaskEnd::Done, result.clone(), None),
            Some(Err(error)) if error.code == ErrorCode::Cancelled => {
                (TaskEnd::Cancelled, Value::Null, Some(error.clone()))
            }
            Some(Err(error)) => (TaskEnd::Failed, Value::Null, Some(error.clone())),
        };
        TaskState {
            task: self.id.clone(),
            kind: self.kind.clone(),
            version: now.version,
            done: now.done,
            total: now.total,
            what: now.what.clone(),
            state,
            result,
            error,
        }
    }
}

/// Ends a task whose thread went away without an answer, so that nobody waits for ever.
struct Ending(Arc<Slot>);

impl Drop for Ending {
    fn drop(&mut self) {
        self.0.end_with(Err(ApiError::new(
            ErrorCode::Internal,
            "The work broke off through a mistake in the program. What was saved is kept.",
        )));
    }
}

/// Takes a lock whose data stays usable when another thread broke while holding it.
fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
