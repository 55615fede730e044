//! Names in a shared folder that are none of the record's: counted, and the first of them named.
//!
//! Invariant: what is counted or named here is left alone. Files that a file service, a desktop or
//! an interrupted copy puts into every folder by itself are counted alone: they tell nobody anything.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How many are named.
const MOST_NAMED: usize = 20;

/// Files and folders that were met and are none of the record's; left alone.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", default)]
pub struct Others {
    /// How many, all in all.
    pub unknown: u64,
    /// How many of them services and desktops put there by themselves.
    pub services: u64,
    /// Paths of those that no service puts there by itself: the first twenty by name, fit to be shown.
    pub strange: BTreeSet<String>,
}

impl Others {
    /// Counts one; `folder` is empty at the top.
    pub(crate) fn add(&mut self, folder: &str, name: &str) {
        self.unknown += 1;
        if of_a_service(name) {
            self.services += 1;
        } else {
            let path = match folder {
                "" => name.to_owned(),
                folder => format!("{folder}/{name}"),
            };
            self.name(records::photos::visible(&path, 400));
        }
    }

    /// Counts several of one folder.
    pub(crate) fn add_all<'a>(&mut self, folder: &str, names: impl Iterator<Item = &'a String>) {
        for name in names {
            self.add(folder, name);
        }
    }

    /// Adds what was met elsewhere.
    pub(crate) fn join(&mut self, more: Self) {
        self.unknown += more.unknown;
        self.services += more.services;
        more.strange.into_iter().for_each(|path| self.name(path));
    }

    fn name(&mut self, path: String) {
        self.strange.insert(path);
        if self.strange.len() > MOST_NAMED {
            self.strange.pop_last();
        }
    }
}

/// Whether a desktop, a file service or a copy under way puts a file of this name into folders by
/// itself (common practice: hidden names, names of rubbish bins and folder views, endings of parts).
fn of_a_service(name: &str) -> bool {
    const WHOLE: [&str; 6] = [
        "desktop.ini",
        "thumbs.db",
        "ehthumbs.db",
        "icon\r",
        "lost+found",
        "system volume information",
    ];
    const ENDINGS: [&str; 3] = [".tmp", ".part", ".partial"];
    let name = name.to_lowercase();
    name.starts_with(['.', '~', '@', '$', '#'])
        || WHOLE.contains(&name.as_str())
        || ENDINGS.iter().any(|ending| name.ends_with(ending))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_of_services_are_counted_and_not_named() {
        let mut others = Others::default();
        for name in [
            ".DS_Store",
            "._notes.txt",
            "Desktop.ini",
            "Thumbs.db",
            "Icon\r",
            "~$notes.docx",
            "@eaDir",
            "$RECYCLE.BIN",
            "lost+found",
            "System Volume Information",
            "00000001.seg.part",
        ] {
            others.add("log", name);
        }
        assert_eq!(
            (others.unknown, others.services, others.strange.len()),
            (11, 11, 0),
            "{others:?}"
        );
        for (folder, name) in [
            ("", "notes.txt"),
            ("log", "part"),
            ("photos/aa", "a\u{202e}b"),
        ] {
            others.add(folder, name);
        }
        let named: Vec<&str> = others.strange.iter().map(String::as_str).collect();
        assert_eq!(
            (others.unknown, others.services, named.len()),
            (14, 11, 3),
            "{named:?}"
        );
        assert_eq!(named[..2], ["log/part", "notes.txt"]);
        assert!(!named[2].contains('\u{202e}'), "{named:?}");
    }

    #[test]
    fn the_first_by_name_are_named_in_whatever_order_they_come() {
        let names: Vec<String> = (10..60).map(|n| format!("{n}.txt")).collect();
        let (mut up, mut down) = (Others::default(), Others::default());
        up.add_all("log", names.iter());
        down.add_all("log", names.iter().rev());
        assert_eq!(up, down);
        assert_eq!((up.unknown, up.strange.len()), (50, MOST_NAMED));
        let first: Vec<_> = up.strange.iter().next().into_iter().collect();
        assert_eq!(first, ["log/10.txt"]);
        let mut both = Others::default();
        both.add("log", "00.txt");
        both.join(up);
        assert_eq!((both.unknown, both.strange.len()), (51, MOST_NAMED));
        assert!(both.strange.contains("log/00.txt") && !both.strange.contains("log/29.txt"));
    }
}
