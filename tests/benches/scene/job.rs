//! A job of 40 runs with 10 wires each, surveyed, and worked up to its last readings.

use std::collections::BTreeSet;
use std::path::Path;

use api::App;
use serde_json::{Value, json};

use super::{Outcome, call};

/// Runs of the job.
pub const RUNS: usize = 40;
/// Wires of a run.
pub const WIRES: usize = 10;
/// Clear bays of each run, in millimetres.
const BAYS: [f64; 3] = [1380.0, 1410.0, 1195.0];
/// Side of every post, in millimetres.
const SIDE: f64 = 90.0;

/// The job as its commands name it.
pub struct Large {
    /// Id of the job.
    pub job: String,
    /// The runs in their order.
    pub runs: Vec<Run>,
}

/// A run of the job.
pub struct Run {
    /// Id of the run.
    pub id: String,
    /// Ids of its posts, from the left end.
    pub posts: Vec<String>,
}

impl Run {
    /// The bay after the first post, as a place of readings.
    pub fn bay(&self) -> String {
        match self.posts.as_slice() {
            [first, second, ..] => format!("{}:{}", first.min(second), first.max(second)),
            _ => String::new(),
        }
    }
}

/// Imports the survey of the job, as a file is imported.
pub fn surveyed(app: &App, folder: &Path) -> Outcome<Large> {
    let file = folder.join("survey.json");
    std::fs::write(&file, survey().to_string())?;
    // The set tension leaves no room for what is lost later, as in the worked job: that is said yes to.
    let request = json!({"source": {"kind": "file", "path": file}, "confirmed": true});
    let imported = call(app, "startImport", request)?;
    if imported["problems"] != json!([]) {
        let problems = imported["problems"].to_string();
        let first: String = problems.chars().take(400).collect();
        return Err(format!("the survey was not taken whole: {first}").into());
    }
    let job = imported["job"].as_str().unwrap_or_default().to_owned();
    let view = call(app, "readJob", json!({"job": job}))?;
    let mut runs = Vec::new();
    for run in view["runs"].as_array().into_iter().flatten() {
        let posts = run["posts"].as_array().into_iter().flatten();
        runs.push(Run {
            id: run["id"].as_str().unwrap_or_default().to_owned(),
            posts: posts
                .filter_map(|post| post["id"].as_str())
                .map(str::to_owned)
                .collect(),
        });
    }
    if runs.len() != RUNS || runs.iter().any(|run| run.posts.len() != BAYS.len() + 1) {
        return Err("the job has other runs or posts than the survey".into());
    }
    Ok(Large { job, runs })
}

/// Releases the wires of runs, and names the reel that could be ordered for them.
pub fn released(app: &App, job: &str, runs: &[Run]) -> Outcome<()> {
    let reel = json!({"kerfNm": 0, "endTrimNm": 0, "leastUsableNm": 500_000_000, "newReelNm": 60_000_000_000_i64});
    let claim = json!({"subject": format!("job:{job}"), "field": "cutting", "value": reel});
    call(
        app,
        "say",
        json!({"job": job, "claims": [claim], "confirmed": true}),
    )?;
    for run in runs {
        let request = json!({"job": job, "run": run.id, "wires": format!("1-{WIRES}"),
            "beforeTrial": "one kind of run"});
        call(app, "issueCuts", request)?;
    }
    Ok(())
}

/// Cuts, presses, fits, tensions and checks all of it.
pub fn worked(app: &App, large: &Large) -> Outcome<()> {
    for run in &large.runs {
        let on = |name: &str, mut request: Value| -> Outcome<Value> {
            request["job"] = json!(large.job);
            request["run"] = json!(run.id);
            call(app, name, request)
        };
        let wires = format!("1-{WIRES}");
        on(
            "issueCuts",
            json!({"wires": wires, "beforeTrial": "one kind of run"}),
        )?;
        for act in [
            "cut",
            "insertionMarked",
            "leftEndPressed",
            "threaded",
            "rightEndPressed",
            "fitted",
            "witnessMarked",
        ] {
            on(
                "tickWires",
                json!({"wires": wires, "act": act, "done": true, "confirmed": true}),
            )?;
        }
        for post in [run.posts.first(), run.posts.last()].into_iter().flatten() {
            let request = json!({"wires": wires, "post": post, "result": "good",
                "confirmed": true});
            on("checkCrimps", request)?;
            let request = json!({"wires": wires, "post": post, "markHidden": true,
                "threadLeft": {"text": "14.0"}});
            on("readEnd", request)?;
        }
        for wire in 1..=WIRES {
            read(app, large, run, wire, "final")?;
        }
        on(
            "checkGaps",
            json!({"bay": format!("bay:{}", run.bay()), "probe": {"text": "125"}, "confirmed": true}),
        )?;
    }
    Ok(())
}

/// Records one tension reading: one entry, also of a wire that is not fitted yet.
pub fn read(app: &App, large: &Large, run: &Run, wire: usize, stage: &str) -> Outcome<()> {
    let mut round = json!({"bay": run.bay(), "stage": stage, "air": "24"});
    if stage == "pass" {
        round["pass"] = json!(2);
    }
    let newtons = (1490 + wire % 3 * 10).to_string();
    let request = json!({"job": large.job, "run": run.id, "wire": wire, "newtons": newtons,
        "round": round, "confirmed": true});
    call(app, "readTension", request).map(drop)
}

/// Adds a picture through pieces, as a phone sends it, tied to a run.
pub fn picture(app: &App, large: &Large, file: &Path, n: usize) -> Outcome<()> {
    let bytes = std::fs::read(file)?;
    let upload = format!("bench{n:0>20}");
    let mut offset = 0;
    for piece in bytes.chunks(256 * 1024) {
        offset = app
            .uploads
            .add(&upload, offset, piece)
            .map_err(|e| e.message)?;
    }
    let run = large.runs.iter().cycle().nth(n).ok_or("no runs")?;
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let request = json!({"job": large.job, "source": {"kind": "upload", "upload": upload, "bytes": bytes.len()}, "name": name,
        "caption": format!("Drawn picture {n}"),
        "shows": [{"subject": format!("run:{}", run.id), "evidence": "wideView"}]});
    call(app, "addPhoto", request).map(drop)
}

/// Checks that the job's pictures are `count` different ones, each with time and place from its file.
pub fn pictured(app: &App, large: &Large, count: usize) -> Outcome<()> {
    let view = call(app, "readJob", json!({"job": large.job}))?;
    let mut originals = BTreeSet::new();
    for photo in view["photos"].as_array().into_iter().flatten() {
        let caption = &photo["caption"];
        if photo["taken"]["witness"] != "file" || !photo["taken"]["ms"].is_i64() {
            return Err(format!("{caption}: its file tells no time: {}", photo["taken"]).into());
        }
        if !photo["position"][0].is_f64() || photo["doubts"] != json!([]) {
            return Err(format!("{caption}: its file tells no place: {}", photo["doubts"]).into());
        }
        let files = photo["files"].as_array().into_iter().flatten();
        originals.extend(
            files
                .filter(|file| file["role"] == "original")
                .filter_map(|file| file["sha256"].as_str().map(str::to_owned)),
        );
    }
    if originals.len() != count {
        return Err(format!("{} different pictures, not {count}", originals.len()).into());
    }
    Ok(())
}

fn survey() -> Value {
    let (mut runs, mut posts, mut bays, mut lengths) = (vec![], vec![], vec![], vec![]);
    for number in 1..=RUNS {
        let run = format!("R{number}");
        let mut at = 0.0;
        let mut places = Vec::new();
        for n in 0..=BAYS.len() {
            let name = format!("{run}-{n}");
            let hand = match n {
                0 => Some("LH"),
                _ if n == BAYS.len() => Some("RH"),
                _ => None,
            };
            let role = if hand.is_some() {
                "anchor"
            } else {
                "intermediate"
            };
            let mut place = json!({"post": name, "position": at, "role": role});
            if let Some(hand) = hand {
                place["end"] = json!({"kind": "insert", "hand": hand, "tensioner": true});
            }
            places.push(place);
            posts.push(json!({"name": name, "section": {"along": SIDE, "across": SIDE},
                "material": {"name": "hardwood", "modulusMpa": 14000, "modulusOrigin": "input of the bench"},
                "base": {"kind": "bolted base", "spacing": 250, "seen": true}, "condition": "sound",
                "floor": 0}));
            if let Some(clear) = BAYS.get(n) {
                bays.push(
                    json!({"from": name, "to": format!("{run}-{}", n + 1), "clear": clear,
                    "instrument": "laser"}),
                );
                at += clear + SIDE;
            }
        }
        let inside = at - SIDE;
        for wire in 1..=WIRES {
            lengths.push(json!({"run": run, "wire": wire, "length": inside + wire as f64,
                "purpose": "cut", "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape"}));
        }
        runs.push(json!({"name": run, "surface": "deck", "shape": "level", "height": 1000,
            "rail": {"underside": 965, "thickness": 35, "stiffness": 500, "stiffnessHeight": 1000},
            "wires": {"count": WIRES, "bottom": 80, "pitch": 79}, "strand": "3.2-1x19-worked",
            "fittingSet": "m6-insert-worked", "lining": "grommetHalves", "posts": places,
            "tensions": {"required": 1330, "set": 1500, "upper": 1800,
                "requiredOrigin": "table of the rule set, widest bay", "upperOrigin": "input of the bench",
                "passes": [600, 1100, 1500]}}));
    }
    json!({"format": 1,
        "job": {"title": "400 wires", "place": "a place for benches", "ruleSet": "au-2022", "fall": 1602,
            "owner": "nobody"},
        "runs": runs, "posts": posts, "bays": bays, "lengths": lengths})
}
