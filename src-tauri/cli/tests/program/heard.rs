//! `tautbook sound`, `swing` and `even` as a script meets them: WAV files in, what is printed, exit codes.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use crate::plucks::{PLAIN, file, pluck, swing, table};
use serde_json::Value;

struct Site {
    dir: tempfile::TempDir,
}

impl Site {
    fn new() -> Self {
        let site = Site {
            dir: tempfile::tempdir().unwrap(),
        };
        assert_eq!(
            code(&site.tautbook(&["found", "--crew", "Reef", "--person", "Ann"])),
            0
        );
        let survey = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
        let import = site.tautbook(&["survey", "import", survey.to_str().unwrap()]);
        assert_eq!(code(&import), 0, "{import:?}");
        site
    }

    fn tautbook(&self, arguments: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_tautbook"))
            .args(arguments)
            .env("TAUTBOOK_DATA", self.dir.path().join("data"))
            .output()
            .unwrap()
    }

    fn put(&self, name: &str, bytes: &[u8]) -> String {
        let path: PathBuf = self.dir.path().join(name);
        fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    }

    fn plucks(&self, tension: f64, seed: u64) -> Vec<String> {
        (1..4)
            .map(|n| {
                let sound = pluck(1380.0, tension, 16_000, seed * 10 + n);
                self.put(&format!("{seed}-{n}.wav"), &file(&sound, PLAIN))
            })
            .collect()
    }

    fn sound(&self, wire: &str, more: &[&str], files: &[String]) -> Output {
        let mut arguments = vec!["sound", "A", wire, "--length", "1380", "--held", "pinched"];
        arguments.extend(more);
        arguments.extend(files.iter().map(String::as_str));
        self.tautbook(&arguments)
    }
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn wav_files_tell_a_guide_and_are_kept_where_a_bay_is_named() {
    let site = Site::new();
    let files = site.plucks(1240.0, 1);
    let told = site.sound("6", &[], &files);
    assert_eq!(code(&told), 0, "{told:?}");
    let text = printed(&told);
    assert!(text.starts_with("A6: about 12"), "{text}");
    assert!(
        text.contains("pluck 3: heard") && text.contains("span, pinch to pinch: 1380 mm"),
        "{text}"
    );
    assert!(
        text.ends_with("Sound: a guide only; prove with gauge or 2 kg.\n"),
        "{text}"
    );
    assert!(!text.contains("short and slack"), "{text}");
    let wide = printed(&site.sound("6", &[], &site.plucks(320.0, 3)));
    assert!(
        wide.contains(
            "  The span is short and slack for this strand, so its stiffness counts for much"
        ) && wide.contains("  length to stiffness, L/√(EI/T): 29."),
        "{wide}"
    );
    for (wire, tension) in [("5", 1000.0), ("6", 1240.0), ("7", 1250.0)] {
        let files = site.plucks(tension, wire.parse().unwrap());
        let kept = site.sound(wire, &["--keep", "A2-A3"], &files);
        assert_eq!(code(&kept), 0, "{kept:?}");
        assert!(printed(&kept).contains("It counts against no table."));
    }
    let even = printed(&site.tautbook(&["even", "A"]));
    assert!(
        even.contains("Bay A2–A3, by sound in pass 1: Slacker than the others: A5."),
        "{even}"
    );
    assert!(
        even.lines()
            .any(|l| l.starts_with("A5") && l.ends_with("slacker")),
        "{even}"
    );
    let json = site.tautbook(&["--json", "even", "A"]);
    let json: Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(json["groups"][0]["heard"], 3);
}

#[test]
fn what_tells_nothing_ends_with_one_and_a_file_that_is_none_with_two() {
    let site = Site::new();
    let silent = site.put("silent.wav", &file(&[0.0; 35_200], PLAIN));
    let refused = site.sound("6", &[], &[silent.clone(), silent.clone(), silent]);
    assert_eq!(code(&refused), 1, "{refused:?}");
    let text = printed(&refused);
    assert!(
        text.contains("no tension") && text.contains("Nothing is heard"),
        "{text}"
    );
    let good = site.plucks(1240.0, 1);
    // Of one that was read beside two that were not its newtons stand, and no answer.
    let quiet = site.put("quiet.wav", &file(&[0.0; 35_200], PLAIN));
    let one = site.sound("6", &[], &[good[0].clone(), quiet.clone(), quiet]);
    assert_eq!(code(&one), 1, "{one:?}");
    let text = printed(&one);
    let first = text.lines().find(|l| l.contains("pluck 1: ")).unwrap();
    assert!(
        first.contains("pluck 1: heard, 12") && first.ends_with("N by itself"),
        "{text}"
    );
    let loose = site.tautbook(
        &[
            &["sound", "A", "6", "--length", "1380", "--held", "loose"][..],
            &good.iter().map(String::as_str).collect::<Vec<_>>(),
        ]
        .concat(),
    );
    assert_eq!(code(&loose), 1, "{loose:?}");
    assert!(printed(&loose).contains("pinched"), "{loose:?}");
    let none = site.put("song.mp3", b"ID3 and a song");
    assert_eq!(code(&site.sound("6", &[], &[none])), 2);
    assert_eq!(
        code(&site.sound("6", &[], &["/nowhere/a.wav".to_owned()])),
        4
    );
    assert_eq!(code(&site.sound("6", &["--keep", "A9-A10"], &good)), 1);
    assert_eq!(code(&site.sound("6", &["--keep", "A2-A3"], &good[..1])), 2);
}

#[test]
fn a_recorded_motion_stands_for_the_phone() {
    let site = Site::new();
    let moved = site.put("m.csv", table(&swing(17.3, 100.0, 5.0, 3), 1).as_bytes());
    let ask = |more: &[&str], file: &str| {
        let mut arguments = vec![
            "swing", "A", "6", "--length", "1500", "--held", "pinched", "--grams", "200",
        ];
        arguments.extend(more);
        arguments.push(file);
        site.tautbook(&arguments)
    };
    let told = ask(&["--grams-per-metre", "50.05"], &moved);
    assert_eq!(code(&told), 0, "{told:?}");
    assert!(printed(&told).contains("swings a second: 17.3"), "{told:?}");
    let kept = ask(&["--keep", "A2-A3", "--stage", "final"], &moved);
    assert_eq!(code(&kept), 0, "{kept:?}");
    let wrong = site.put("wrong.csv", b"0;one");
    assert_eq!(code(&ask(&[], &wrong)), 2);
}
