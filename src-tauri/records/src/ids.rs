//! Names of things: 128-bit ids in lower-case base32 and SHA-256 hashes in lower-case hex.
//!
//! Invariant: a value of these types always prints in its one canonical text form. This module
//! does not decide what an id names.

use std::fmt;
use std::str::FromStr;

use data_encoding::{BASE32_NOPAD, HEXLOWER};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use ts_rs::TS;

use crate::error::RecordError;

/// A SHA-256 hash, printed as 64 lower-case hex digits.
#[derive(
    Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(try_from = "String", into = "String")]
#[ts(type = "string")]
#[schemars(with = "String")]
pub struct Hash([u8; 32]);

impl Hash {
    /// The 64 zeros that stand before a first entry or segment.
    pub const ZERO: Hash = Hash([0; 32]);

    /// The hash of the given bytes (FIPS 180-4).
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Hash(Sha256::digest(bytes).into())
    }

    /// Wraps 32 bytes that are a hash already.
    #[must_use]
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Hash(bytes)
    }

    /// Wraps a slice; `None` unless it is 32 bytes long.
    #[must_use]
    pub fn from_slice(bytes: &[u8]) -> Option<Self> {
        bytes.try_into().ok().map(Hash)
    }

    /// The 32 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The first 32 hex digits, as they stand in a segment's file name.
    #[must_use]
    pub fn short(&self) -> String {
        self.to_string().chars().take(32).collect()
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&HEXLOWER.encode(&self.0))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({})", self.short())
    }
}

impl FromStr for Hash {
    type Err = RecordError;

    fn from_str(text: &str) -> Result<Self, RecordError> {
        HEXLOWER
            .decode(text.as_bytes())
            .ok()
            .and_then(|bytes| Hash::from_slice(&bytes))
            .ok_or_else(|| RecordError::NotAHash(text.chars().take(80).collect()))
    }
}

impl TryFrom<String> for Hash {
    type Error = RecordError;
    fn try_from(text: String) -> Result<Self, RecordError> {
        text.parse()
    }
}

impl From<Hash> for String {
    fn from(hash: Hash) -> String {
        hash.to_string()
    }
}

/// 128 bits as 26 lower-case base32 characters (RFC 4648 alphabet, no padding).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Id([u8; 16]);

impl Id {
    /// A fresh random id.
    ///
    /// # Errors
    /// When the system has no randomness to give.
    pub fn random() -> Result<Self, RecordError> {
        let mut bytes = [0; 16];
        getrandom::fill(&mut bytes).map_err(|e| RecordError::Randomness(e.to_string()))?;
        Ok(Id(bytes))
    }

    /// The first 128 bits of a hash.
    #[must_use]
    pub fn from_hash(hash: &Hash) -> Self {
        let mut bytes = [0; 16];
        for (to, from) in bytes.iter_mut().zip(hash.as_bytes()) {
            *to = *from;
        }
        Id(bytes)
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&BASE32_NOPAD.encode(&self.0).to_ascii_lowercase())
    }
}

impl FromStr for Id {
    type Err = RecordError;

    fn from_str(text: &str) -> Result<Self, RecordError> {
        let lower = text
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
        let bytes = BASE32_NOPAD
            .decode(text.to_ascii_uppercase().as_bytes())
            .ok();
        match bytes.and_then(|b| <[u8; 16]>::try_from(b).ok()) {
            Some(bytes) if lower => Ok(Id(bytes)),
            _ => Err(RecordError::NotAnId(text.chars().take(80).collect())),
        }
    }
}

macro_rules! id_types {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema)]
        #[serde(try_from = "String", into = "String")]
        #[ts(type = "string")]
        #[schemars(with = "String")]
        pub struct $name(pub Id);

        impl $name {
            /// A fresh random id.
            ///
            /// # Errors
            /// When the system has no randomness to give.
            pub fn random() -> Result<Self, RecordError> {
                Id::random().map($name)
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self.0)
            }
        }
        impl FromStr for $name {
            type Err = RecordError;
            fn from_str(text: &str) -> Result<Self, RecordError> {
                text.parse().map($name)
            }
        }
        impl TryFrom<String> for $name {
            type Error = RecordError;
            fn try_from(text: String) -> Result<Self, RecordError> {
                text.parse()
            }
        }
        impl From<$name> for String {
            fn from(id: $name) -> String {
                id.to_string()
            }
        }
    )*};
}

id_types! {
    /// Names a book; a job's book and the job share one id.
    BookId;
    /// Names a device: the first 128 bits of the SHA-256 of its public key.
    DeviceId;
    /// Names a person.
    PersonId;
    /// Names a run, post, photo, document, defect, tool, batch, visit, strand or fitting set.
    ItemId;
}

impl DeviceId {
    /// The id that belongs to a public key, so that a key can't be swapped.
    #[must_use]
    pub fn of_key(public_key: &[u8; 32]) -> Self {
        DeviceId(Id::from_hash(&Hash::of(public_key)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_have_one_text_form() {
        let id = Id([0x5a; 16]);
        let text = id.to_string();
        assert_eq!(text.len(), 26);
        assert_eq!(text.parse::<Id>().unwrap(), id);
        assert!(text.to_uppercase().parse::<Id>().is_err());
        assert!(
            "7".repeat(26).parse::<Id>().is_err(),
            "trailing bits must be zero"
        );
        assert!("".parse::<Id>().is_err());
    }

    // FIPS 180-4 examples (NIST, "SHA-256 examples").
    #[test]
    fn hashes_match_fips_180_4() {
        assert_eq!(
            Hash::of(b"abc").to_string(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
        assert_eq!(
            Hash::of(b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq").to_string(),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
        );
    }
}
