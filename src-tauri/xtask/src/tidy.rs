//! The tree's own rules, as far as a program can see them in one file.
//!
//! It looks at tracked text files only and changes nothing.

use std::{fs, path::Path};

use crate::{error::XtaskError, run};

/// Lines that a file may have by its ending; past them it has to be split by meaning.
const LONGEST: [(&str, usize); 3] = [(".rs", 600), (".ts", 600), (".svelte", 250)];
/// Test files may hold long tables.
const LONGEST_TEST: usize = 800;

/// Names every place that breaks a rule, as `path: what`.
pub(crate) fn faults(top: &Path) -> Result<Vec<String>, XtaskError> {
    let listed = run::output(run::command("git", &["ls-files"]))?;
    let mut faults = Vec::new();
    for path in listed.lines().filter(|path| is_ours(path)) {
        let full = top.join(path);
        // A file may be tracked and already removed here.
        let Ok(text) = fs::read_to_string(&full) else {
            continue;
        };
        faults.extend(faults_of(path, &text).map(|fault| format!("{path}: {fault}")));
    }
    Ok(faults)
}

fn is_ours(path: &str) -> bool {
    LONGEST.iter().any(|(ending, _)| path.ends_with(ending))
        && !path.starts_with("fixtures/")
        && !path.contains("/generated/")
}

fn faults_of(path: &str, text: &str) -> impl Iterator<Item = String> {
    let mut faults = Vec::new();
    let lines = text.lines().count();
    let limit = LONGEST
        .iter()
        .find(|(ending, _)| path.ends_with(ending))
        .map_or(usize::MAX, |(_, limit)| *limit);
    let limit = if path.contains("tests/") {
        limit.max(LONGEST_TEST)
    } else {
        limit
    };
    if lines > limit {
        faults.push(format!(
            "{lines} lines; split it by meaning ({limit} at most)"
        ));
    }
    if path.ends_with(".rs") && !text.starts_with("//!") {
        faults.push("does not open with `//!` and what it owns".to_owned());
    }
    if path.ends_with(".svelte") {
        for (mark, why) in [
            ("{@html", "puts text into the page unescaped"),
            (
                " style=",
                "has a style attribute, which the content policy forbids",
            ),
        ] {
            if text.contains(mark) {
                faults.push(why.to_owned());
            }
        }
    }
    for (mark, why) in open_ends() {
        if text.contains(&mark) {
            faults.push(format!("{why} ({mark})"));
        }
    }
    faults.into_iter()
}

/// Put together here, so that this file does not hold what it looks for.
fn open_ends() -> [(String, &'static str); 5] {
    [
        (["TO", "DO"].concat(), "leaves something open"),
        (["FIX", "ME"].concat(), "leaves something open"),
        (["#[ig", "nore"].concat(), "has a test that is not run"),
        (["test.sk", "ip("].concat(), "has a test that is not run"),
        (["it.sk", "ip("].concat(), "has a test that is not run"),
    ]
}

#[cfg(test)]
mod tests {
    use super::faults_of;

    fn count(path: &str, text: &str) -> usize {
        faults_of(path, text).count()
    }

    #[test]
    fn a_plain_file_is_fine() {
        assert_eq!(count("a/src/lib.rs", "//! What it owns.\n"), 0);
        assert_eq!(count("ui/src/A.svelte", "<p class=\"a\">x</p>\n"), 0);
    }

    #[test]
    fn each_rule_finds_its_fault() {
        let long = format!("//! x\n{}", "\n".repeat(600));
        let svelte_long = "\n".repeat(251);
        for (path, text) in [
            ("a/src/lib.rs", "fn main() {}\n"),
            ("a/src/lib.rs", long.as_str()),
            ("ui/src/A.svelte", svelte_long.as_str()),
            ("ui/src/A.svelte", "<p style=\"x\">"),
            ("ui/src/A.svelte", "{@html x}"),
            ("ui/src/a.ts", &["// TO", "DO later"].concat()),
            ("a/tests/a.rs", &["//! x\n#[ig", "nore]"].concat()),
        ] {
            assert_eq!(count(path, text), 1, "{path}: {text:.40}");
        }
        assert_eq!(count("a/tests/a.rs", &long), 0);
    }
}
