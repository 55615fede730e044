//! Tests wait for what they are about, never for time to pass, and what fails is not tried again.
//!
//! Invariant: a test that sleeps is slow where all is well and fails where a machine is slow; one that
//! is tried again hides a fault. It looks for the names by which tests here would sleep; waiting for a
//! word of what is tested, with an end to patience, is none of them.

/// Names by which a test sleeps or is tried again, and what to do instead.
const MARKS: [(&str, &str); 9] = [
    ("sleep(", ASK),
    ("::sleep;", ASK),
    ("park_timeout", ASK),
    ("recv_timeout", ASK),
    ("waitForTimeout", ASK),
    ("setTimeout", ASK),
    ("setInterval", ASK),
    ("retries", AGAIN),
    ("retry:", AGAIN),
];
const ASK: &str = "sleeps; wait for what is tested to say so";
const AGAIN: &str = "tries again what failed; find out why it fails";

/// Where a mark stays: file, mark and reason.
const ALLOWED: [(&str, &str, &str); 2] = [
    (
        "tests/e2e/lib/window.js",
        "setTimeout",
        "the window's driver tells nobody when something appears, so it has to be asked again",
    ),
    (
        "tests/e2e/browser/sound.test.js",
        "setInterval",
        "a phone's motion sensor tells how it swings while it swings",
    ),
];

/// Names every test that sleeps or is tried again, as `path: what`, and every exception that is needed
/// no more; `sources` is each tracked source file with its text.
pub(super) fn faults<'a>(sources: impl Iterator<Item = (&'a str, &'a str)>) -> Vec<String> {
    let mut faults = Vec::new();
    let mut unused: Vec<_> = ALLOWED.iter().collect();
    for (path, text) in sources.filter(|(path, _)| *path != OWN) {
        let tests = tests_in(path, text);
        for (mark, why) in MARKS.iter().filter(|(mark, _)| tests.contains(mark)) {
            let is_this = |one: &&(&str, &str, &str)| one.0 == path && one.1 == *mark;
            if ALLOWED.iter().any(|one| is_this(&one)) {
                unused.retain(|one| !is_this(one));
            } else {
                faults.push(format!("{path}: {why} ({mark})"));
            }
        }
    }
    faults.extend(unused.iter().map(|(path, mark, why)| {
        format!("{path}: has no {mark} any more ({why}): take it out of the exceptions")
    }));
    faults
}

/// This file names what it looks for.
const OWN: &str = "src-tauri/xtask/src/tidy/waits.rs";

/// The part of a file that is tests: all of it, what stands under `#[cfg(test)]`, or nothing.
fn tests_in<'a>(path: &str, text: &'a str) -> &'a str {
    let whole = path.starts_with("tests/")
        || path.contains("/tests/")
        || path.contains("/benches/")
        || path.ends_with("/tests.rs")
        || path.contains(".test.")
        || path.contains(".config.");
    match whole {
        true => text,
        false => text
            .split_once("#[cfg(test)]")
            .map_or("", |(_, tests)| tests),
    }
}

#[cfg(test)]
mod tests {
    use super::{ALLOWED, faults};

    /// What is found in one file beside the exceptions.
    fn found(path: &str, text: &str) -> Vec<String> {
        let excepted = ALLOWED.iter().map(|(path, mark, _)| (*path, *mark));
        faults(excepted.chain([(path, text)]))
    }

    #[test]
    fn a_test_that_sleeps_or_is_tried_again_is_named() {
        for (path, text) in [
            ("a/tests/common/mod.rs", "std::thread::sleep(a_while);"),
            (
                "a/src/lib.rs",
                "fn a() {}\n#[cfg(test)]\nmod tests {\n    thread::sleep(x);\n}",
            ),
            ("a/src/b/tests.rs", "tokio::time::sleep(x).await;"),
            ("a/tests/b.rs", "use std::thread::{self, sleep};\nsleep(x);"),
            ("a/tests/c.rs", "use std::thread::sleep;"),
            ("a/tests/d.rs", "thread::park_timeout(x);"),
            ("tests/e2e/tick.test.js", "setInterval(look, 10);"),
            ("tests/e2e/pad.test.js", "await page.waitForTimeout(100);"),
            ("tests/e2e/lib/window.js", "await page.waitForTimeout(100);"),
            (
                "tests/e2e/lib/pad.js",
                "await new Promise((go) => setTimeout(go, 10));",
            ),
            ("ui/src/lib/a.test.ts", "it('x', { retry: 3 }, () => {});"),
            ("tests/e2e/run.config.js", "retries: 2,"),
        ] {
            let faults = found(path, text);
            assert_eq!(faults.len(), 1, "{path}: {faults:?}");
            assert!(faults.concat().starts_with(path), "{faults:?}");
        }
    }

    #[test]
    fn a_program_that_waits_is_no_test() {
        for (path, text) in [
            ("ui/src/lib/core/listen.ts", "setTimeout(stop, 100);"),
            (
                "a/src/serve.rs",
                "tokio::time::sleep(x).await;\n#[cfg(test)]\nmod tests {}",
            ),
            (
                "a/tests/a.rs",
                "let told = changed.wait_timeout_while(now, PATIENCE, still);",
            ),
        ] {
            assert_eq!(found(path, text), Vec::<String>::new(), "{path}");
        }
    }

    #[test]
    fn an_exception_that_is_needed_no_more_is_named() {
        let none = faults(std::iter::empty()).concat();
        assert!(
            none.contains("window.js: has no setTimeout any more"),
            "{none}"
        );
    }
}
