//! The one SHA-256 under which objects are named.

use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

/// SHA-256 of `bytes` as 64 lower-case hex digits (FIPS 180-4).
pub fn sha256_hex(bytes: &[u8]) -> String {
    HEXLOWER.encode(&Sha256::digest(bytes))
}

pub(super) fn is_sha256_hex(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}
