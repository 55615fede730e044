//! Segments: the files in which a device publishes its entries of one book.
//!
//! Form: a signed header line, then entry lines. This module encodes and reads them; it moves
//! nothing and decides nothing about entries.

use serde::{Deserialize, Serialize};

use crate::canonical;
use crate::entry::{Entry, split};
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash};
use crate::keys::{PublicKey, Signer};

/// What the header's signature covers before its body.
pub const DOMAIN: &str = "tautbook-segment-1\n";
/// The segment's format that this program writes.
pub const FORMAT: u32 = 1;
/// Most bytes of a segment.
pub const MOST_BYTES: usize = 1024 * 1024;

/// The segment of the same book that this device published before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct BookPrev {
    /// Its number.
    pub no: u64,
    /// Hash of its file.
    pub sha256: Hash,
}

/// A segment's header.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Header {
    /// Form of the segment.
    pub format: u32,
    /// The device that made it.
    pub device: DeviceId,
    /// Number over all books, from 1.
    pub no: u64,
    /// Hash of segment `no` − 1; zeros for the first.
    pub prev: Hash,
    /// Its book.
    pub book: BookId,
    /// The segment of this book before it.
    pub book_prev: Option<BookPrev>,
    /// First entry in it.
    pub first: u64,
    /// Last entry in it.
    pub last: u64,
    /// Heads of this book that changed since the segment before: device, number, hash.
    pub seen: Vec<(DeviceId, u64, Hash)>,
}

/// A segment as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    /// Its header, whose signature was checked.
    pub header: Header,
    /// Its entry lines, as many as the header tells. Those that can be read are of its book and
    /// device and have its numbers, one after the other; nothing else of them was checked.
    pub lines: Vec<Vec<u8>>,
}

/// Encodes a segment.
///
/// # Errors
/// When the header breaks the form or the segment is longer than 1 MiB.
pub fn encode(
    header: &Header,
    entries: &[Entry],
    signer: &dyn Signer,
) -> Result<Vec<u8>, RecordError> {
    let body = canonical::encode(header)?;
    let mut bytes = signer.sign(DOMAIN, &body).into_bytes();
    bytes.push(b' ');
    bytes.extend_from_slice(&body);
    bytes.push(b'\n');
    for entry in entries {
        bytes.extend_from_slice(entry.line());
    }
    if bytes.len() > MOST_BYTES {
        return Err(RecordError::Segment(format!(
            "{} bytes; at most {MOST_BYTES}",
            bytes.len()
        )));
    }
    Ok(bytes)
}

/// What holds a line to its header.
#[derive(Deserialize)]
struct Numbered {
    book: BookId,
    device: DeviceId,
    n: u64,
}

/// Whether lines are those that their header tells of: otherwise a signed header could stand over
/// other lines, and what it promised would never be missed. A line that can't be read is no
/// contradiction; it is set aside with its own reason by who takes it in.
fn hold_to_header(header: &Header, lines: &[Vec<u8>]) -> Result<(), RecordError> {
    for (expected, line) in (header.first..).zip(lines) {
        let body = split(line).map(|(_, body)| serde_json::from_slice::<Numbered>(body));
        let Ok(Ok(told)) = body else { continue };
        if told.device != header.device {
            return Err(RecordError::Segment(
                "it holds entries of another device than its header tells".into(),
            ));
        }
        if told.book != header.book {
            return Err(RecordError::Segment(
                "it holds entries of another book than its header tells".into(),
            ));
        }
        if told.n != expected {
            return Err(RecordError::Segment(format!(
                "it holds entry {} where its header tells of entry {expected}",
                told.n
            )));
        }
    }
    Ok(())
}

/// Reads a segment and checks its header's signature.
///
/// # Errors
/// [`RecordError::SegmentNewer`] for a newer format; [`RecordError::Segment`] when it is cut, too
/// long, not by `key`, or its lines do not match its header.
pub fn read(bytes: &[u8], key: &PublicKey) -> Result<Segment, RecordError> {
    if bytes.len() > MOST_BYTES {
        return Err(RecordError::Segment("longer than 1 MiB".into()));
    }
    if !bytes.ends_with(b"\n") {
        return Err(RecordError::Segment(
            "it is cut; not all of it has arrived".into(),
        ));
    }
    let mut lines = bytes.split_inclusive(|b| *b == b'\n');
    let first = lines.next().unwrap_or_default();
    let (signature, body) = split(first)?;
    let value = canonical::decode(body)?;
    if !key.accepts(DOMAIN, body, signature) {
        return Err(RecordError::Segment(
            "its header is not signed by its device".into(),
        ));
    }
    let format = value.get("format").and_then(serde_json::Value::as_u64);
    match format.and_then(|f| u32::try_from(f).ok()) {
        Some(FORMAT) => {}
        Some(other) => return Err(RecordError::SegmentNewer(other)),
        None => return Err(RecordError::Segment("its header names no format".into())),
    }
    let header: Header =
        serde_json::from_value(value).map_err(|e| RecordError::Segment(e.to_string()))?;
    if header.device != key.device() {
        return Err(RecordError::Segment(
            "its header names another device".into(),
        ));
    }
    let lines: Vec<Vec<u8>> = lines.map(<[u8]>::to_vec).collect();
    let expected = header.last.checked_sub(header.first);
    let expected = expected.and_then(|more| more.checked_add(1));
    if expected != Some(lines.len() as u64) || header.first == 0 {
        return Err(RecordError::Segment(format!(
            "its header tells of entries {} to {}, but it holds {}",
            header.first,
            header.last,
            lines.len()
        )));
    }
    hold_to_header(&header, &lines)?;
    Ok(Segment { header, lines })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::tests::body;
    use crate::keys::FileKey;

    fn made() -> (FileKey, Vec<u8>) {
        let key = FileKey::from_secret(&[3; 32]).unwrap();
        let entry = Entry::sign(body(key.public().device()), &key).unwrap();
        let header = Header {
            format: FORMAT,
            device: key.public().device(),
            no: 1,
            prev: Hash::ZERO,
            book: entry.body.book,
            book_prev: None,
            first: 1,
            last: 1,
            seen: vec![(key.public().device(), 1, entry.id)],
        };
        let bytes = encode(&header, &[entry], &key).unwrap();
        (key, bytes)
    }

    #[test]
    fn a_segment_reads_back() {
        let (key, bytes) = made();
        let segment = read(&bytes, &key.public()).unwrap();
        assert_eq!(segment.lines.len(), 1);
        assert_eq!(segment.header.last, 1);
    }

    #[test]
    fn a_cut_segment_never_reads() {
        let (key, bytes) = made();
        for length in 0..bytes.len() {
            assert!(read(&bytes[..length], &key.public()).is_err(), "{length}");
        }
    }

    #[test]
    fn a_genuine_header_over_other_lines_never_reads() {
        let (key, _) = made();
        let mut second = body(key.public().device());
        let first = Entry::sign(second.clone(), &key).unwrap();
        (second.n, second.prev) = (2, first.id);
        let second = Entry::sign(second, &key).unwrap();
        let header = Header {
            format: FORMAT,
            device: key.public().device(),
            no: 2,
            prev: Hash::ZERO,
            book: first.body.book,
            book_prev: None,
            first: 2,
            last: 2,
            seen: vec![],
        };
        let made = |entry: &Entry, header: &Header| {
            encode(header, std::slice::from_ref(entry), &key).unwrap()
        };
        assert!(read(&made(&second, &header), &key.public()).is_ok());
        let of_first = read(&made(&first, &header), &key.public()).unwrap_err();
        assert!(of_first.to_string().contains("entry 1 where"), "{of_first}");
        let elsewhere = Header {
            book: BookId::random().unwrap(),
            ..header
        };
        let of_other = read(&made(&second, &elsewhere), &key.public()).unwrap_err();
        assert!(of_other.to_string().contains("another book"), "{of_other}");
    }

    #[test]
    fn another_devices_header_is_refused() {
        let (_, bytes) = made();
        let other = FileKey::from_secret(&[4; 32]).unwrap();
        assert!(read(&bytes, &other.public()).is_err());
    }
}
