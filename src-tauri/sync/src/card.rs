//! Device cards: the public key and first name with which a device asks to join.
//!
//! Invariant: a card that reads is signed by the key in it, and its device's id follows from that
//! key. A card proves nothing more: who belongs is said by the crew's book alone.

use records::ids::{DeviceId, PersonId};
use records::keys::{PublicKey, Signer};
use records::{RecordError, canonical};
use serde_json::{Map, Value, json};

use crate::error::SyncError;
use crate::name;
use crate::store::SharedStore;

/// What the signature covers before the card's canonical JSON without the signature.
const DOMAIN: &str = "tautbook-device-1\n";
const FORMAT: u64 = 1;
const MAX_CARD: u64 = 16 << 10;
const LONGEST_NAME: usize = 80;

/// A device as its card tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Its id.
    pub device: DeviceId,
    /// Its public key.
    pub key: PublicKey,
    /// First name of the person, as typed there.
    pub name: String,
    /// The person's id, where the device has one already.
    pub person: Option<PersonId>,
}

/// Reads a device's card.
///
/// Errors: `NotFound`; `Newer`; `Permanent` if it is not signed by its key or is another device's.
pub fn read_card(store: &dyn SharedStore, device: &DeviceId) -> Result<Card, SyncError> {
    let path = name::device_path(&device.to_string());
    let bytes = store.get(&path, MAX_CARD)?;
    let refuse = |reason: &str| SyncError::permanent("reading a device card", &path, reason);
    let value: Value = serde_json::from_slice(&bytes)
        .map_err(|_| refuse("it is not all there, or no device card"))?;
    if value
        .get("format")
        .and_then(Value::as_u64)
        .is_some_and(|format| format > FORMAT)
    {
        return Err(SyncError::Newer);
    }
    parse(value)
        .filter(|card| card.device == *device)
        .ok_or_else(|| refuse("it is not signed by its own device, and was not used"))
}

/// This device's card: where it lies and its bytes.
pub(crate) fn make_card(
    signer: &dyn Signer,
    name: &str,
    person: Option<PersonId>,
) -> Result<(String, Vec<u8>), SyncError> {
    let device = signer.public().device();
    let name: String = name.chars().take(LONGEST_NAME).collect();
    let mut card = json!({
        "format": FORMAT,
        "device": device,
        "key": signer.public(),
        "name": name,
    });
    if let (Some(person), Some(fields)) = (person, card.as_object_mut()) {
        fields.insert("person".into(), Value::String(person.to_string()));
    }
    let signature = signer.sign(DOMAIN, &canonical::encode(&card)?);
    if let Some(fields) = card.as_object_mut() {
        fields.insert("signature".into(), Value::String(signature));
    }
    let mut bytes = canonical::encode(&card)?;
    bytes.push(b'\n');
    Ok((name::device_path(&device.to_string()), bytes))
}

fn parse(value: Value) -> Option<Card> {
    let Value::Object(mut fields) = value else {
        return None;
    };
    let signature = text(&fields, "signature")?;
    fields.remove("signature");
    let key = PublicKey::try_from(text(&fields, "key")?).ok()?;
    let device: DeviceId = text(&fields, "device")?.parse().ok()?;
    let name = text(&fields, "name")?;
    let person = text(&fields, "person").and_then(|id| id.parse().ok());
    let body: Result<Vec<u8>, RecordError> = canonical::encode(&fields);
    (key.device() == device && key.accepts(DOMAIN, &body.ok()?, signature.as_bytes())).then(|| {
        Card {
            device,
            key,
            name: records::photos::visible(&name, LONGEST_NAME),
            person,
        }
    })
}

fn text(fields: &Map<String, Value>, name: &str) -> Option<String> {
    fields.get(name)?.as_str().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Put;
    use crate::testing::MemoryStore;
    use records::keys::FileKey;

    fn put(store: &MemoryStore, signer: &dyn Signer, name: &str) -> Put {
        let (path, bytes) = make_card(signer, name, None).unwrap();
        store.put_new(&path, &bytes).unwrap()
    }

    fn key(secret: u8) -> FileKey {
        FileKey::from_secret(&[secret; 32]).unwrap()
    }

    #[test]
    fn a_card_reads_back_and_is_written_once() {
        let store = MemoryStore::default();
        let ann = key(1);
        assert_eq!(put(&store, &ann, "Ann"), Put::Created);
        assert_eq!(put(&store, &ann, "Ann"), Put::AlreadyThere);
        assert_eq!(put(&store, &ann, "Anna"), Put::Different);
        let card = read_card(&store, &ann.public().device()).unwrap();
        assert_eq!((card.name.as_str(), card.key), ("Ann", ann.public()));
        assert!(
            read_card(&store, &key(2).public().device())
                .unwrap_err()
                .is_not_found()
        );
    }

    #[test]
    fn a_changed_card_does_not_read() {
        let ann = key(1);
        let device = ann.public().device();
        let path = name::device_path(&device.to_string());
        let written = MemoryStore::default();
        put(&written, &ann, "Ann");
        let good = String::from_utf8(written.get(&path, MAX_CARD).unwrap()).unwrap();
        let other = key(2).public();
        for (changed, newer) in [
            (good.replace("Ann", "Eve"), false),
            (
                good.replace(&String::from(ann.public()), &String::from(other)),
                false,
            ),
            (
                good.replace(&device.to_string(), &other.device().to_string()),
                false,
            ),
            (good.chars().take(50).collect(), false),
            (String::new(), false),
            ("{}".to_owned(), false),
            ("[1]".to_owned(), false),
            (good.replace("\"format\":1", "\"format\":2"), true),
        ] {
            let store = MemoryStore::default();
            store.place(&path, changed.as_bytes());
            let error = read_card(&store, &device).unwrap_err();
            assert_eq!(matches!(error, SyncError::Newer), newer, "{changed}");
        }
    }
}
