//! The digits that two people compare before one admits the other's device.
//!
//! Invariant: 16 digits follow from the crew's founding hash and the joiner's public key alone, and
//! one set of them costs [`MEMORY_KIB`] of memory and about a tenth of a second of a desktop's
//! processor. Whoever holds the shared folder chooses both values that are compared: a founding hash for the
//! joiner and a key for the one who admits. With a plain hash, 10⁸ tries on each side, minutes of
//! work, would find two that show the same digits. The QR picture carries both values whole and
//! needs none of this.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use argon2::{Algorithm, Argon2, Params, Version};

use crate::error::RecordError;
use crate::ids::Hash;
use crate::keys::PublicKey;

/// The form: what is hashed first, and the salt of the slow step.
const FORM: &[u8; 16] = b"tautbook-admit-2";
/// Memory of the slow step (Argon2id, RFC 9106), in KiB.
const MEMORY_KIB: u32 = 64 * 1024;
/// Passes over that memory.
const PASSES: u32 = 3;
/// How many answers are kept, so that a screen that looks again need not wait again.
const KEPT: usize = 256;

type Answers = BTreeMap<[u8; 32], String>;
/// Held while one is worked out: two at once would need twice the memory.
static ANSWERS: Mutex<Answers> = Mutex::new(BTreeMap::new());

/// The digits, in four groups.
///
/// From Argon2id over SHA-256(`tautbook-admit-2` + founding hash + public key).
///
/// # Errors
/// When the slow step refuses its parameters.
pub fn digits(founding: &Hash, key: &PublicKey) -> Result<String, RecordError> {
    let bytes = [FORM.as_slice(), founding.as_bytes(), key.as_bytes()].concat();
    let both = Hash::of(&bytes);
    let mut answers = ANSWERS.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = answers.get(both.as_bytes()) {
        return Ok(known.clone());
    }
    let digits = grouped(&slow(both.as_bytes(), MEMORY_KIB, PASSES)?);
    if answers.len() >= KEPT {
        answers.clear();
    }
    answers.insert(*both.as_bytes(), digits.clone());
    Ok(digits)
}

fn slow(hash: &[u8; 32], memory: u32, passes: u32) -> Result<[u8; 32], RecordError> {
    let mut out = [0; 32];
    let refused = |e: argon2::Error| RecordError::Refused(format!("no digits can be shown: {e}"));
    let params = Params::new(memory, passes, 1, Some(out.len())).map_err(refused)?;
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(hash, FORM, &mut out)
        .map_err(refused)?;
    Ok(out)
}

fn grouped(slow: &[u8; 32]) -> String {
    let first = slow.iter().take(8);
    let number = first.fold(0_u64, |n, b| (n << 8) | u64::from(*b)) % 10_000_000_000_000_000;
    let mut groups = String::new();
    for (at, digit) in format!("{number:016}").chars().enumerate() {
        if at > 0 && at % 4 == 0 {
            groups.push(' ');
        }
        groups.push(digit);
    }
    groups
}

/// Whether two writings of the digits are the same, spaces apart.
#[must_use]
pub fn same_digits(a: &str, b: &str) -> bool {
    let only = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let (a, b) = (only(a), only(b));
    a.len() == 16 && a == b
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::{FileKey, Signer as _};

    /// RFC 9106, section 5.3: 32 KiB, 3 passes, 4 lanes, with a secret and associated data.
    #[test]
    fn the_slow_step_is_argon2id() {
        let data = argon2::AssociatedData::new(&[4; 12]).unwrap();
        let mut params = argon2::ParamsBuilder::new();
        params
            .m_cost(32)
            .t_cost(3)
            .p_cost(4)
            .data(data)
            .output_len(32);
        let params = params.build().unwrap();
        let (kind, version) = (Algorithm::Argon2id, Version::V0x13);
        let hasher = Argon2::new_with_secret(&[3; 8], kind, version, params).unwrap();
        let mut tag = [0; 32];
        hasher
            .hash_password_into(&[1; 32], &[2; 16], &mut tag)
            .unwrap();
        assert_eq!(
            data_encoding::HEXLOWER.encode(&tag),
            "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"
        );
    }

    #[test]
    fn digits_follow_from_both_values_and_are_slow_to_try() {
        let key = |byte| FileKey::from_secret(&[byte; 32]).unwrap().public();
        let (founding, other) = (Hash::of(b"a crew"), Hash::of(b"another"));
        let begun = std::time::Instant::now();
        let shown = digits(&founding, &key(1)).unwrap();
        let first = begun.elapsed();
        let plain: Vec<&str> = shown.split(' ').collect();
        assert!(
            plain.len() == 4 && plain.iter().all(|g| g.len() == 4),
            "{shown}"
        );
        assert_ne!(shown, digits(&other, &key(1)).unwrap());
        assert_ne!(shown, digits(&founding, &key(2)).unwrap());
        // Ten of a plain hash would take microseconds.
        assert!(first.as_millis() >= 20, "{first:?}");
        let begun = std::time::Instant::now();
        assert_eq!(digits(&founding, &key(1)).unwrap(), shown);
        assert!(
            begun.elapsed() < first / 4,
            "kept for a screen that looks again"
        );
    }

    #[test]
    fn what_is_compared_is_sixteen_digits_whatever_stands_between_them() {
        assert!(same_digits("1234 5678 9012 3456", "1234567890123456"));
        assert!(!same_digits("1234 5678 9012 3456", "1234567890123457"));
        assert!(!same_digits("", "") && !same_digits("1234", "1234"));
    }
}
