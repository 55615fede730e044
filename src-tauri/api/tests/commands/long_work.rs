//! Long work: progress, waiting, cancelling and breaking off; pieces on their way in.

use std::{sync::mpsc, time::Instant};

use api::{App, ErrorCode, dispatch};
use serde_json::{Value, json};

fn app() -> (tempfile::TempDir, App) {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open(dir.path()).unwrap();
    (dir, app)
}

fn wait(app: &App, task: &str, seen: u64) -> Value {
    dispatch(
        app,
        "task",
        json!({"task": task, "seen": seen, "waitMs": 20_000}),
    )
    .unwrap()
}

#[test]
fn a_waiter_sees_progress_and_the_result() {
    let (_dir, app) = app();
    let (go, gate) = mpsc::channel();
    let started = app
        .tasks
        .start("sync", move |progress| {
            progress.report(1, 3, "photos");
            gate.recv().unwrap();
            Ok(json!({"taken": 3}))
        })
        .unwrap();
    let first = wait(&app, &started.task, 1);
    assert_eq!(
        (
            &first["state"],
            &first["done"],
            &first["total"],
            &first["what"]
        ),
        (&json!("running"), &json!(1), &json!(3), &json!("photos"))
    );
    go.send(()).unwrap();
    let last = wait(&app, &started.task, first["version"].as_u64().unwrap());
    assert_eq!(last["state"], "done");
    assert_eq!(last["result"], json!({"taken": 3}));
}

#[test]
fn a_question_without_wait_comes_back_at_once() {
    let (_dir, app) = app();
    let (go, gate) = mpsc::channel::<()>();
    let started = app
        .tasks
        .start("sync", move |_| {
            gate.recv().unwrap();
            Ok(Value::Null)
        })
        .unwrap();
    let asked = Instant::now();
    let state = dispatch(&app, "task", json!({"task": started.task, "seen": 99})).unwrap();
    assert_eq!(state["state"], "running");
    assert!(asked.elapsed().as_secs() < 5);
    go.send(()).unwrap();
}

#[test]
fn cancelled_work_ends_at_its_next_safe_point() {
    let (_dir, app) = app();
    let (go, gate) = mpsc::channel();
    let started = app
        .tasks
        .start("verify", move |progress| {
            gate.recv().unwrap();
            progress.keep_going()?;
            Ok(json!("not reached"))
        })
        .unwrap();
    dispatch(&app, "cancelTask", json!({"task": started.task})).unwrap();
    go.send(()).unwrap();
    let end = wait(&app, &started.task, u32::MAX.into());
    assert_eq!(end["state"], "cancelled");
    assert_eq!(end["error"]["code"], "cancelled");
}

#[test]
fn work_that_breaks_leaves_nobody_waiting() {
    let (_dir, app) = app();
    let started = app.tasks.start("import", |_| panic!("on purpose")).unwrap();
    let end = wait(&app, &started.task, u32::MAX.into());
    assert_eq!(end["state"], "failed");
    assert_eq!(end["error"]["code"], "internal");
}

#[test]
fn unknown_work_is_not_found() {
    let (_dir, app) = app();
    for command in ["task", "cancelTask"] {
        let error = dispatch(&app, command, json!({"task": "task-9"})).unwrap_err();
        assert_eq!(error.code, ErrorCode::NotFound);
    }
}

const NAME: &str = "abcdefghij0123456789";

#[test]
fn pieces_become_the_file_and_a_repeat_counts_once() {
    let (_dir, app) = app();
    assert_eq!(app.uploads.add(NAME, 0, b"taut").unwrap(), 4);
    assert_eq!(app.uploads.add(NAME, 0, b"taut").unwrap(), 4);
    // "book" as base64.
    let added = dispatch(
        &app,
        "addPiece",
        json!({"upload": NAME, "offset": 4, "base64": "Ym9vaw=="}),
    );
    assert_eq!(added.unwrap(), json!({"bytes": 8}));
    assert!(app.uploads.read(NAME, 9).unwrap_err().retryable);
    // It stays until it is in the record, so that a full disk costs no picture.
    assert_eq!(app.uploads.read(NAME, 8).unwrap(), b"tautbook");
    assert_eq!(app.uploads.read(NAME, 8).unwrap(), b"tautbook");
    app.uploads.clear(NAME);
    assert_eq!(
        app.uploads.read(NAME, 8).unwrap_err().code,
        ErrorCode::NotFound
    );
}

#[test]
fn gaps_differing_repeats_and_large_pieces_change_nothing() {
    let (_dir, app) = app();
    app.uploads.add(NAME, 0, b"taut").unwrap();
    for (offset, piece) in [
        (5, b"x".to_vec()),
        (0, b"TAUT".to_vec()),
        (2, b"utbook".to_vec()),
        (4, vec![0; api::uploads::PIECE_LIMIT + 1]),
    ] {
        assert!(
            app.uploads.add(NAME, offset, &piece).is_err(),
            "offset {offset}"
        );
    }
    assert_eq!(app.uploads.read(NAME, 4).unwrap(), b"taut");
    // What is larger than any file of the record is let go of and takes no other's room.
    assert!(app.uploads.add(NAME, u64::MAX, b"x").is_err());
    assert_eq!(
        app.uploads.read(NAME, 4).unwrap_err().code,
        ErrorCode::NotFound
    );
}

#[test]
fn names_that_could_be_paths_are_refused() {
    let (_dir, app) = app();
    for name in [
        "",
        "short",
        "../../../../etc/passwd",
        "ABCDEFGHIJ0123456789",
        "a/bcdefghij0123456789",
        &"a".repeat(41),
    ] {
        assert_eq!(
            app.uploads.add(name, 0, b"x").unwrap_err().code,
            ErrorCode::Invalid,
            "{name}"
        );
    }
}

#[test]
fn what_was_never_finished_is_gone_after_opening_again() {
    let (dir, app) = app();
    app.uploads.add(NAME, 0, b"taut").unwrap();
    drop(app);
    let app = App::open(dir.path()).unwrap();
    assert_eq!(
        app.uploads.read(NAME, 4).unwrap_err().code,
        ErrorCode::NotFound
    );
}

#[test]
fn one_exchange_runs_at_a_time_and_a_second_start_follows_it() {
    let (_dir, app) = app();
    let shared = tempfile::tempdir().unwrap();
    let call = |name: &str, request| dispatch(&app, name, request).unwrap();
    call(
        "foundCrew",
        json!({"crew": "Reef", "person": "Ann", "role": "surveyor"}),
    );
    call("share", json!({"folder": shared.path().to_str().unwrap()}));
    let (go, wait) = std::sync::mpsc::channel::<()>();
    let running = app.tasks.start_alone("sync", move |_| {
        wait.recv().ok();
        Ok(json!({"first": true}))
    });
    let running = running.unwrap().task;
    assert_eq!(call("startSync", json!({}))["task"], running);
    call("cancelTask", json!({"task": running}));
    let stopping = dispatch(&app, "startSync", json!({})).unwrap_err();
    assert!(stopping.retryable && stopping.message.contains("just stopping"));
    go.send(()).unwrap();
    let ended = call("task", json!({"task": running, "waitMs": 5000, "seen": 1}));
    assert_eq!(ended["state"], "done");
    let next = call("startSync", json!({}))["task"].clone();
    assert_ne!(next, running);
}
