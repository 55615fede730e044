//! Entries: one immutable, signed fact a line.
//!
//! Invariant: the id of an entry is the SHA-256 of its body's exact bytes, and a parsed entry
//! keeps those bytes. Whether an entry counts is not decided here.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use ts_rs::TS;

use crate::canonical;
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash, PersonId};
use crate::keys::{PublicKey, Signer};

/// What the signature covers before the body.
pub const DOMAIN: &str = "tautbook-entry-1\n";
/// The envelope's format that this program writes.
pub const FORMAT: u32 = 1;

const SIGNATURE_HEX: usize = 128;

/// When something was recorded, by the recording device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct At {
    /// Milliseconds since 1970 UTC; before the device's own last entry only where that one lies more than a
    /// day ahead of the clock.
    pub ms: i64,
    /// Minutes east of UTC on the device's clock.
    pub offset_min: i32,
    /// Orders entries of one millisecond.
    pub count: u32,
    /// The device's clock had gone backwards or far ahead.
    pub suspect: bool,
}

/// A file that an entry vouches for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct FileRef {
    /// Hash of the bytes, which is also the file's name.
    pub sha256: Hash,
    /// Length in bytes.
    pub bytes: u64,
    /// Its role and ending: `original.jpg`, `view.jpg`, `thumb.jpg`.
    #[serde(rename = "type")]
    pub kind: String,
}

/// The body of an entry: a frozen envelope and the kind's own data.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Body {
    /// Form of the envelope.
    pub format: u32,
    /// What a reader must understand for the entry to count.
    pub needs: Vec<String>,
    /// The book it belongs to.
    pub book: BookId,
    /// The device that recorded it.
    pub device: DeviceId,
    /// The person at that device.
    pub person: PersonId,
    /// Number of the entry by this device in this book, from 1.
    pub n: u64,
    /// Id of the device's entry n − 1 in this book; zeros for n = 1.
    pub prev: Hash,
    /// When.
    pub at: At,
    /// What sort of fact.
    pub kind: String,
    /// What it is about.
    pub subject: String,
    /// Claims that it replaces.
    pub over: Vec<Hash>,
    /// Entries that it was decided on.
    pub basis: Vec<Hash>,
    /// Files that it vouches for.
    pub files: Vec<FileRef>,
    /// The kind's own data.
    pub data: Map<String, Value>,
}

impl Body {
    /// Whether this entry closes an act (all of an act's entries count, or none).
    #[must_use]
    pub fn closes(&self) -> bool {
        self.data.get("closes") == Some(&Value::Bool(true))
    }
}

/// An entry with its exact bytes.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// SHA-256 of the body.
    pub id: Hash,
    /// The body, read.
    pub body: Body,
    line: Vec<u8>,
}

impl Entry {
    /// Encodes and signs a body.
    ///
    /// # Errors
    /// When the body breaks a bound of the form.
    pub fn sign(body: Body, signer: &dyn Signer) -> Result<Self, RecordError> {
        let bytes = canonical::encode(&body)?;
        let mut line = signer.sign(DOMAIN, &bytes).into_bytes();
        line.push(b' ');
        line.extend_from_slice(&bytes);
        line.push(b'\n');
        Ok(Entry {
            id: Hash::of(&bytes),
            body,
            line,
        })
    }

    /// Reads a line that came from outside; its body must be canonical.
    ///
    /// # Errors
    /// When the line or its body breaks the form.
    pub fn parse(line: &[u8]) -> Result<Self, RecordError> {
        let (_, bytes) = split(line)?;
        canonical::decode(bytes)?;
        Entry::parse_own(line)
    }

    /// Reads a line of the own journal, checked for form when it was taken in.
    ///
    /// # Errors
    /// When the line is not an entry.
    pub fn parse_own(line: &[u8]) -> Result<Self, RecordError> {
        let (_, bytes) = split(line)?;
        let body: Body =
            serde_json::from_slice(bytes).map_err(|e| RecordError::Body(e.to_string()))?;
        if body.n == 0 || (body.n == 1) != (body.prev == Hash::ZERO) {
            return Err(RecordError::Body(
                "number and prev do not go together".into(),
            ));
        }
        Ok(Entry {
            id: Hash::of(bytes),
            body,
            line: line.to_vec(),
        })
    }

    /// The exact bytes, with the line's end.
    #[must_use]
    pub fn line(&self) -> &[u8] {
        &self.line
    }

    /// Whether the line's own signature is by `key`.
    #[must_use]
    pub fn signed_by(&self, key: &PublicKey) -> bool {
        key.device() == self.body.device
            && split(&self.line).is_ok_and(|(signature, body)| key.accepts(DOMAIN, body, signature))
    }
}

/// Splits `<128 hex> <body>\n` into signature and body.
pub(crate) fn split(line: &[u8]) -> Result<(&[u8], &[u8]), RecordError> {
    let line = line
        .strip_suffix(b"\n")
        .ok_or(RecordError::Line("its end is missing"))?;
    let (signature, rest) = line
        .split_at_checked(SIGNATURE_HEX)
        .ok_or(RecordError::Line("shorter than a signature"))?;
    let body = rest
        .strip_prefix(b" ")
        .ok_or(RecordError::Line("no space after the signature"))?;
    if !signature
        .iter()
        .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(b))
    {
        return Err(RecordError::Line("the signature is not lower-case hex"));
    }
    if body.contains(&b'\n') {
        return Err(RecordError::Line("a line within a line"));
    }
    Ok((signature, body))
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::ids::Id;
    use crate::keys::FileKey;

    pub(crate) fn body(device: DeviceId) -> Body {
        Body {
            format: FORMAT,
            needs: Vec::new(),
            book: BookId(Id::from_hash(&Hash::of(b"book"))),
            device,
            person: PersonId(Id::from_hash(&Hash::of(b"person"))),
            n: 1,
            prev: Hash::ZERO,
            at: At {
                ms: 1,
                offset_min: 600,
                count: 0,
                suspect: false,
            },
            kind: "job.title".into(),
            subject: "job".into(),
            over: Vec::new(),
            basis: Vec::new(),
            files: Vec::new(),
            data: Map::new(),
        }
    }

    #[test]
    fn a_signed_line_reads_back_and_keeps_its_bytes() {
        let key = FileKey::from_secret(&[7; 32]).unwrap();
        let entry = Entry::sign(body(key.public().device()), &key).unwrap();
        let again = Entry::parse(entry.line()).unwrap();
        assert_eq!(again, entry);
        assert!(again.signed_by(&key.public()));
        let other = FileKey::from_secret(&[8; 32]).unwrap();
        assert!(!again.signed_by(&other.public()));
    }

    #[test]
    fn a_changed_byte_breaks_the_signature_or_the_form() {
        let key = FileKey::from_secret(&[7; 32]).unwrap();
        let entry = Entry::sign(body(key.public().device()), &key).unwrap();
        for at in 0..entry.line().len() {
            let mut line = entry.line().to_vec();
            line[at] ^= 1;
            let genuine = Entry::parse(&line).is_ok_and(|e| e.signed_by(&key.public()));
            assert!(!genuine, "byte {at}");
        }
    }

    #[test]
    fn number_and_prev_go_together() {
        let key = FileKey::from_secret(&[7; 32]).unwrap();
        let mut wrong = body(key.public().device());
        wrong.n = 2;
        let entry = Entry::sign(wrong, &key).unwrap();
        assert!(Entry::parse(entry.line()).is_err());
    }
}
