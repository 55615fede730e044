//! No screen, command, rule file or document says that a barrier complies or is safe: demand, limit
//! and margin are told, and who must confirm.
//!
//! Invariant: everything is looked at that words on screens, on the command line and in documents are
//! made of, comments too, since those of types and commands are shown. Only whole sentences that
//! stand here by name may use the words. A verdict put together from parts is not seen here; the
//! handover's own test looks at what was printed.

use std::{fs, path::Path};

use crate::error::XtaskError;

/// The words, one a line.
const WORDS: &str = "fixtures/verdicts.txt";
/// A word that hardly anything here is called, so that all of its uses are named below.
const RARE: &str = "safe";
/// Where words for people stand: beginning and ending of a path.
const SPOKEN: [(&str, &[&str]); 2] = [
    ("ui/src/", &[".ts", ".svelte", ".html"]),
    (
        "src-tauri/",
        &[".rs", ".json", ".js", ".typ", ".plist", ".xml"],
    ),
];
/// What uses the words and says no such thing of a barrier: words alone, without what stands between them.
const ALLOWED: [&str; 12] = [
    "none says that a barrier is safe or complies",
    "no answer says that a barrier is safe or complies",
    "no figure here says that a barrier is safe or complies",
    "a finding never says that a barrier complies or is safe",
    "text from cameras and file names made safe to show",
    "next safe point",
    "at a safe point",
    "safe load",
    "the safe side",
    "left safe",
    "safe area inset",
    "number max safe integer",
];

/// Names every verdict among tracked files, as `path: what`, and every sentence that is allowed and
/// stands nowhere any more.
pub(super) fn faults(top: &Path, tracked: &str) -> Result<Vec<String>, XtaskError> {
    let path = top.join(WORDS);
    let words = fs::read_to_string(&path).map_err(XtaskError::file("read", &path))?;
    let read = |path: &str| {
        let text = fs::read_to_string(top.join(path)).ok()?;
        Some((path.to_owned(), text))
    };
    let sources: Vec<(String, String)> = tracked
        .lines()
        .filter(|path| is_spoken(path))
        .filter_map(read)
        .collect();
    Ok(faults_of(&sources, &words))
}

/// The project's own commands speak to those who build it, and tests name what must not be said.
fn is_spoken(path: &str) -> bool {
    let apart = path.starts_with("src-tauri/xtask/")
        || path.contains("/tests/")
        || path.contains(".test.")
        || path.ends_with("tests.rs");
    let spoken = |(beginning, endings): &(&str, &[&str])| {
        path.starts_with(beginning) && endings.iter().any(|ending| path.ends_with(ending))
    };
    !apart && SPOKEN.iter().any(spoken)
}

fn faults_of(sources: &[(String, String)], words: &str) -> Vec<String> {
    let words: Vec<String> = words.lines().map(apart).collect();
    let none = words.is_empty();
    let words: Vec<String> = words.into_iter().chain([apart(RARE)]).collect();
    let mut unused: Vec<&str> = ALLOWED.to_vec();
    let mut faults = Vec::new();
    if none || sources.is_empty() {
        faults.push(format!("{WORDS}: nothing was looked for, or nowhere"));
    }
    for (path, text) in sources {
        let mut text = apart(&as_sentences(text));
        unused.retain(|allowed| !text.contains(&apart(allowed)));
        for allowed in ALLOWED {
            text = text.replace(&apart(allowed), "  ");
        }
        let said = words.iter().filter(|word| text.contains(word.as_str()));
        faults.extend(said.map(|word| format!("{path}: speaks a verdict (“{}”)", word.trim())));
    }
    let gone = |allowed| format!("“{allowed}” stands nowhere any more: take it out of the list");
    faults.extend(unused.into_iter().map(gone));
    faults
}

/// Text as one line in small letters, without what parts a sentence where lines are broken.
fn as_sentences(text: &str) -> String {
    let bare = |line| {
        let line: &str = str::trim(line);
        let line = line.trim_start_matches(['/', '!', '*']).trim_start();
        line.strip_suffix('\\')
            .unwrap_or(line)
            .trim_end()
            .to_lowercase()
    };
    text.lines().map(bare).collect::<Vec<_>>().join(" ")
}

/// Words with one blank around each, whatever stood between them.
fn apart(text: &str) -> String {
    let words = text.split(|one: char| !one.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    format!(" {} ", words.join(" "))
}

#[cfg(test)]
mod tests {
    use super::{ALLOWED, faults_of, is_spoken};

    const WORDS: &str = "complies\nis safe\n";

    /// A text beside all that is allowed.
    fn found(text: &str) -> Vec<String> {
        let of = |path: &str, text: &str| (path.to_owned(), text.to_owned());
        let allowed = ALLOWED.join(".\n");
        faults_of(&[of("a.ts", text), of("b.rs", &allowed)], WORDS)
    }

    #[test]
    fn a_verdict_is_named_however_its_line_is_broken() {
        for text in [
            "done: 'The barrier complies.'",
            "\"ok\": \"This run\nIs Safe\"",
            "    \"every bay of run A is \\\n     safe\"",
            "/// Whether the run\n/// complies.",
            "<p>Run A is\n  safe</p>",
            "<p>Run A <b>is</b> safe</p>",
            "[Every bay stays safe.]",
            "now safe",
        ] {
            let faults = found(text);
            assert!(!faults.is_empty(), "{text}");
            assert!(
                faults.concat().starts_with("a.ts: speaks a verdict"),
                "{faults:?}"
            );
        }
    }

    #[test]
    fn what_only_looks_alike_or_is_denied_by_name_is_fine() {
        for text in [
            "leftSafe: 'Left safe'",
            "'This safety factor'",
            "padding: env(safe-area-inset-top)",
            "\"Edge left safe\"",
            "//! and a margin; none says that a barrier\n//! is safe or complies.",
            "the next safe point",
            "the factor of the safe load",
        ] {
            assert_eq!(found(text), Vec::<String>::new(), "{text}");
        }
    }

    #[test]
    fn a_sentence_that_is_allowed_in_vain_and_an_empty_look_are_faults() {
        let some = [("a.ts".to_owned(), "x".to_owned())];
        assert_eq!(faults_of(&some, WORDS).len(), ALLOWED.len());
        assert_eq!(faults_of(&[], WORDS).len(), ALLOWED.len() + 1);
        assert_eq!(faults_of(&some, "").len(), ALLOWED.len() + 1);
    }

    #[test]
    fn words_for_people_are_looked_at_and_tests_are_not() {
        for path in [
            "ui/src/lib/words/site.ts",
            "ui/src/lib/screens/Findings.svelte",
            "src-tauri/cli/src/plan.rs",
            "src-tauri/records/data/rules/au-2022.json",
            "src-tauri/handover/src/lib.rs",
            "src-tauri/handover/src/print/drilling.typ",
            "src-tauri/Info.ios.plist",
        ] {
            assert!(is_spoken(path), "{path}");
        }
        for path in [
            "src-tauri/xtask/src/tidy/verdicts.rs",
            "src-tauri/handover/tests/handover/main.rs",
            "ui/src/lib/core/length.test.ts",
            "fixtures/verdicts.txt",
            "README.md",
        ] {
            assert!(!is_spoken(path), "{path}");
        }
    }
}
