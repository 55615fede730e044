//! Device keys: signing, and the strict check of signatures (ed25519, RFC 8032).
//!
//! Invariant: a weak public key never verifies anything. Where the private key lies is behind
//! [`Signer`]; this module keeps it in a file only its owner can read.

use std::fs::{self, File, OpenOptions};
use std::io::Write;
use std::path::Path;

use data_encoding::HEXLOWER;
use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use serde::{Deserialize, Serialize};

use crate::error::RecordError;
use crate::ids::DeviceId;
use crate::journal::sync_dir;

/// A public key that is not weak, printed as 64 hex digits.
#[derive(Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PublicKey(VerifyingKey);

impl std::fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "PublicKey({})", self.device())
    }
}

impl PublicKey {
    /// Reads 32 bytes as a public key.
    ///
    /// # Errors
    /// When the bytes are no point of the curve or a weak one.
    pub fn from_bytes(bytes: &[u8; 32]) -> Result<Self, RecordError> {
        match VerifyingKey::from_bytes(bytes) {
            Ok(key) if !key.is_weak() => Ok(PublicKey(key)),
            _ => Err(RecordError::WeakKey),
        }
    }

    /// The 32 bytes.
    #[must_use]
    pub fn as_bytes(&self) -> &[u8; 32] {
        self.0.as_bytes()
    }

    /// The id of the device that holds the key.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        DeviceId::of_key(self.as_bytes())
    }

    /// Whether `signature` (128 hex digits) is by this key over `domain` and `body`.
    #[must_use]
    pub fn accepts(&self, domain: &str, body: &[u8], signature: &[u8]) -> bool {
        let Some(bytes) = HEXLOWER.decode(signature).ok() else {
            return false;
        };
        let Ok(signature) = Signature::from_slice(&bytes) else {
            return false;
        };
        let message = [domain.as_bytes(), body].concat();
        self.0.verify_strict(&message, &signature).is_ok()
    }
}

impl TryFrom<String> for PublicKey {
    type Error = RecordError;
    fn try_from(text: String) -> Result<Self, RecordError> {
        let bytes = HEXLOWER
            .decode(text.as_bytes())
            .ok()
            .and_then(|b| <[u8; 32]>::try_from(b).ok())
            .ok_or(RecordError::WeakKey)?;
        PublicKey::from_bytes(&bytes)
    }
}

impl From<PublicKey> for String {
    fn from(key: PublicKey) -> String {
        HEXLOWER.encode(key.as_bytes())
    }
}

/// Signs for this device.
pub trait Signer: Send + Sync {
    /// The public half.
    fn public(&self) -> PublicKey;
    /// 128 hex digits over `domain` and `body`.
    fn sign(&self, domain: &str, body: &[u8]) -> String;
}

/// A device key held in memory, read from `device.key`.
pub struct FileKey {
    key: SigningKey,
    public: PublicKey,
}

impl Signer for FileKey {
    fn public(&self) -> PublicKey {
        self.public
    }

    fn sign(&self, domain: &str, body: &[u8]) -> String {
        let message = [domain.as_bytes(), body].concat();
        HEXLOWER.encode(&self.key.sign(&message).to_bytes())
    }
}

impl FileKey {
    /// Wraps 32 secret bytes.
    ///
    /// # Errors
    /// Never for random bytes; the public half is checked all the same.
    pub fn from_secret(secret: &[u8; 32]) -> Result<Self, RecordError> {
        let key = SigningKey::from_bytes(secret);
        let public = PublicKey::from_bytes(key.verifying_key().as_bytes())?;
        Ok(FileKey { key, public })
    }

    /// A key of random bytes, held in memory alone.
    ///
    /// # Errors
    /// When the system has no randomness.
    pub(crate) fn random() -> Result<Self, RecordError> {
        FileKey::from_secret(&secret()?)
    }

    /// The device that this key is.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.public.device()
    }

    /// Reads the key file; none where there is no file.
    ///
    /// # Errors
    /// When the file can't be read, or does not hold a key.
    pub(crate) fn open(path: &Path) -> Result<Option<Self>, RecordError> {
        let text = match fs::read_to_string(path) {
            Ok(text) => text,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
            Err(e) => return Err(RecordError::file("read", path)(e)),
        };
        let secret = HEXLOWER
            .decode(text.trim().as_bytes())
            .ok()
            .and_then(|b| <[u8; 32]>::try_from(b).ok())
            .ok_or_else(|| {
                RecordError::Refused(
                    "device.key does not hold a key; put the right file back, or move it away to \
                     take a new identity"
                        .into(),
                )
            })?;
        FileKey::from_secret(&secret).map(Some)
    }

    /// Reads the key file, or makes one (mode 0600) where there is none.
    ///
    /// # Errors
    /// When the file can't be read, written, or does not hold a key.
    pub fn open_or_create(path: &Path) -> Result<Self, RecordError> {
        FileKey::open(path)?.map_or_else(|| create(path), Ok)
    }
}

/// Makes a new key in the file's place, and first moves the one of `there` beside it, under that
/// device's id.
///
/// # Errors
/// When a file can't be moved or written; the old key is then still in place.
pub(crate) fn renew(path: &Path, there: Option<DeviceId>) -> Result<FileKey, RecordError> {
    if let Some(old) = there {
        let kept = kept(path, old);
        fs::rename(path, &kept).map_err(RecordError::file("keep", &kept))?;
    }
    match create(path) {
        Ok(key) => Ok(key),
        Err(error) => {
            if let Some(old) = there {
                fs::rename(kept(path, old), path).map_err(RecordError::file("put back", path))?;
            }
            Err(error)
        }
    }
}

/// Puts back the key that [`renew`] moved away; the one in its place has signed nothing. Where none
/// was moved, the new one is removed.
///
/// # Errors
/// When a file can't be moved or removed; then the new key stays.
pub(crate) fn undo_renewal(path: &Path, there: Option<DeviceId>) -> Result<(), RecordError> {
    match there {
        Some(old) => fs::rename(kept(path, old), path),
        None => fs::remove_file(path),
    }
    .map_err(RecordError::file("put back", path))
}

fn kept(path: &Path, old: DeviceId) -> std::path::PathBuf {
    path.with_file_name(format!("device-{old}.key"))
}

fn secret() -> Result<[u8; 32], RecordError> {
    let mut secret = [0; 32];
    getrandom::fill(&mut secret).map_err(|e| RecordError::Randomness(e.to_string()))?;
    Ok(secret)
}

fn create(path: &Path) -> Result<FileKey, RecordError> {
    let secret = secret()?;
    let fresh = path.with_extension("new");
    let mut file = private_file(&fresh).map_err(RecordError::file("create", &fresh))?;
    file.write_all(HEXLOWER.encode(&secret).as_bytes())
        .and_then(|()| file.sync_all())
        .map_err(RecordError::file("write", &fresh))?;
    fs::rename(&fresh, path).map_err(RecordError::file("name", path))?;
    if let Some(dir) = path.parent() {
        sync_dir(dir)?;
    }
    FileKey::from_secret(&secret)
}

#[cfg(unix)]
fn private_file(path: &Path) -> std::io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt as _;
    OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .mode(0o600)
        .open(path)
}

#[cfg(not(unix))]
fn private_file(path: &Path) -> std::io::Result<File> {
    OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .open(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 8032 section 7.1, tests 1 to 3: secret key, public key, message, signature.
    const RFC_8032: [[&str; 4]; 3] = [
        [
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            "",
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
        ],
        [
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            "72",
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
        ],
        [
            "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
            "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
            "af82",
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
        ],
    ];

    #[test]
    fn signatures_match_rfc_8032() {
        for [secret, public, message, signature] in RFC_8032 {
            let secret: [u8; 32] = HEXLOWER
                .decode(secret.as_bytes())
                .unwrap()
                .try_into()
                .unwrap();
            let message = HEXLOWER.decode(message.as_bytes()).unwrap();
            let key = FileKey::from_secret(&secret).unwrap();
            assert_eq!(String::from(key.public()), public);
            assert_eq!(key.sign("", &message), signature);
            assert!(key.public().accepts("", &message, signature.as_bytes()));
            assert!(!key.public().accepts("x", &message, signature.as_bytes()));
        }
    }

    #[test]
    fn weak_keys_are_refused() {
        assert!(PublicKey::from_bytes(&[0; 32]).is_err());
        let mut one = [0; 32];
        one[0] = 1;
        assert!(PublicKey::from_bytes(&one).is_err());
    }

    #[test]
    fn a_key_file_is_private_and_read_back() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("device.key");
        let made = FileKey::open_or_create(&path).unwrap().public();
        assert_eq!(FileKey::open_or_create(&path).unwrap().public(), made);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = fs::metadata(&path).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
        fs::write(&path, "not a key").unwrap();
        assert!(FileKey::open_or_create(&path).is_err());
    }
}
