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
/// The highest segment number: the last one of the last folder that six digits can name.
pub const LAST_NO: u32 = 999_999 * PER_SHARD + (PER_SHARD - 1);
/// The last number that marks a file written again beside damaged ones; the first is 2.
pub const MOST_REPAIRS: u32 = 9;

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

    /// Where another file with the same content may lie when those before it were damaged there.
    #[must_use]
    pub fn repair_path(&self, copy: u32) -> String {
        let path = self.path();
        format!("{}-{copy}.seg", path.trim_end_matches(".seg"))
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
        let no = no.parse().ok().filter(|no| (1..=LAST_NO).contains(no))?;
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

    /// Where another file with the same content may lie when those before it were damaged there.
    #[must_use]
    pub fn repair_path(&self, copy: u32) -> String {
        format!(
            "{}/{}-{copy}.{}",
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
mod tests;
