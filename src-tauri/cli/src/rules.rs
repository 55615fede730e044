//! Rule sets at the terminal: which there are, one as a file, and a file kept for the crew.
//!
//! The form of the file is told in `src-tauri/records/data/README.md`. Nothing is checked here but
//! that the file can be read at all; the command looks at what is in it.

use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use api::ApiError;
use clap::Subcommand;
use records::library::LARGEST_RULE_SET;
use serde_json::{Value, json};

use crate::choose::Choose;
use crate::print;
use crate::shared::{OfJob, Shown};

/// What is done with rule sets.
#[derive(Debug, Subcommand)]
pub(crate) enum OfRules {
    /// Tells how every rule set stands to the job's permit.
    List {
        #[command(flatten)]
        of: OfJob,
    },
    /// Prints a rule set's file, to change it and keep it with `rules keep`.
    Show {
        /// Name in the program's library, or the id of the crew's own set.
        name: String,
    },
    /// Keeps a file as a rule set of the crew's own.
    Keep {
        /// The file.
        file: PathBuf,
        /// Why: every document that rests on it prints it.
        #[arg(long)]
        why: String,
        /// The crew's own set that it takes the place of.
        #[arg(long)]
        id: Option<String>,
        /// Says yes where a figure is far from what is usual or from the set that was copied, or a table
        /// asks less for a longer bay or a wider spacing: the document prints it so.
        #[arg(long)]
        yes: bool,
    },
    /// Copies a rule set into the job.
    Use {
        /// Name in the program's library, or the id of the crew's own set.
        name: String,
        /// Says yes where tensions were decided, wires released or stages signed by the set that stands.
        #[arg(long)]
        yes: bool,
        #[command(flatten)]
        of: OfJob,
    },
}

impl OfRules {
    /// How the answer is shown.
    pub(crate) const fn shown(&self) -> Shown {
        match self {
            Self::List { .. } => Shown::Rules,
            Self::Show { .. } => Shown::RuleFile,
            Self::Keep { .. } | Self::Use { .. } => Shown::Plain,
        }
    }

    /// Which command it stands for.
    pub(crate) fn call(&self, choose: &dyn Choose) -> Result<(&'static str, Value), ApiError> {
        Ok(match self {
            Self::List { of } => (
                "ruleSetsFor",
                json!({ "job": choose.job(of.job.as_deref())? }),
            ),
            Self::Show { name } => ("ruleFigures", json!({ "name": name })),
            Self::Keep { file, why, id, yes } => {
                let from = json!({ "kind": "file", "text": text_of(file)? });
                let mut request = json!({ "from": from, "why": why, "confirmed": yes });
                if let (Some(id), Some(fields)) = (id, request.as_object_mut()) {
                    fields.insert("id".to_owned(), id.as_str().into());
                }
                ("keepRuleSet", request)
            }
            Self::Use { name, yes, of } => (
                "useRuleSet",
                json!({ "job": choose.job(of.job.as_deref())?, "name": name, "confirmed": yes }),
            ),
        })
    }
}

/// The text of a file, read no further than the largest rule set reaches.
fn text_of(path: &Path) -> Result<String, ApiError> {
    let unread = |error: std::io::Error| {
        ApiError::invalid(format!("{} can't be read: {error}.", path.display()))
    };
    let most = u64::try_from(LARGEST_RULE_SET).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    File::open(path)
        .map_err(unread)?
        .take(most.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(unread)?;
    if bytes.len() > LARGEST_RULE_SET {
        return Err(ApiError::invalid(format!(
            "{} is larger than {LARGEST_RULE_SET} bytes: no rule set is. Nothing was saved.",
            path.display()
        )));
    }
    String::from_utf8(bytes).map_err(|_| {
        ApiError::invalid(format!(
            "{} is not text. Nothing was saved.",
            path.display()
        ))
    })
}

/// Sets a line each, with how they stand to the permit.
pub(crate) fn text(answer: &Value) -> String {
    let mut lines = vec![match word(answer, "permit") {
        Some(day) => format!("Permit of {day}"),
        None => "The permit's date is not told: it fixes the edition.".to_owned(),
    }];
    if let Some(standing) = answer.get("standing").filter(|s| s.is_object()) {
        let said = |name| word(standing, name).unwrap_or_default();
        lines.push(format!(
            "The job stands under {}. {}",
            said("title"),
            said("sentence")
        ));
        lines.extend(word(standing, "changed").map(str::to_owned));
    }
    for choice in list(answer, "choices") {
        let said = |name| word(choice, name).unwrap_or_default();
        lines.push(format!("{}: {}", said("name"), said("title")));
        lines.push(format!("  {}", said("sentence")));
        lines.extend(word(choice, "changed").map(|text| format!("  {text}")));
        let warnings = list(choice, "warnings").filter_map(Value::as_str);
        lines.extend(warnings.map(|text| format!("  Ask first: {text}")));
    }
    lines.join("\n")
}

fn word<'a>(of: &'a Value, name: &str) -> Option<&'a str> {
    of.get(name).and_then(Value::as_str)
}

fn list<'a>(of: &'a Value, name: &str) -> impl Iterator<Item = &'a Value> {
    of.get(name).and_then(Value::as_array).into_iter().flatten()
}

/// The text of the file, set out in lines.
pub(crate) fn file(answer: &Value) -> String {
    let text = answer.get("file").and_then(|file| word(file, "text"));
    let whole = text.and_then(|text| serde_json::from_str::<Value>(text).ok());
    match whole.and_then(|whole| serde_json::to_string_pretty(&whole).ok()) {
        Some(pretty) => pretty,
        None => print::plain(answer),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_no_rule_set_is_told_before_it_is_sent() {
        let dir = tempfile::tempdir().unwrap();
        let huge = dir.path().join("huge.json");
        std::fs::write(&huge, vec![b' '; LARGEST_RULE_SET + 1]).unwrap();
        let broken = dir.path().join("broken.json");
        std::fs::write(&broken, [0xff, 0xfe, 0x00]).unwrap();
        for (path, word) in [
            (&huge, "larger than"),
            (&broken, "not text"),
            (&dir.path().join("none.json"), "can't be read"),
        ] {
            let refused = text_of(path).unwrap_err();
            assert!(refused.message.contains(word), "{}", refused.message);
        }
    }

    #[test]
    fn sets_are_told_a_line_each() {
        let told = text(&json!({
            "permit": null,
            "standing": {"title": "T", "sentence": "Counts.", "changed": "Changed by Ann."},
            "choices": [{"name": "x", "title": "X", "sentence": "Not known.", "changed": null,
                "warnings": ["Toddlers climb."]}],
        }));
        assert_eq!(
            told,
            "The permit's date is not told: it fixes the edition.\nThe job stands under T. \
             Counts.\nChanged by Ann.\nx: X\n  Not known.\n  Ask first: Toddlers climb."
        );
    }
}
