//! The tree's own rules, as far as a program can see them: in one file, in the handlers that the list
//! of commands names, in files that nothing compiles, in who knows whom, in what tests wait for,
//! and in what is said of a barrier.
//!
//! It looks at tracked text files and at what cargo says of the workspace, and changes nothing.

mod handlers;
mod layers;
mod modules;
mod verdicts;
mod waits;

use std::{fs, path::Path};

use crate::{error::XtaskError, run};

/// Lines that a file may have by its ending; past them it has to be split by meaning.
const LONGEST: [(&str, usize); 4] = [(".rs", 600), (".ts", 600), (".js", 600), (".svelte", 200)];
/// Past these a file says in its opening comment why it is one file.
const LONG: usize = 400;
/// How it says so.
const WHY: &str = "past 400 lines, since";

/// Names every place that breaks a rule, as `path: what`.
pub(crate) fn faults(top: &Path) -> Result<Vec<String>, XtaskError> {
    let listed = run::output(run::command("git", &["ls-files"]))?;
    let mut faults = Vec::new();
    let mut sources = Vec::new();
    for path in listed.lines().filter(|path| is_ours(path)) {
        let full = top.join(path);
        // A file may be tracked and already removed here.
        let Ok(text) = fs::read_to_string(&full) else {
            continue;
        };
        faults.extend(faults_of(path, &text).map(|fault| format!("{path}: {fault}")));
        sources.push((path, text));
    }
    faults.extend(waits::faults(
        sources.iter().map(|(path, text)| (*path, text.as_str())),
    ));
    let mut rust = sources;
    rust.retain(|(path, _)| path.ends_with(".rs"));
    faults.extend(modules::faults(&rust, &listed));
    faults.extend(handlers::faults(top, &listed));
    faults.extend(layers::faults(&rust)?);
    faults.extend(verdicts::faults(top, &listed)?);
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
    if lines > limit {
        faults.push(format!(
            "{lines} lines; split it by meaning ({limit} at most)"
        ));
    } else if lines > LONG && !opening(text).contains(WHY) {
        faults.push(format!(
            "{lines} lines; say in its opening comment why it is one file \
             (\"One file {WHY} …\"), or split it by meaning"
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
    faults.extend(doers(text).map(|name| {
        format!("{name} is named by what it would do for others; name it by what it is, or have free functions")
    }));
    for (mark, why) in open_ends() {
        if text.contains(&mark) {
            faults.push(format!("{why} ({mark})"));
        }
    }
    faults.into_iter()
}

/// Names of types that end as those of things that have no meaning of their own.
fn doers(text: &str) -> impl Iterator<Item = &str> {
    const TYPES: [&str; 6] = ["struct", "enum", "trait", "class", "interface", "type"];
    const ENDINGS: [&str; 5] = ["Manager", "Service", "Helper", "Util", "Processor"];
    let code = text
        .lines()
        .map(str::trim_start)
        .filter(|line| !line.starts_with("//") && !line.starts_with('*'));
    code.flat_map(|line| {
        let words: Vec<&str> = line
            .split(|one: char| !one.is_alphanumeric() && one != '_')
            .filter(|word| !word.is_empty())
            .collect();
        let named = words.windows(2).filter_map(|pair| match pair {
            [kind, name] if TYPES.contains(kind) => Some(*name),
            _ => None,
        });
        named.collect::<Vec<_>>()
    })
    .filter(|name| {
        let one = name.strip_suffix('s').unwrap_or(name);
        ENDINGS
            .iter()
            .any(|ending| name.ends_with(ending) || one.ends_with(ending))
    })
}

/// The comment that a file opens with, as one line of words.
fn opening(text: &str) -> String {
    text.lines()
        .map_while(|line| line.strip_prefix("//"))
        .flat_map(|line| line.trim_start_matches('!').split_whitespace())
        .collect::<Vec<_>>()
        .join(" ")
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
    use super::{WHY, faults_of};

    fn count(path: &str, text: &str) -> usize {
        faults_of(path, text).count()
    }

    #[test]
    fn a_plain_file_is_fine() {
        assert_eq!(count("a/src/lib.rs", "//! What it owns.\n"), 0);
        assert_eq!(count("ui/src/A.svelte", "<p class=\"a\">x</p>\n"), 0);
        let alike = [
            "//! x\n// A struct Photo",
            "Manager.\nstruct Managed;\nfn a(service: Sent) {}\n",
        ];
        assert_eq!(count("a/src/lib.rs", &alike.concat()), 0);
    }

    #[test]
    fn each_rule_finds_its_fault() {
        let long = format!("//! x\n{}", "\n".repeat(400));
        let longest = format!("//! One file {WHY} y.\n{}", "\n".repeat(600));
        let script = "\n".repeat(401);
        let late = format!("//! x\n\n// {WHY} y\n{}", "\n".repeat(400));
        let svelte_long = "\n".repeat(201);
        for (path, text) in [
            ("a/src/lib.rs", "fn main() {}\n"),
            ("a/src/lib.rs", long.as_str()),
            ("a/tests/a.rs", long.as_str()),
            ("a/src/lib.rs", late.as_str()),
            ("a/src/lib.rs", longest.as_str()),
            ("a/tests/a.rs", longest.as_str()),
            ("ui/src/a.ts", script.as_str()),
            ("tests/e2e/a.js", script.as_str()),
            ("ui/src/A.svelte", svelte_long.as_str()),
            ("ui/src/A.svelte", "<p style=\"x\">"),
            ("ui/src/A.svelte", "{@html x}"),
            ("ui/src/a.ts", &["// TO", "DO later"].concat()),
            ("a/tests/a.rs", &["//! x\n#[ig", "nore]"].concat()),
            (
                "a/src/lib.rs",
                &["//! x\npub(crate) struct Photo", "Manager;\n"].concat(),
            ),
            (
                "a/src/lib.rs",
                &["//! x\nenum Hel", "per<T> { A(T) }\n"].concat(),
            ),
            (
                "ui/src/a.ts",
                &["export class Sync", "Service {}\n"].concat(),
            ),
            (
                "ui/src/a.ts",
                &["export type Length", "Utils = string;\n"].concat(),
            ),
            ("ui/src/a.ts", &["interface Pro", "cessor {}\n"].concat()),
        ] {
            assert_eq!(count(path, text), 1, "{path}: {text:.40}");
        }
    }

    #[test]
    fn files_up_to_their_limit_and_long_ones_that_say_why_are_fine() {
        for (path, head, lines) in [
            ("a/src/lib.rs", "//! x\n", 400),
            ("ui/src/A.svelte", "<p>x</p>\n", 200),
            (
                "a/src/lib.rs",
                "//! x\n//! One file past 400\n//! lines, since y.\n",
                600,
            ),
            (
                "ui/src/a.ts",
                "// x\n// One file past 400 lines, since y.\n",
                600,
            ),
        ] {
            let text = format!("{head}{}", "\n".repeat(lines - head.lines().count()));
            assert_eq!(text.lines().count(), lines);
            assert_eq!(count(path, &text), 0, "{path}: {lines}");
        }
    }
}
