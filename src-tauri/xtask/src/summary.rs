//! Counting what the test runners themselves say at their end.

/// The runners' own summary lines and what they add up to.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Summary {
    /// Tests that passed.
    pub(crate) passed: u64,
    /// Tests that failed, and steps that failed without naming a test.
    pub(crate) failed: u64,
    /// The lines, with the step that printed them.
    pub(crate) lines: Vec<String>,
}

impl Summary {
    /// Takes in one line that a runner printed, if it is a summary line.
    pub(crate) fn take(&mut self, step: &str, line: &str) {
        let line = without_colours(line);
        let line = line.trim();
        let Some((passed, failed)) = cargo(line).or_else(|| vitest(line)).or_else(|| node(line))
        else {
            return;
        };
        self.passed += passed;
        self.failed += failed;
        if passed + failed > 0 {
            self.lines.push(format!("{step}: {line}"));
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

    fn counted(line: &str) -> (u64, u64, usize) {
        let mut summary = Summary::default();
        summary.take("step", line);
        (summary.passed, summary.failed, summary.lines.len())
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
            assert_eq!(counted(line), expected, "{line}");
        }
    }
}
