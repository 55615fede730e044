//! The signature over a handover's sums, by which all of its files are the making device's.
//!
//! Sums alone can be written anew by whoever changes a file; the signature can't. It lies beside
//! the sums and is not in them, so that they still check by themselves.

use records::crew::Crew;
use records::ids::DeviceId;
use serde::{Deserialize, Serialize};

use crate::source::Sign;

/// Name of the file with the signature.
pub(crate) const SIGNATURE: &str = "SHA256SUMS.sig";

/// What the signature covers before the bytes of the sums.
const DOMAIN: &str = "tautbook-handover-1\n";

/// By which device, and its signature as 128 hex digits.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
struct Signature {
    device: DeviceId,
    signature: String,
}

/// The file's text.
pub(crate) fn text(sign: &Sign<'_>, sums: &[u8]) -> String {
    let (device, signature) = sign(DOMAIN, sums);
    format!("{{\"device\":\"{device}\",\"signature\":\"{signature}\"}}\n")
}

/// Who signed the sums.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedBy {
    /// The device.
    pub device: DeviceId,
    /// Its first person, by the name that the crew gave; the device's id where it gave none.
    pub name: String,
}

/// The device that signed the sums, if the crew has it.
///
/// # Errors
/// What is wrong, in words.
pub(crate) fn signed_by(bytes: &[u8], sums: &[u8], crew: &Crew) -> Result<SignedBy, String> {
    let told: Signature = serde_json::from_slice(bytes)
        .map_err(|_| "it is no signature: the handover was changed or damaged".to_owned())?;
    let member = crew
        .member(&told.device)
        .ok_or("it is by a device that the crew never admitted: the files are not the crew's")?;
    if member.ended.is_some() {
        return Err("it is by a device that the crew had ended".into());
    }
    if !member.key.accepts(DOMAIN, sums, told.signature.as_bytes()) {
        return Err(
            "the making device did not sign these sums: a file was changed, added or taken away \
             and the sums written anew"
                .into(),
        );
    }
    let name = member.persons.first().map(|p| p.name.clone());
    Ok(SignedBy {
        device: told.device,
        name: name.unwrap_or_else(|| told.device.to_string()),
    })
}
