//! What the program keeps of a job between commands gives the answers of a fresh opening: after any
//! acts on several runs by two devices that exchange through a folder.

use std::fs;
use std::path::Path;

use crate::devices::{Crew, Device, files};
use proptest::prelude::*;
use serde_json::{Value, json};

/// What a person does; `ann` or Ben, on a run and a wire of it.
#[derive(Clone, Debug)]
struct Step {
    ann: bool,
    run: usize,
    wire: u32,
    value: u32,
    act: Act,
    /// Whether the answers are asked for and compared after it.
    asked: bool,
}

#[derive(Clone, Copy, Debug)]
enum Act {
    Tension,
    Thread,
    Cut,
    Length,
    Bay,
    Gap,
    RunName,
    PostName,
    Position,
    Withdraw,
    Exchange,
    Rebuild,
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let act = prop_oneof![
        4 => Just(Act::Tension),
        2 => Just(Act::Thread),
        2 => Just(Act::Cut),
        2 => Just(Act::Length),
        1 => Just(Act::Bay),
        1 => Just(Act::Gap),
        1 => Just(Act::RunName),
        1 => Just(Act::PostName),
        1 => Just(Act::Position),
        2 => Just(Act::Withdraw),
        4 => Just(Act::Exchange),
        1 => Just(Act::Rebuild),
    ];
    let asked = prop::bool::weighted(0.4);
    let step = (any::<bool>(), 0..3_usize, 1..4_u32, 0..9_u32, act, asked);
    let step = step.prop_map(|(ann, run, wire, value, act, asked)| Step {
        ann,
        run,
        wire,
        value,
        act,
        asked,
    });
    prop::collection::vec(step, 4..16)
}

/// A survey of three runs that was taken in, and what its commands name.
struct Site {
    job: String,
    layout: Value,
}

impl Site {
    fn surveyed(ann: &Device) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/demo/survey.json");
        let source = json!({"kind": "file", "path": path});
        let ended = ann.run("startImport", json!({"source": source})).unwrap();
        let job = ended["job"].as_str().unwrap().to_owned();
        let layout = ann.call("readJob", json!({"job": job}));
        let site = Site { job, layout };
        let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
            "requiredOrigin": "", "upperOrigin": "", "passesMn": [600_000, 1_100_000, 1_500_000]});
        for run in site.layout["runs"].as_array().unwrap() {
            let on = json!({"job": site.job, "run": run["id"], "tensions": tensions,
                "confirmed": true});
            ann.call("setTensions", on);
        }
        site
    }

    /// Does what a step says; what is refused is refused, and its words are the answer.
    fn step(&self, device: &Device, step: &Step, said: &mut Vec<String>) -> Result<(), String> {
        let runs = self.layout["runs"].as_array().unwrap();
        let run = &runs[step.run % runs.len()];
        let wires = step.wire.to_string();
        let text = |base: u32, by: u32| (base + by * step.value).to_string();
        let (bay, post) = (&run["bays"][0], &run["posts"][0]);
        let say = |subject: &Value, field: &str, place: &Value, value: Value| {
            let claim = json!({"subject": subject, "field": field, "place": place, "value": value});
            ("say", json!({"claims": [claim]}))
        };
        let (name, mut request) = match step.act {
            Act::Exchange => {
                device.sync();
                return Ok(());
            }
            Act::Rebuild => {
                device.call("rebuild", json!({}));
                return Ok(());
            }
            Act::Tension => {
                let round = json!({"bay": bay["place"], "stage": "pass", "pass": 1, "air": "24"});
                (
                    "readTension",
                    json!({"run": run["id"], "wire": step.wire,
                    "newtons": text(1400, 20), "round": round, "confirmed": true}),
                )
            }
            Act::Thread => (
                "readEnd",
                json!({"run": run["id"], "wires": wires, "post": post["id"],
                "threadLeft": {"text": text(8, 1)}, "confirmed": true}),
            ),
            Act::Cut => {
                let release = json!({"job": self.job, "run": run["id"], "wires": wires,
                    "beforeTrial": "one reel only"});
                // Released before, or not to be.
                drop(device.try_call("issueCuts", release));
                (
                    "tickWires",
                    json!({"run": run["id"], "wires": wires, "act": "cut", "done": true}),
                )
            }
            Act::Length => (
                "measure",
                json!({"run": run["id"], "wire": step.wire,
                "length": {"text": text(7200, 1)}, "confirmed": true, "purpose": "cut",
                "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape"}),
            ),
            Act::Bay => (
                "measureBay",
                json!({"bay": bay["subject"], "along": "level",
                "length": {"text": text(1300, 5)}, "instrument": "tape", "confirmed": true}),
            ),
            Act::Gap => (
                "checkGaps",
                json!({"run": run["id"], "bay": bay["subject"],
                "probe": {"text": "125"}}),
            ),
            Act::RunName => say(&run["subject"], "name", &json!(""), json!(text(1, 1))),
            Act::PostName => say(&post["subject"], "name", &json!(""), json!(text(1, 1))),
            Act::Position => say(
                &post["subject"],
                "position",
                &run["id"],
                json!({"nm": 1_000_000 * i64::from(step.value)}),
            ),
            Act::Withdraw => match said.pop() {
                Some(entry) => (
                    "withdraw",
                    json!({"entry": entry, "reason": "another wire"}),
                ),
                None => return Ok(()),
            },
        };
        request["job"] = json!(self.job);
        let answer = device
            .try_call(name, request)
            .map_err(|e| format!("{name}: {}", e.message))?;
        let entries = answer["entries"].as_array().into_iter().flatten();
        said.extend(entries.filter_map(Value::as_str).map(str::to_owned));
        Ok(())
    }

    /// All that the screens ask of the job.
    fn answers(&self, device: &Device) -> Vec<Value> {
        let ask = |name: &str, request: Value| {
            let answer = device.try_call(name, request);
            answer.unwrap_or_else(|error| json!(error.message))
        };
        let view = ask("readJob", json!({"job": self.job}));
        let mut all = vec![ask("lacks", json!({"job": self.job}))];
        for run in view["runs"].as_array().into_iter().flatten() {
            for name in ["progress", "tensions", "cutSheet", "holeSchedule"] {
                all.push(ask(name, json!({"job": self.job, "run": run["id"]})));
            }
        }
        all.push(view);
        all
    }

    /// Asks here and of a copy of the folder that is opened anew.
    fn same(&self, device: &Device, copies: &Path) -> Result<(), TestCaseError> {
        let kept = self.answers(device);
        let data = device.app.data();
        let copy = copies.join("copy");
        for (path, bytes) in files(data) {
            let to = copy.join(path.strip_prefix(data).unwrap());
            fs::create_dir_all(to.parent().unwrap()).unwrap();
            fs::write(to, bytes).unwrap();
        }
        let fresh = self.answers(&Device::at(&copy, "nobody").unwrap());
        fs::remove_dir_all(&copy).unwrap();
        prop_assert!(kept[0].is_object(), "the job is here: {}", kept[0]);
        prop_assert_eq!(kept, fresh);
        Ok(())
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..ProptestConfig::default() })]

    #[test]
    fn a_kept_job_answers_as_a_fresh_opening(steps in steps()) {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("shared");
        fs::create_dir(&folder).unwrap();
        let crew = Crew::meet(dir.path(), &folder);
        let site = Site::surveyed(&crew.ann);
        crew.ann.sync();
        crew.ben.sync();
        let (mut said, mut taken) = (Vec::new(), Vec::new());
        // One that nothing refuses, so that every case says something.
        let first = Step { ann: true, run: 0, wire: 1, value: 1, act: Act::Tension, asked: true };
        for step in std::iter::once(&first).chain(&steps) {
            let device = if step.ann { &crew.ann } else { &crew.ben };
            taken.push(site.step(device, step, &mut said));
            if step.asked {
                site.same(device, dir.path())?;
            }
        }
        prop_assert_eq!(&taken[0], &Ok(()));
        for device in [&crew.ann, &crew.ben] {
            site.same(device, dir.path())?;
        }
    }
}
