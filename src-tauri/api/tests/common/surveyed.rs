//! The worked job as surveyed, with what decisions on it need.

use std::path::Path;

use serde_json::{Value, json};

use super::Device;

pub(crate) struct Site {
    pub(crate) ann: Device,
    pub(crate) job: String,
    pub(crate) run: String,
    _dir: tempfile::TempDir,
}

/// The worked job as surveyed: its long bay asks more than the wires will carry.
pub(crate) fn site() -> Site {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let source = json!({"kind": "file", "path": path.to_str().unwrap()});
    let ended = ann.run_task("startImport", json!({"source": source}));
    let job = ended["result"]["job"].as_str().unwrap().to_owned();
    let view = ann.call("readJob", json!({"job": job}));
    let run = view["runs"][0]["id"].as_str().unwrap().to_owned();
    Site {
        ann,
        job,
        run,
        _dir: dir,
    }
}

impl Site {
    pub(crate) fn on_run(&self, mut more: Value) -> Value {
        more["job"] = json!(self.job);
        more["run"] = json!(self.run);
        more
    }

    pub(crate) fn ask(&self, command: &str) -> Value {
        self.ann.call(command, self.on_run(json!({})))
    }

    pub(crate) fn asked_n(&self) -> f64 {
        self.ask("tensionPlan")["required"]["newtons"]
            .as_f64()
            .unwrap()
    }

    pub(crate) fn tensions(required_n: f64, set_n: f64, upper_n: f64) -> Value {
        let mn = |n: f64| json!((n * 1000.0).round() as i64);
        json!({"requiredMn": mn(required_n), "setMn": mn(set_n), "upperMn": mn(upper_n),
            "requiredOrigin": "the table's row", "upperOrigin": "the strand",
            "passesMn": [mn(set_n)]})
    }

    pub(crate) fn decide(&self, tensions: Value, confirmed: bool) -> Result<Value, api::ApiError> {
        let request = self.on_run(json!({"tensions": tensions, "confirmed": confirmed}));
        self.ann.try_call("setTensions", request)
    }

    /// Tensions below the table, as the survey stands; a person said yes.
    pub(crate) fn decided(&self) {
        self.decide(Self::tensions(1330.0, 1500.0, 1800.0), true)
            .unwrap();
    }

    pub(crate) fn run(&self) -> Value {
        self.ann.call("readJob", json!({"job": self.job}))["runs"][0].clone()
    }

    pub(crate) fn say(&self, subject: &str, field: &str, place: &str, value: Value) {
        let claim = json!({"subject": subject, "field": field, "place": place, "value": value});
        self.ann
            .call("say", json!({"job": self.job, "claims": [claim]}));
    }

    pub(crate) fn line(&self, wire: u64) -> Value {
        let sheet = self.ask("cutSheet");
        let mut lines = sheet["lines"].as_array().unwrap().iter();
        lines.find(|l| l["wire"] == wire).unwrap().clone()
    }

    pub(crate) fn issue(&self, wire: u64) {
        let wires = wire.to_string();
        self.ann.call(
            "issueCuts",
            self.on_run(json!({"wires": wires, "beforeTrial": "one reel only", "confirmed": true})),
        );
    }
}
