//! Putting cases to a script and comparing what it answers, with a tolerance and its reason.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

/// How far two figures may lie apart.
#[derive(Clone, Copy)]
pub(crate) struct Within {
    /// As a share of the reference.
    share: f64,
    /// In the figure's own unit, besides.
    more: f64,
    /// Why no closer.
    why: &'static str,
}

/// A tolerance: a share of the reference, a figure besides, and the reason.
pub(crate) const fn within(share: f64, more: f64, why: &'static str) -> Within {
    Within { share, more, why }
}

type Check = Box<dyn FnOnce(&Value, &mut Told)>;

/// The cases for one script, and what is to be compared with its answers.
pub(crate) struct Room {
    script: &'static str,
    cases: Vec<Value>,
    checks: Vec<Check>,
}

impl Room {
    pub(crate) fn of(script: &'static str) -> Self {
        Self {
            script,
            cases: Vec::new(),
            checks: Vec::new(),
        }
    }

    /// Adds a case and the comparison with what the script answers to it.
    pub(crate) fn ask(&mut self, case: Value, check: impl FnOnce(&Value, &mut Told) + 'static) {
        self.cases.push(case);
        self.checks.push(Box::new(check));
    }

    /// Runs the script once and makes every comparison; all that are off are told together.
    pub(crate) fn compare(self) {
        let begun = std::time::Instant::now();
        let answers = run(self.script, &self.cases);
        println!("{}: {:.1} s", self.script, begun.elapsed().as_secs_f64());
        assert_eq!(answers.len(), self.cases.len(), "{}: answers", self.script);
        let mut told = Told::default();
        for ((case, check), answer) in self.cases.iter().zip(self.checks).zip(&answers) {
            let before = told.count;
            told.case = case.to_string().chars().take(400).collect();
            check(answer, &mut told);
            assert!(told.count > before, "nothing was compared: {}", told.case);
        }
        for (what, (count, most, why)) in &told.seen {
            println!(
                "{}: {what}: {count} compared, at most {most:.2} of the tolerance ({why})",
                self.script
            );
        }
        assert!(
            told.off.is_empty(),
            "{}: {} of {} figures lie too far from the reference:\n{}",
            self.script,
            told.off.len(),
            told.count,
            told.off
                .iter()
                .take(12)
                .cloned()
                .collect::<Vec<_>>()
                .join("\n")
        );
    }
}

/// What was compared so far.
#[derive(Default)]
pub(crate) struct Told {
    case: String,
    count: usize,
    /// By name: how many, the most of the tolerance that was used, and the reason.
    seen: BTreeMap<&'static str, (usize, f64, &'static str)>,
    off: Vec<String>,
}

impl Told {
    /// Compares one figure.
    pub(crate) fn near(&mut self, what: &'static str, ours: f64, theirs: &Value, may: Within) {
        let reference = theirs.as_f64().unwrap_or(f64::NAN);
        let used = (ours - reference).abs() / (may.share * reference.abs() + may.more);
        // Both zero is equal whatever the tolerance.
        let used = if ours == reference { 0.0 } else { used };
        self.count += 1;
        let seen = self.seen.entry(what).or_insert((0, 0.0, may.why));
        seen.0 += 1;
        seen.1 = if used.is_nan() {
            f64::INFINITY
        } else {
            seen.1.max(used)
        };
        if used.is_nan() || used > 1.0 {
            self.off.push(format!(
                "{what}: {ours} is not {theirs} ({used:.3} times the tolerance, which stands {})\n  {}",
                may.why, self.case
            ));
        }
    }

    /// Compares a list of figures, one by one.
    pub(crate) fn each(&mut self, what: &'static str, ours: &[f64], theirs: &Value, may: Within) {
        let list = theirs.as_array().map_or(&[][..], Vec::as_slice);
        assert_eq!(ours.len(), list.len(), "{what}: {}", self.case);
        for (ours, theirs) in ours.iter().zip(list) {
            self.near(what, *ours, theirs, may);
        }
    }

    /// Says whether something holds that has no tolerance.
    pub(crate) fn holds(&mut self, what: &'static str, holds: bool, told: impl FnOnce() -> String) {
        self.count += 1;
        let seen = self.seen.entry(what).or_insert((0, 0.0, "it holds or not"));
        seen.0 += 1;
        if !holds {
            seen.1 = f64::INFINITY;
            self.off
                .push(format!("{what}: {}\n  {}", told(), self.case));
        }
    }
}

fn run(script: &str, cases: &[Value]) -> Vec<Value> {
    let python = std::env::var("TAUTBOOK_PYTHON").unwrap_or_else(|_| {
        panic!(
            "TAUTBOOK_PYTHON names no python with the reference libraries; \
             run `cargo xtask test`, which brings one and names it"
        )
    });
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference");
    let mut child = Command::new(&python)
        .arg(top.join(script))
        // One thread each: the tests run beside one another already.
        .env("OPENBLAS_NUM_THREADS", "1")
        .env("OMP_NUM_THREADS", "1")
        // What is compiled on the way stays out of the tree.
        .env(
            "PYTHONPYCACHEPREFIX",
            Path::new(env!("CARGO_TARGET_TMPDIR")).join("pycache"),
        )
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| {
            panic!("{python}: {error}; run `cargo xtask test`, which brings it")
        });
    let asked = serde_json::to_vec(cases).expect("cases");
    let written = child.stdin.take().expect("a pipe").write_all(&asked);
    let ended = child.wait_with_output().expect("an end");
    assert!(
        ended.status.success() && written.is_ok(),
        "{script} failed. If a library is missing, run `cargo xtask test`, which brings it.\n{}",
        String::from_utf8_lossy(&ended.stderr)
    );
    serde_json::from_slice(&ended.stdout).expect("answers in JSON")
}

/// SplitMix64 (Steele, Lea, Flood 2014): the same cases everywhere.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Even between two values.
    pub(crate) fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Even between two whole numbers, both included.
    pub(crate) fn whole(&mut self, least: u32, most: u32) -> u32 {
        least + (self.next() % u64::from(most - least + 1)) as u32
    }

    /// Any of a list.
    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.next() % from.len() as u64) as usize]
    }
}
