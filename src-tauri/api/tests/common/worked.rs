//! The worked job as surveyed, run A, through the list of commands.

use std::path::Path;

use serde_json::{Value, json};

use super::Device;

pub(crate) struct Site {
    pub ann: Device,
    pub job: String,
    pub run: String,
    _dir: tempfile::TempDir,
}

impl Site {
    /// Run A, or B for `at` 1, with no tension decided.
    pub(crate) fn surveyed(at: usize) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
        Site::of_file(at, tempfile::tempdir().unwrap(), &path)
    }

    /// The survey changed before it comes in; what it asks is answered with yes.
    #[allow(dead_code)]
    pub(crate) fn edited(at: usize, edit: impl FnOnce(&mut Value)) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
        let mut survey = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
        edit(&mut survey);
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("survey.json");
        std::fs::write(&path, survey.to_string()).unwrap();
        Site::of_file(at, dir, &path)
    }

    /// Takes the edited survey in once more, unconfirmed, and gives the problems that are told.
    #[allow(dead_code)]
    pub(crate) fn again(&self) -> Value {
        let path = self._dir.path().join("survey.json");
        let source = json!({"kind": "file", "path": path.to_str().unwrap()});
        let request = json!({"source": source, "job": self.job});
        let ended = self.ann.run_task("startImport", request);
        let problems = ended["result"]["problems"].as_array().unwrap().iter();
        problems.map(|p| p["message"].clone()).collect()
    }

    fn of_file(at: usize, dir: tempfile::TempDir, path: &Path) -> Self {
        let ann = Device::new(dir.path(), "ann", "surveyor");
        let source = json!({"kind": "file", "path": path.to_str().unwrap()});
        let ended = ann.run_task("startImport", json!({"source": source, "confirmed": true}));
        let job = ended["result"]["job"].as_str().unwrap().to_owned();
        let view = ann.call("readJob", json!({"job": job}));
        let run = view["runs"][at]["id"].as_str().unwrap().to_owned();
        Site {
            ann,
            job,
            run,
            _dir: dir,
        }
    }

    /// The same with 1330 required, 1500 set, 1800 upper, whatever the long bay asks.
    pub(crate) fn of_run(at: usize) -> Self {
        let site = Site::surveyed(at);
        let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
            "requiredOrigin": "", "upperOrigin": "", "passesMn": [600_000, 1_100_000, 1_500_000]});
        site.call(
            "setTensions",
            json!({"tensions": tensions, "confirmed": true}),
        );
        site
    }

    /// The long bay told short enough for the row of the others, the posts beyond it standing closer by
    /// as much.
    pub(crate) fn short_bay(&self) {
        let bay = self.layout()["bays"][3]["subject"].clone();
        let known = self
            .ann
            .call("readSubject", json!({"job": self.job, "subject": bay}));
        let over = known["facts"][0]["words"][0]["entry"].clone();
        let told = json!({"job": self.job, "bay": bay, "length": {"text": "1410"},
            "along": "level", "instrument": "tape", "over": [over], "confirmed": true});
        self.ann.call("measureBay", told);
        for (post, nm) in [(4, 5_967_500_000_i64), (5, 7_265_000_000)] {
            let post = self.layout()["posts"][post]["subject"].clone();
            let position = json!({"subject": post, "field": "position", "place": self.run,
                "value": {"nm": nm}});
            self.ann
                .call("say", json!({"job": self.job, "claims": [position]}));
        }
    }

    fn on_run(&self, mut more: Value) -> Value {
        more["job"] = json!(self.job);
        more["run"] = json!(self.run);
        more
    }

    pub(crate) fn call(&self, command: &str, more: Value) -> Value {
        self.ann.call(command, self.on_run(more))
    }

    pub(crate) fn refused(&self, command: &str, more: Value) -> api::ApiError {
        self.ann.refused(command, self.on_run(more))
    }

    pub(crate) fn ask(&self, command: &str) -> Value {
        self.call(command, json!({}))
    }

    pub(crate) fn layout(&self) -> Value {
        let view = self.ann.call("readJob", json!({"job": self.job}));
        let mut runs = view["runs"].as_array().unwrap().iter();
        runs.find(|r| r["id"] == self.run.as_str()).unwrap().clone()
    }

    /// Ids of the first and the last post.
    pub(crate) fn ends(&self) -> [Value; 2] {
        let run = self.layout();
        let posts = run["posts"].as_array().unwrap();
        [posts[0]["id"].clone(), posts.last().unwrap()["id"].clone()]
    }

    pub(crate) fn line(&self, wire: u64) -> Value {
        let sheet = self.ask("cutSheet");
        let mut lines = sheet["lines"].as_array().unwrap().iter();
        lines.find(|l| l["wire"] == wire).unwrap().clone()
    }

    /// Releases and cuts wires by the computed deduction, whatever was learned.
    pub(crate) fn cut(&self, wires: &str) {
        let mut release =
            json!({"wires": wires, "beforeTrial": "one reel only", "confirmed": true});
        if !self.ask("cutSheet")["taught"].is_null() {
            release = json!({"wires": wires, "deduction": "computed", "confirmed": true});
        }
        self.call("issueCuts", release);
        let tick = json!({"wires": wires, "act": "cut", "done": true});
        self.call("tickWires", tick);
    }

    pub(crate) fn thread_left(&self, wire: u64, left: &str, right: &str) -> Vec<String> {
        let mut entries = Vec::new();
        for (post, text) in self.ends().iter().zip([left, right]) {
            let read = json!({"wires": wire.to_string(), "post": post, "threadLeft": {"text": text}, "confirmed": true});
            let recorded = self.call("readEnd", read);
            entries.push(recorded["entries"][0].as_str().unwrap().to_owned());
        }
        entries
    }

    /// One reading with the gauge in the second bay, in air of 24 °C.
    pub(crate) fn read(&self, wire: u64, newtons: u64, stage: &str, pass: Option<u32>) {
        self.read_at(wire, newtons, stage, pass, "24");
    }

    pub(crate) fn read_at(
        &self,
        wire: u64,
        newtons: u64,
        stage: &str,
        pass: Option<u32>,
        air: &str,
    ) {
        let view = self.ann.call("readJob", json!({"job": self.job}));
        let gauge = view["tools"][0]["id"].clone();
        let bay = self.layout()["bays"][1]["place"].clone();
        let mut round = json!({"bay": bay, "stage": stage, "gauge": gauge, "air": air});
        if let Some(pass) = pass {
            round["pass"] = json!(pass);
        }
        let request = json!({"wire": wire, "newtons": newtons.to_string(), "round": round,
            "confirmed": true});
        self.call("readTension", request);
    }
}

/// A figure to half a unit of its last printed digit.
pub(crate) fn near(actual: &Value, expected: f64, within: f64) {
    let value = actual.as_f64().unwrap();
    assert!(
        (value - expected).abs() <= within,
        "{value} is not {expected} ± {within}"
    );
}

/// Decides a run's tensions, in newtons, whatever is asked.
#[allow(dead_code)]
pub(crate) fn decide(site: &Site, required: u64, set: u64, upper: f64, passes: &[u64]) {
    let passes: Vec<u64> = passes.iter().map(|n| n * 1000).collect();
    let tensions = json!({"requiredMn": required * 1000, "setMn": set * 1000,
        "upperMn": (upper * 1000.0).floor() as i64, "requiredOrigin": "", "upperOrigin": "",
        "passesMn": passes});
    let asked = json!({"tensions": tensions, "confirmed": true});
    site.call("setTensions", asked);
}

/// The strand with its terminals may carry half of what breaks it: 4250 N.
#[allow(dead_code)]
pub(crate) fn strong(site: &Site) {
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let set = view["fittingSets"][0]["subject"].clone();
    let value = json!({"permille": 1000, "factorPercent": 200});
    let claims = json!([{"subject": set, "field": "efficiency", "place": "", "value": value}]);
    site.ann
        .call("say", json!({"job": site.job, "claims": claims}));
}

/// The sentences of an answer's list, a line each.
#[allow(dead_code)]
pub(crate) fn sentences(list: &Value) -> String {
    let all = list.as_array().unwrap().iter();
    let all: Vec<&str> = all.map(|s| s.as_str().unwrap()).collect();
    all.join("\n")
}
