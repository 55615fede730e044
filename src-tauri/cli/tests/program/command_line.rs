//! The command line as a script meets it: what is printed where, and the exit code.

use std::{
    io::{BufRead, BufReader, Write},
    process::{Command, Output, Stdio},
};

use serde_json::{Value, json};

fn tautbook(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tautbook"));
    command.args(arguments).env_remove("TAUTBOOK_DATA");
    command
}

fn run(arguments: &[&str]) -> Output {
    tautbook(arguments).output().unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

#[test]
fn commands_are_listed_for_people_and_for_scripts() {
    let plain = run(&["commands"]);
    assert_eq!(code(&plain), 0);
    let plain = String::from_utf8(plain.stdout).unwrap();
    let described: Value = serde_json::from_slice(&run(&["commands", "--json"]).stdout).unwrap();
    let described = described["commands"].as_array().unwrap();
    assert_eq!(described.len(), api::commands().len());
    for (command, told) in api::commands().iter().zip(described) {
        assert_eq!(told["name"], command.name);
        assert_eq!(told["request"]["type"], "object");
        assert!(plain.lines().any(|line| line == command.name));
    }
}

#[test]
fn the_types_are_what_the_list_gives() {
    let printed = run(&["commands", "--typescript"]);
    let made = api::boundary::typescript(api::commands()).unwrap();
    assert_eq!(String::from_utf8(printed.stdout).unwrap(), made);
}

#[test]
fn a_call_prints_its_answer_as_json() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().to_str().unwrap();
    let request = json!({"upload": "abcdefghij0123456789", "offset": 0, "base64": "dGF1dA=="});
    let output = run(&["call", "addPiece", &request.to_string(), "--data", data]);
    assert_eq!(code(&output), 0, "{output:?}");
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer, json!({"bytes": 4}));
}

#[test]
fn a_request_may_come_from_standard_input() {
    let dir = tempfile::tempdir().unwrap();
    let mut child = tautbook(&["call", "addPiece", "-"])
        .env("TAUTBOOK_DATA", dir.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let request = json!({"upload": "abcdefghij0123456789", "offset": 0, "base64": ""});
    let mut stdin = child.stdin.take().unwrap();
    stdin.write_all(request.to_string().as_bytes()).unwrap();
    drop(stdin);
    let output = child.wait_with_output().unwrap();
    assert_eq!(code(&output), 0);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer, json!({"bytes": 0}));
}

#[test]
fn exit_codes_tell_scripts_what_happened() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().to_str().unwrap();
    let file = dir.path().join("a-file");
    std::fs::write(&file, "x").unwrap();
    let below_a_file = file.join("data");
    let nowhere = dir.path().join("mistyped");
    for (arguments, expected) in [
        (vec!["--help"], 0),
        (vec!["nonsense"], 2),
        (vec!["call", "task"], 2),
        (vec!["call", "task", "{", "--data", data], 2),
        (vec!["call", "task", "{}", "--data", data], 2),
        (vec!["call", "nothing", "{}", "--data", data], 2),
        (
            vec!["call", "task", r#"{"task":"task-9"}"#, "--data", data],
            1,
        ),
        (
            vec![
                "call",
                "task",
                "{}",
                "--data",
                below_a_file.to_str().unwrap(),
            ],
            4,
        ),
        (
            vec![
                "call",
                "overview",
                "{}",
                "--data",
                nowhere.to_str().unwrap(),
            ],
            4,
        ),
    ] {
        let output = run(&arguments);
        assert_eq!(code(&output), expected, "{arguments:?}: {output:?}");
        if expected != 0 {
            assert!(output.stdout.is_empty(), "{arguments:?}");
            assert!(!output.stderr.is_empty(), "{arguments:?}");
        }
    }
    assert!(!nowhere.exists());
}

#[test]
fn errors_are_json_where_a_script_asked_for_it() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().to_str().unwrap();
    let output = run(&["call", "task", r#"{"task":"x"}"#, "--data", data, "--json"]);
    let told: Value = serde_json::from_slice(&output.stderr).unwrap();
    assert_eq!(told["error"]["code"], "notFound");
    assert_eq!(told["error"]["retryable"], false);
}

#[test]
fn serving_prints_an_address_that_answers() {
    let dir = tempfile::tempdir().unwrap();
    let mut child = tautbook(&["serve", "--json", "--data"])
        .arg(dir.path())
        .current_dir(dir.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let read = BufReader::new(child.stdout.take().unwrap()).read_line(&mut line);
    let told: Value = serde_json::from_str(&line).unwrap_or_default();
    let origin = told["origin"].as_str().unwrap_or_default().to_owned();
    let ready = std::net::TcpStream::connect(origin.trim_start_matches("http://"));
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(read.unwrap() > 0);
    assert!(ready.is_ok(), "{line}");
    let token = told["token"].as_str().unwrap();
    assert_eq!(told["open"], format!("{origin}/#token={token}"));
}

#[test]
fn two_devices_meet_in_a_folder_by_the_command_line_alone() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    let folder = folder.to_str().unwrap();
    let on = |device: &str, arguments: &[&str]| -> Value {
        let output = tautbook(arguments)
            .arg("--json")
            .env("TAUTBOOK_DATA", dir.path().join(device))
            .output()
            .unwrap();
        assert_eq!(code(&output), 0, "{device} {arguments:?}: {output:?}");
        serde_json::from_slice(&output.stdout).unwrap()
    };
    for (device, person) in [("ann", "Ann"), ("ben", "Ben")] {
        on(device, &["found", "--crew", person, "--person", person]);
    }
    on("ann", &["share", folder]);
    let asked = on("ben", &["join", folder]);
    let applicants = on("ann", &["admit"]);
    assert_eq!(applicants["devices"][0]["digits"], asked["digits"]);
    let [id, digits] = ["device", "digits"].map(|name| asked[name].as_str().unwrap());
    on("ann", &["admit", id, "--code", digits]);
    on("ben", &["join", "--confirm", digits]);
    assert_eq!(on("ann", &["sync"])["published"]["segments"], 1);
    let arrived = on("ben", &["sync"]);
    assert_eq!(arrived["fetched"]["segments"], 1);
    assert!(arrived["newEntries"].as_u64().unwrap() > 0);
    // By its name in the list it is the same command, and waits for its end as well.
    let again = on("ben", &["call", "startSync"]);
    assert_eq!(again["newEntries"], 0);
    assert_eq!(again["shared"], true);
}

#[test]
fn verify_names_the_first_fault_and_changes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let (data, shared) = (dir.path().join("ann"), dir.path().join("shared"));
    std::fs::create_dir(&shared).unwrap();
    let (data, folder) = (data.to_str().unwrap(), shared.to_str().unwrap());
    let found = ["found", "--crew", "Reef", "--person", "Ann", "--data", data];
    for arguments in [
        &found[..],
        &["share", folder, "--data", data],
        &["sync", "--data", data],
    ] {
        assert_eq!(code(&run(arguments)), 0, "{arguments:?}");
    }
    let told = |arguments: &[&str]| -> Value {
        let output = run(arguments);
        assert_eq!(code(&output), 0, "{arguments:?}: {output:?}");
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let sound = told(&["verify", "--data", data, "--json"]);
    assert_eq!(
        (&sound["kind"], &sound["index"]),
        (&json!("data"), &json!("same"))
    );
    let there = told(&["verify", "--shared", folder, "--data", data, "--json"]);
    assert_eq!(there["entries"], sound["entries"]);

    // A line that was never finished: opening would move it aside, so verify does not open.
    let journal = std::path::Path::new(data).join("journal/00000001.jsonl");
    let mut bytes = std::fs::read(&journal).unwrap();
    bytes.extend_from_slice(b"0123");
    std::fs::write(&journal, &bytes).unwrap();
    let output = run(&["verify", "--data", data, "--json"]);
    assert_eq!(code(&output), 1);
    let fault: Value = serde_json::from_slice(&output.stderr).unwrap();
    assert_eq!(fault["error"]["code"], "fault");
    let message = fault["error"]["message"].as_str().unwrap();
    assert!(
        message.starts_with("torn: journal/00000001.jsonl"),
        "{message}"
    );
    assert_eq!(std::fs::read(&journal).unwrap(), bytes);

    // A handover is looked over without any record.
    let output = run(&["verify", "--handover", folder]);
    assert_eq!(code(&output), 1, "{output:?}");
    let card = std::fs::read_dir(shared.join("devices"))
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    std::fs::write(card, "{}").unwrap();
    let output = run(&["verify", "--shared", folder, "--data", data]);
    assert_eq!(code(&output), 1, "{output:?}");
}

/// A device that founded a crew and exchanged with its shared folder: both folders.
fn exchanged(dir: &std::path::Path) -> (String, String) {
    let shared = dir.join("shared");
    std::fs::create_dir(&shared).unwrap();
    let text = |path: &std::path::Path| path.to_str().unwrap().to_owned();
    let (data, folder) = (text(&dir.join("ann")), text(&shared));
    for arguments in [
        &["found", "--crew", "Reef", "--person", "Ann"][..],
        &["share", &folder],
        &["sync"],
        &["sync"],
    ] {
        let output = run(&[arguments, &["--data", &data]].concat());
        assert_eq!(code(&output), 0, "{arguments:?}: {output:?}");
    }
    (data, folder)
}

#[test]
fn an_exchange_beside_strange_files_does_everything_and_names_them() {
    let dir = tempfile::tempdir().unwrap();
    let (data, folder) = exchanged(dir.path());
    let shared = std::path::Path::new(&folder);
    let say = |arguments: &[&str]| {
        let output = run(&[arguments, &["--data", &data]].concat());
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        (code(&output), text(&output.stdout), text(&output.stderr))
    };
    std::fs::write(shared.join("desktop.ini"), "of the desktop").unwrap();
    let with_service = say(&["sync"]);
    assert_eq!(with_service.0, 0, "{with_service:?}");
    std::fs::write(shared.join("log/prices.csv"), "of somebody").unwrap();
    for asked in [&["sync"][..], &["verify", "--shared", &folder]] {
        let (ended, printed, said) = say(asked);
        assert_eq!(ended, 1, "{printed}{said}");
        assert!(
            printed.contains("log/prices.csv") && !printed.contains("desktop.ini"),
            "{printed}"
        );
        assert!(!printed.contains("Nothing wrong was found"), "{printed}");
        assert!(
            said.contains("none of the record's") && said.contains("move them out"),
            "{said}"
        );
    }
    assert_eq!(
        std::fs::read(shared.join("log/prices.csv")).unwrap(),
        b"of somebody"
    );
    std::fs::remove_file(shared.join("log/prices.csv")).unwrap();
    assert_eq!(say(&["sync"]).0, 0);
}

#[test]
fn an_exchange_with_a_fault_is_no_success() {
    let dir = tempfile::tempdir().unwrap();
    let (data, folder) = exchanged(dir.path());
    let shared = std::path::Path::new(&folder);
    // A piece of the own log that never arrived whole.
    let only = |dir: &std::path::Path| {
        let mut items = std::fs::read_dir(dir).unwrap();
        items.next().unwrap().unwrap().path()
    };
    let shard = only(&only(&shared.join("log")));
    let whole = only(&shard);
    let name = whole.file_name().unwrap().to_str().unwrap();
    let book = name.split('-').nth(1).unwrap();
    let cut = shard.join(format!("00000009-{book}-{}.seg", "a".repeat(32)));
    std::fs::write(&cut, [b'x'; 300]).unwrap();
    for sync in [&["sync"][..], &["call", "startSync"]] {
        let output = run(&[sync, &["--data", &data]].concat());
        assert_eq!(code(&output), 1, "{output:?}");
        let told = String::from_utf8(output.stdout).unwrap();
        assert!(told.contains("00000009"), "{told}");
    }
    std::fs::remove_file(&cut).unwrap();
    assert_eq!(code(&run(&["sync", "--data", &data])), 0);
}

#[test]
fn damaged_settings_are_named_and_moved_away_on_a_word_alone() {
    let dir = tempfile::tempdir().unwrap();
    let shared = dir.path().join("shared");
    std::fs::create_dir(&shared).unwrap();
    let data = dir.path().join("ann");
    let (place, folder) = (data.to_str().unwrap(), shared.to_str().unwrap());
    let found = [
        "found", "--crew", "Reef", "--person", "Ann", "--data", place,
    ];
    let job = r#"{"title":"Deck","place":"an island"}"#;
    for arguments in [
        &found[..],
        &["call", "beginJob", job, "--data", place],
        &["share", folder, "--data", place],
        &["sync", "--data", place],
    ] {
        assert_eq!(code(&run(arguments)), 0, "{arguments:?}");
    }
    let sound = run(&["rebuild", "--local", "--data", place]);
    assert_eq!(code(&sound), 2, "{sound:?}");
    for end in ["-wal", "-shm"] {
        let _ = std::fs::remove_file(data.join(format!("local.db{end}")));
    }
    let garbage = vec![b'x'; 5000];
    std::fs::write(data.join("local.db"), &garbage).unwrap();
    for arguments in [&["state"][..], &["rebuild"], &["verify"]] {
        let output = run(&[arguments, &["--data", place]].concat());
        assert!(matches!(code(&output), 1 | 4), "{output:?}");
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(told.contains("rebuild --local"), "{told}");
    }
    assert_eq!(std::fs::read(data.join("local.db")).unwrap(), garbage);
    let mended = run(&["rebuild", "--local", "--json", "--data", place]);
    assert_eq!(code(&mended), 0, "{mended:?}");
    let told: Value = serde_json::from_slice(&mended.stdout).unwrap();
    assert_eq!(
        std::fs::read(told["setAside"].as_str().unwrap()).unwrap(),
        garbage
    );
    for arguments in [
        &["state"][..],
        &["call", "beginJob", job],
        &["share", folder],
        &["sync"],
        &["verify"],
    ] {
        let output = run(&[arguments, &["--data", place]].concat());
        assert_eq!(code(&output), 0, "{arguments:?}: {output:?}");
    }
}
