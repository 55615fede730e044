//! Counting what the test runners themselves say at their end, one line for each file they ran.

/// What the runners counted.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Summary {
    /// Tests that passed.
    pub(crate) passed: u64,
    /// Tests that failed, and steps that failed without naming a test.
    pub(crate) failed: u64,
    /// What each file came to, in the order of their ends.
    files: Vec<Counted>,
    /// The package and file that cargo runs now.
    running: Running,
}

#[derive(Debug, Default, PartialEq, Eq)]
struct Counted {
    /// "cargo: records tests/survey.rs"; the step alone where its runner tells one sum.
    name: String,
    passed: u64,
    failed: u64,
}

#[derive(Debug, Default, PartialEq, Eq)]
struct Running {
    /// Its library or program: cargo names it once, before the package's test files.
    package: String,
    /// "records tests/survey.rs"; empty before the first.
    file: String,
}

impl Summary {
    /// Takes in one line that a runner printed: the file that begins, or what it came to.
    pub(crate) fn take(&mut self, step: &str, line: &str) {
        let line = without_colours(line);
        let line = line.trim();
        if self.running.begins(line) {
            return;
        }
        let (name, counts) = match cargo(line) {
            Some(counts) => (self.running.named(step), Some(counts)),
            None => (step.to_owned(), vitest(line).or_else(|| node(line))),
        };
        let Some((passed, failed)) = counts.filter(|(passed, failed)| passed + failed > 0) else {
            return;
        };
        self.passed += passed;
        self.failed += failed;
        // Node tells passed and failed in lines of their own.
        match self.files.last_mut().filter(|last| last.name == name) {
            Some(last) => {
                last.passed += passed;
                last.failed += failed;
            }
            None => self.files.push(Counted {
                name,
                passed,
                failed,
            }),
        }
    }

    /// One line for each file, the counts below each other.
    pub(crate) fn lines(&self) -> Vec<String> {
        let one = |file: &Counted| {
            let failed = match file.failed {
                0 => String::new(),
                some => format!("  {some} FAILED"),
            };
            format!("{:>5} passed  {}{failed}", file.passed, file.name)
        };
        self.files.iter().map(one).collect()
    }
}

impl Running {
    /// `Running unittests src/lib.rs (target/debug/deps/records-1f…)`,
    /// `Running tests/survey.rs (…/survey-2a…)` or `Doc-tests records`.
    fn begins(&mut self, line: &str) -> bool {
        if let Some(package) = line.strip_prefix("Doc-tests ") {
            self.file = format!("{package} examples in comments");
            return true;
        }
        let Some((file, program)) = line
            .strip_prefix("Running ")
            .and_then(|rest| rest.strip_suffix(')'))
            .and_then(|rest| rest.split_once(" ("))
        else {
            return false;
        };
        let file = match file.strip_prefix("unittests ") {
            Some(file) => {
                let name = program.rsplit(['/', '\\']).next().unwrap_or(program);
                let name = name.rsplit_once('-').map_or(name, |(name, _)| name);
                self.package = name.to_owned();
                file
            }
            None => file,
        };
        self.file = format!("{} {file}", self.package);
        true
    }

    fn named(&self, step: &str) -> String {
        if self.file.is_empty() {
            step.to_owned()
        } else {
            format!("{step}: {}", self.file)
        }
    }
}

/// `test result: ok. 13 passed; 0 failed; 0 ignored; …`. An ignored test counts as failed: none
/// may be left out.
fn cargo(line: &str) -> Option<(u64, u64)> {
    let counts = line.strip_prefix("test result: ")?;
    let failed = before(counts, " failed")? + before(counts, " ignored")?;
    Some((before(counts, " passed")?, failed))
}

/// `Tests  1 failed | 12 passed (13)`.
fn vitest(line: &str) -> Option<(u64, u64)> {
    let counts = line.strip_prefix("Tests ")?;
    let passed = before(counts, " passed").unwrap_or(0);
    let failed = ["failed", "skipped", "todo"]
        .iter()
        .filter_map(|word| before(counts, &format!(" {word}")))
        .sum();
    Some((passed, failed))
}

/// Node's own test runner: `# pass 3` or `ℹ pass 3`, and `fail`, `cancelled`, `skipped` likewise.
fn node(line: &str) -> Option<(u64, u64)> {
    let counts = line
        .strip_prefix("# ")
        .or_else(|| line.strip_prefix("ℹ "))?;
    let (word, count) = counts.split_once(' ')?;
    let count = count.parse().ok()?;
    match word {
        "pass" => Some((count, 0)),
        "fail" | "cancelled" | "skipped" | "todo" => Some((0, count)),
        _ => None,
    }
}

/// The number that stands right before a word.
fn before(text: &str, word: &str) -> Option<u64> {
    let (start, _) = text.split_once(word)?;
    start.rsplit([' ', '.', ';']).next()?.parse().ok()
}

fn without_colours(line: &str) -> String {
    let mut parts = line.split('\u{1b}');
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        plain.push_str(part.split_once('m').map_or("", |(_, rest)| rest));
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::Summary;

    fn taken(step: &str, lines: &[&str]) -> Summary {
        let mut summary = Summary::default();
        for line in lines {
            summary.take(step, line);
        }
        summary
    }

    #[test]
    fn each_runners_line_is_counted() {
        for (line, expected) in [
            (
                "test result: ok. 13 passed; 0 failed; 0 ignored; 0 measured; 2 filtered out; finished in 0.00s",
                (13, 0, 1),
            ),
            (
                "test result: FAILED. 4 passed; 2 failed; 1 ignored; 0 measured; 0 filtered out",
                (4, 3, 1),
            ),
            ("      Tests  12 passed (12)", (12, 0, 1)),
            (
                "      Tests  1 failed | 11 passed | 2 skipped (14)",
                (11, 3, 1),
            ),
            (
                "\u{1b}[2m      Tests \u{1b}[22m \u{1b}[1m\u{1b}[32m5 passed\u{1b}[39m\u{1b}[22m (5)",
                (5, 0, 1),
            ),
            ("# pass 3", (3, 0, 1)),
            ("ℹ fail 1", (0, 1, 1)),
            ("ℹ skipped 0", (0, 0, 0)),
            ("# duration_ms 812.5", (0, 0, 0)),
            ("test boundary::tests::x ... ok", (0, 0, 0)),
        ] {
            let summary = taken("step", &[line]);
            let counted = (summary.passed, summary.failed, summary.lines().len());
            assert_eq!(counted, expected, "{line}");
        }
    }

    #[test]
    fn each_file_has_one_line_with_its_package() {
        let result = |passed: u64, failed: u64| {
            format!(
                "test result: ok. {passed} passed; {failed} failed; 0 ignored; 0 measured; 0 filtered out; finished in 1.2s"
            )
        };
        let (three, none, two) = (result(3, 0), result(0, 0), result(2, 1));
        let summary = taken(
            "cargo",
            &[
                "\u{1b}[1m\u{1b}[32m     Running\u{1b}[0m unittests src/lib.rs (target/debug/deps/records-7d3f00)",
                &three,
                "     Running tests/survey.rs (target/debug/deps/survey-1a2b)",
                "error: test failed, to rerun pass `-p records --test survey`",
                &two,
                "     Running unittests src/lib.rs (/somewhere/deps/tautbook_cli-00ff)",
                &none,
                "     Running tests/survey.rs (/somewhere/deps/survey-aa01)",
                &three,
                "   Doc-tests records",
                &two,
            ],
        );
        assert_eq!(
            summary.lines(),
            [
                "    3 passed  cargo: records src/lib.rs",
                "    2 passed  cargo: records tests/survey.rs  1 FAILED",
                "    3 passed  cargo: tautbook_cli tests/survey.rs",
                "    2 passed  cargo: records examples in comments  1 FAILED",
            ]
        );
        assert_eq!((summary.passed, summary.failed), (10, 2));
        let summary = taken("browser", &["ℹ pass 12", "ℹ fail 1", "ℹ cancelled 0"]);
        assert_eq!(summary.lines(), ["   12 passed  browser  1 FAILED"]);
    }
}
