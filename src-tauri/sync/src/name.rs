//! The names of files in a shared folder: reading and writing them, and the rules for them.
//!
//! Invariant: a name that this module writes is read back equal, and every name it writes keeps
//! the rule (a–z, 0–9, hyphen, one extension, under 100 characters). A name proves nothing; only
//! the content does.

/// The file that says whose folder this is.
pub const FOUNDING: &str = "tautbook.json";
/// The file for people.
pub const README: &str = "README.txt";
/// The folder of device cards.
pub const DEVICES: &str = "devices";
/// The folder of segments.
pub const LOG: &str = "log";
/// The folder of pictures and documents.
pub const PHOTOS: &str = "photos";
/// The folder of files not yet whole.
pub const TMP: &str = "tmp";
/// How many segments of a device lie in one folder.
pub const PER_SHARD: u32 = 64;
/// The highest segment number that a name can carry.
pub const LAST_NO: u32 = 99_999_999;

const MAX_NAME: usize = 99;

/// The name of one segment: its maker, number, book and the start of its hash.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SegmentName {
    /// The device that made it, 26 characters.
    pub device: String,
    /// Its number among all segments of that device, from 1.
    pub no: u32,
    /// The book it belongs to, 26 characters.
    pub book: String,
    /// The first 32 hex digits of the file's SHA-256.
    pub hash: String,
}

impl SegmentName {
    /// The file's name without its folder.
    #[must_use]
    pub fn file(&self) -> String {
        format!("{:08}-{}-{}.seg", self.no, self.book, self.hash)
    }

    /// The path inside the shared folder.
    #[must_use]
    pub fn path(&self) -> String {
        format!(
            "{}/{}",
            shard_folder(&self.device, shard_of(self.no)),
            self.file()
        )
    }

    /// Reads a file name in the folder of `device`; `None` if it is not exactly one of ours.
    #[must_use]
    pub fn parse(device: &str, file: &str) -> Option<Self> {
        let (stem, extension) = file.split_once('.')?;
        if extension != "seg" || !is_id(device) {
            return None;
        }
        let mut parts = stem.split('-');
        let (no, book, hash) = (parts.next()?, parts.next()?, parts.next()?);
        let plain = no.len() == 8 && no.bytes().all(|b| b.is_ascii_digit());
        if parts.next().is_some() || !plain || !is_id(book) || !is_hex(hash, 32) {
            return None;
        }
        let no = no.parse().ok().filter(|no| *no >= 1)?;
        Some(Self {
            device: device.to_owned(),
            no,
            book: book.to_owned(),
            hash: hash.to_owned(),
        })
    }

    /// Reads the name of which `file` is a changed copy: another case, or text put in before the
    /// extension, as services that keep two devices' folders alike do.
    ///
    /// `None` for an exact name and for one of which too little is left.
    #[must_use]
    pub fn parse_copy(device: &str, file: &str) -> Option<Self> {
        if Self::parse(device, file).is_some() {
            return None;
        }
        let lower = file.to_ascii_lowercase();
        let stem = lower.get(..STEM)?;
        let name = Self::parse(device, &format!("{stem}.seg"))?;
        let rest = lower.get(STEM..)?;
        let cut_off = rest
            .bytes()
            .next()
            .is_none_or(|b| !b.is_ascii_alphanumeric());
        (cut_off && rest.contains("seg")).then_some(name)
    }
}

/// Eight digits, a book, 32 hex digits and two hyphens.
const STEM: usize = 8 + 1 + 26 + 1 + 32;

/// The name of a picture or document: its whole hash and its extension.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ObjectName {
    /// SHA-256 of the bytes, 64 hex digits.
    pub sha256: String,
    /// Extension without the dot, a–z and 0–9, at most 8 characters.
    pub extension: String,
}

impl ObjectName {
    /// The path inside the shared folder.
    #[must_use]
    pub fn path(&self) -> String {
        format!(
            "{}/{}.{}",
            object_folder(&self.sha256),
            self.sha256,
            self.extension
        )
    }

    /// Reads a file name; `None` if it is not exactly one of ours.
    #[must_use]
    pub fn parse(file: &str) -> Option<Self> {
        let (sha256, extension) = file.split_once('.')?;
        let plain = (1..=8).contains(&extension.len()) && extension.bytes().all(is_plain);
        (plain && is_hex(sha256, 64)).then(|| Self {
            sha256: sha256.to_owned(),
            extension: extension.to_owned(),
        })
    }

    /// Reads the hash of which `file` is a changed copy; `None` for an exact name.
    #[must_use]
    pub fn parse_copy(file: &str) -> Option<String> {
        if Self::parse(file).is_some() {
            return None;
        }
        let lower = file.to_ascii_lowercase();
        let sha256 = lower.get(..64)?;
        let next = lower.as_bytes().get(64).copied();
        (is_hex(sha256, 64) && next.is_none_or(|b| !b.is_ascii_alphanumeric()))
            .then(|| sha256.to_owned())
    }
}

/// The folder in which an object of this hash lies.
#[must_use]
pub fn object_folder(sha256: &str) -> String {
    format!("{PHOTOS}/{}", sha256.get(..2).unwrap_or_default())
}

/// The path of a device's card.
#[must_use]
pub fn device_path(device: &str) -> String {
    format!("{DEVICES}/{device}.json")
}

/// The device whose card has this file name.
#[must_use]
pub fn parse_device(file: &str) -> Option<&str> {
    file.strip_suffix(".json").filter(|device| is_id(device))
}

/// The folder of one device's segments.
#[must_use]
pub fn log_folder(device: &str) -> String {
    format!("{LOG}/{device}")
}

/// The folder of 64 numbers of one device.
#[must_use]
pub fn shard_folder(device: &str, shard: u32) -> String {
    format!("{LOG}/{device}/{shard:06}")
}

/// The folder number for a segment number.
#[must_use]
pub fn shard_of(no: u32) -> u32 {
    no / PER_SHARD
}

/// The numbers that belong into a folder; numbers start at 1, so the first holds 63.
#[must_use]
pub fn numbers_of(shard: u32) -> std::ops::RangeInclusive<u32> {
    let first = shard.saturating_mul(PER_SHARD);
    first.max(1)..=first.saturating_add(PER_SHARD - 1)
}

/// Reads the six digits of a folder number.
#[must_use]
pub fn parse_shard(folder: &str) -> Option<u32> {
    let plain = folder.len() == 6 && folder.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| folder.parse().ok()).flatten()
}

/// Whether this is the text form of an id: 26 lower-case base32 characters.
#[must_use]
pub fn is_id(text: &str) -> bool {
    text.len() == 26 && text.bytes().all(|b| matches!(b, b'a'..=b'z' | b'2'..=b'7'))
}

/// Whether this is exactly `digits` lower-case hex digits.
#[must_use]
pub fn is_hex(text: &str, digits: usize) -> bool {
    text.len() == digits && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

/// Whether a path may be written: every part a–z, 0–9 and hyphen with at most one extension,
/// under 100 characters, or the one file for people.
#[must_use]
pub fn is_writable(path: &str) -> bool {
    path == README || (path.split('/').count() <= 4 && path.split('/').all(is_writable_part))
}

/// Whether a path may be read: no part is empty, leads elsewhere or holds what no name holds.
#[must_use]
pub fn is_readable(path: &str) -> bool {
    path.split('/').count() <= 8
        && path.split('/').all(|part| {
            !part.is_empty()
                && part.len() <= 255
                && part != "."
                && part != ".."
                && !part
                    .chars()
                    .any(|c| c == '\\' || c == ':' || c.is_control())
        })
}

fn is_writable_part(part: &str) -> bool {
    let mut pieces = part.split('.');
    let stem = pieces.next().unwrap_or_default();
    let extension = pieces.next();
    let plain = |text: &str| !text.is_empty() && text.bytes().all(|b| is_plain(b) || b == b'-');
    part.len() <= MAX_NAME && plain(stem) && extension.is_none_or(plain) && pieces.next().is_none()
}

fn is_plain(byte: u8) -> bool {
    byte.is_ascii_lowercase() || byte.is_ascii_digit()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const DEVICE: &str = "abcdefghijklmnopqrstuvwxy2";
    const BOOK: &str = "b2345672345672345672345672";
    const HASH: &str = "0123456789abcdef0123456789abcdef";

    fn name(no: u32) -> SegmentName {
        SegmentName {
            device: DEVICE.into(),
            no,
            book: BOOK.into(),
            hash: HASH.into(),
        }
    }

    #[test]
    fn segment_path_is_the_binding_form() {
        assert_eq!(
            name(65).path(),
            format!("log/{DEVICE}/000001/00000065-{BOOK}-{HASH}.seg")
        );
        assert!(
            name(63)
                .path()
                .starts_with(&format!("log/{DEVICE}/000000/00000063-"))
        );
    }

    #[test]
    fn what_is_not_exactly_a_segment_name_is_none() {
        let good = name(7).file();
        assert_eq!(SegmentName::parse(DEVICE, &good), Some(name(7)));
        for (bad, why) in [
            (good.to_uppercase(), "upper case"),
            (
                good.replace(".seg", ".sync-conflict-20260101-120000-ABCDEFG.seg"),
                "conflict copy",
            ),
            (good.replace(".seg", ".seg.tmp"), "two extensions"),
            (good.replace(".seg", ".json"), "extension"),
            (good.replace("00000007", "7"), "short number"),
            (good.replace("00000007", "00000000"), "number zero"),
            (good.replace("00000007", "+0000007"), "sign in number"),
            (good.replace('-', "--"), "doubled hyphen"),
            (
                good.replace(HASH, HASH.trim_start_matches('0')),
                "short hash",
            ),
            (
                good.replace(BOOK, "B2345672345672345672345672"),
                "book in upper case",
            ),
            (
                good.replace(BOOK, "b1345672345672345672345672"),
                "1 is not base32",
            ),
            (String::new(), "empty"),
            ("ä".repeat(40), "not ASCII"),
        ] {
            assert_eq!(SegmentName::parse(DEVICE, &bad), None, "{why}: {bad}");
        }
        assert_eq!(SegmentName::parse("short", &good), None);
    }

    #[test]
    fn copies_are_known_for_what_they_are_copies_of() {
        let good = name(7).file();
        for copy in [
            good.to_uppercase(),
            good.replace(".seg", ".sync-conflict-20260101-120000-ABCDEFG.seg"),
            good.replace(".seg", " (ben's conflicted copy).seg"),
            good.replace(".seg", ".seg.orig"),
        ] {
            assert_eq!(
                SegmentName::parse_copy(DEVICE, &copy),
                Some(name(7)),
                "{copy}"
            );
        }
        for other in [
            good.clone(),
            good.replace(".seg", "0.seg"),
            "notes.seg".into(),
            "ä.seg".into(),
        ] {
            assert_eq!(SegmentName::parse_copy(DEVICE, &other), None, "{other}");
        }
        let object = "ab".repeat(32);
        assert_eq!(
            ObjectName::parse_copy(&format!("{object}.JPG")),
            Some(object.clone())
        );
        assert_eq!(ObjectName::parse_copy(&format!("{object}.jpg")), None);
        assert_eq!(ObjectName::parse_copy(&format!("{object}0.jpg")), None);
    }

    #[test]
    fn names_that_may_be_written() {
        for good in [
            README,
            FOUNDING,
            "tmp/abc-12",
            "photos/ab/cd.jpg",
            "log/a/000000/b-c.seg",
        ] {
            assert!(is_writable(good), "{good}");
        }
        let long = format!("{}.seg", "a".repeat(96));
        let longest = format!("{}.seg", "a".repeat(95));
        assert!(is_writable(&longest));
        for bad in [
            "",
            "/",
            "a//b",
            "../a",
            "a/..",
            ".",
            ".a",
            "a.",
            "a.b.c",
            "Upper.seg",
            "a b",
            "ä",
            "a\\b",
            "c:a",
            "a\0",
            "a\n",
            "readme.TXT",
            "a/b/c/d/e",
            &long,
        ] {
            assert!(!is_writable(bad), "{bad:?}");
        }
    }

    #[test]
    fn names_that_may_be_read() {
        for good in ["a", "A b.ü", "x.sync-conflict-1.seg", "log/a/b/c"] {
            assert!(is_readable(good), "{good}");
        }
        for bad in [
            "", "/a", "a/", "a//b", "../a", "a/../b", ".", "a\\b", "c:b", "a\0b", "a\tb",
        ] {
            assert!(!is_readable(bad), "{bad:?}");
        }
    }

    #[test]
    fn shards_hold_64_numbers() {
        assert_eq!(numbers_of(0), 1..=63);
        assert_eq!(numbers_of(1), 64..=127);
        assert_eq!(parse_shard("000001"), Some(1));
        for bad in ["1", "0000001", "00000a", "-00001", "+00001"] {
            assert_eq!(parse_shard(bad), None, "{bad}");
        }
    }

    #[test]
    fn device_cards_and_objects() {
        assert_eq!(parse_device(&format!("{DEVICE}.json")), Some(DEVICE));
        assert_eq!(parse_device("x.json"), None);
        let object = ObjectName {
            sha256: "ab".repeat(32),
            extension: "jpg".into(),
        };
        let path = object.path();
        assert_eq!(path, format!("photos/ab/{}.jpg", "ab".repeat(32)));
        assert_eq!(
            ObjectName::parse(path.rsplit('/').next().unwrap()),
            Some(object)
        );
        assert_eq!(ObjectName::parse("ab.jpg"), None);
        assert_eq!(ObjectName::parse(&format!("{}.", "ab".repeat(32))), None);
    }

    proptest! {
        #[test]
        fn names_come_back_equal(
            device in "[a-z2-7]{26}", book in "[a-z2-7]{26}", hash in "[0-9a-f]{32}",
            no in 1..=LAST_NO,
        ) {
            let name = SegmentName { device: device.clone(), no, book, hash };
            prop_assert!(is_writable(&name.path()));
            prop_assert!(numbers_of(shard_of(no)).contains(&no));
            prop_assert_eq!(SegmentName::parse(&device, &name.file()), Some(name));
        }

        #[test]
        fn any_text_is_read_without_a_panic(text in "\\PC{0,120}") {
            let _ = (SegmentName::parse(DEVICE, &text), SegmentName::parse_copy(DEVICE, &text));
            let _ = (ObjectName::parse(&text), ObjectName::parse_copy(&text));
            prop_assert!(!is_writable(&text) || is_readable(&text));
        }
    }
}
