//! Pictures on their way out, by the hash of their original and a size.
//!
//! Invariant: what a caller names is a hash checked by pattern, never a path.

use crate::ApiError;

/// Which picture, in which size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PictureRequest {
    /// SHA-256 of the original, 64 lower-case hex digits.
    pub sha256: String,
    /// The size wanted.
    pub size: PictureSize,
}

/// The sizes that a picture is kept in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureSize {
    /// 320 px, at most 30 KB.
    Thumb,
    /// 2048 px.
    View,
    /// The bytes as they were taken in.
    Original,
}

/// A picture or document as bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Its media type, from a fixed list.
    pub content_type: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl PictureRequest {
    /// Reads the hash and the query `size=thumb|view|original`; without a query it is the original.
    pub fn parse(sha256: &str, query: Option<&str>) -> Result<Self, ApiError> {
        let is_hash = sha256.len() == 64
            && sha256
                .bytes()
                .all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f'));
        let size = match query {
            None | Some("" | "size=original") => Some(PictureSize::Original),
            Some("size=view") => Some(PictureSize::View),
            Some("size=thumb") => Some(PictureSize::Thumb),
            Some(_) => None,
        };
        match (is_hash, size) {
            (true, Some(size)) => Ok(Self {
                sha256: sha256.to_owned(),
                size,
            }),
            _ => Err(ApiError::invalid(
                "A picture is named by the 64 hex digits of its hash and size=thumb, view or original.",
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{PictureRequest, PictureSize};

    #[test]
    fn sizes_are_read() {
        let hash = "a0".repeat(32);
        for (query, size) in [
            (None, PictureSize::Original),
            (Some("size=original"), PictureSize::Original),
            (Some("size=view"), PictureSize::View),
            (Some("size=thumb"), PictureSize::Thumb),
        ] {
            let parsed = PictureRequest::parse(&hash, query).unwrap();
            assert_eq!((parsed.sha256.as_str(), parsed.size), (hash.as_str(), size));
        }
    }

    #[test]
    fn nothing_but_a_hash_passes() {
        let hash = "a0".repeat(32);
        for (name, query) in [
            ("../../local.db", None),
            (hash.to_uppercase().as_str(), None),
            (&"a0".repeat(31), None),
            (hash.as_str(), Some("size=huge")),
            (hash.as_str(), Some("size=thumb&x=1")),
        ] {
            assert!(
                PictureRequest::parse(name, query).is_err(),
                "{name} {query:?}"
            );
        }
    }
}
