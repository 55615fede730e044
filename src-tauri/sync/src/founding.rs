//! The two files at the top of a shared folder: whose it is, and the words for people.
//!
//! Invariant: both are written once. A folder without the first is never written into, so that a
//! drive that is not connected, or a wrong folder, gets nothing.

use serde::{Deserialize, Serialize};

use crate::error::SyncError;
use crate::name::{FOUNDING, README, is_hex, is_id};
use crate::store::{Put, SharedStore};

/// The folder's format that this program writes.
pub(crate) const FORMAT: u32 = 1;

const MAX_FOUNDING: u64 = 64 << 10;

/// Whose folder this is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Founding {
    /// The folder's format.
    pub format: u32,
    /// The folder's id, 26 characters.
    pub folder: String,
    /// The crew's book, 26 characters.
    pub book: String,
    /// Hash of the crew's founding entry, 64 hex digits.
    pub founding: String,
    /// How the content is hidden: `none`.
    pub seal: String,
}

impl Founding {
    /// Describes a new folder of a crew, with an id of its own.
    pub fn new(book: &str, founding: &str) -> Result<Self, SyncError> {
        let mut random = [0_u8; 16];
        getrandom::fill(&mut random).map_err(|error| {
            SyncError::permanent("making a shared folder", "", error.to_string())
        })?;
        let mut folder = data_encoding::BASE32_NOPAD.encode(&random);
        folder.make_ascii_lowercase();
        Ok(Self {
            format: FORMAT,
            folder,
            book: book.to_owned(),
            founding: founding.to_owned(),
            seal: "none".to_owned(),
        })
    }
}

/// Reads whose folder this is.
///
/// Errors: `NotFound` if the file is missing; `Newer` for a format or seal of a newer version;
/// `Temporary` if the file is not all there; `Permanent` if it is something else.
pub fn read_founding(store: &dyn SharedStore) -> Result<Founding, SyncError> {
    const OPERATION: &str = "reading whose folder this is";
    let bytes = store.get(FOUNDING, MAX_FOUNDING)?;
    let value: serde_json::Value = serde_json::from_slice(&bytes).map_err(|error| {
        if error.is_eof() {
            SyncError::Temporary {
                operation: OPERATION,
                path: FOUNDING.to_owned(),
                reason: "it is not all there: it is still arriving, or was cut. If it stays so, \
                         move this one file away and let whoever set up the shared folder share \
                         it again"
                    .to_owned(),
            }
        } else {
            SyncError::permanent(OPERATION, FOUNDING, "this is no file of a shared folder")
        }
    })?;
    let format = value.get("format").and_then(serde_json::Value::as_u64);
    let seal = value.get("seal").and_then(serde_json::Value::as_str);
    if format.is_some_and(|format| format > u64::from(FORMAT)) || seal.is_some_and(|s| s != "none")
    {
        return Err(SyncError::Newer);
    }
    let founding: Founding = serde_json::from_value(value)
        .map_err(|error| SyncError::permanent(OPERATION, FOUNDING, error.to_string()))?;
    if founding.format != FORMAT
        || !is_id(&founding.folder)
        || !is_id(&founding.book)
        || !is_hex(&founding.founding, 64)
    {
        let reason = "its values can't be right; ask who set up the shared folder";
        return Err(SyncError::permanent(OPERATION, FOUNDING, reason));
    }
    Ok(founding)
}

/// Makes a folder the shared folder of a crew, or finds that it is that already.
///
/// Answers with what stands in the folder. Errors: `OtherCrew` if it belongs to another one.
pub(crate) fn share(
    store: &dyn SharedStore,
    book: &str,
    founding: &str,
) -> Result<Founding, SyncError> {
    match read_founding(store) {
        Ok(there) => return same_crew(there, founding),
        Err(SyncError::NotFound { .. }) => {}
        Err(error) => return Err(error),
    }
    let new = Founding::new(book, founding)?;
    let mut bytes = serde_json::to_vec_pretty(&new)
        .map_err(|error| SyncError::permanent("sharing", FOUNDING, error.to_string()))?;
    bytes.push(b'\n');
    // A text of another version or by other hands is no reason not to share.
    let _ = store.put_new(README, README_TEXT.as_bytes())?;
    match store.put_new(FOUNDING, &bytes)? {
        Put::Created | Put::AlreadyThere => {
            store.settle()?;
            Ok(new)
        }
        Put::Different => same_crew(read_founding(store)?, founding),
    }
}

fn same_crew(there: Founding, founding: &str) -> Result<Founding, SyncError> {
    if there.founding == founding {
        Ok(there)
    } else {
        Err(SyncError::OtherCrew)
    }
}

const README_TEXT: &str = "\
This folder is the shared folder of a crew that keeps its site book with Tautbook.
The devices of the crew exchange their records and pictures through it.

Nothing in this folder is encrypted. Whoever can open it can read the records of
its jobs: addresses, names, measurements, pictures and documents.

Please change nothing here: no renaming, editing or deleting. Nothing is lost on
the devices if it happens, but a device may then miss what others recorded.
Each entry is signed by the device that made it, so a changed file is noticed
and set aside. That does not keep anybody from deleting or withholding files.

  tautbook.json   whose folder this is
  devices/        a card for each device that asked to join
  log/            what each device recorded
  photos/         pictures and documents
  tmp/            files that are still being written
";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::MemoryStore;

    const BOOK: &str = "crewaaaaaaaaaaaaaaaaaaaaaa";

    fn hash(digit: char) -> String {
        digit.to_string().repeat(64)
    }

    #[test]
    fn a_folder_is_shared_once_and_found_again() {
        let store = MemoryStore::default();
        assert!(read_founding(&store).unwrap_err().is_not_found());
        let made = share(&store, BOOK, &hash('a')).unwrap();
        assert_eq!((made.format, made.seal.as_str()), (1, "none"));
        let before = store.files();
        assert_eq!(share(&store, BOOK, &hash('a')).unwrap(), made);
        assert_eq!(read_founding(&store).unwrap(), made);
        assert_eq!(store.files(), before);
        let readme = store.get(README, 10_000).unwrap();
        assert!(
            String::from_utf8(readme)
                .unwrap()
                .contains("Nothing in this folder is encrypted")
        );
    }

    #[test]
    fn the_folder_of_another_crew_is_left_alone() {
        let store = MemoryStore::default();
        share(&store, BOOK, &hash('a')).unwrap();
        let before = store.files();
        let error = share(&store, BOOK, &hash('b')).unwrap_err();
        assert!(matches!(error, SyncError::OtherCrew), "{error}");
        assert_eq!(store.files(), before);
    }

    #[test]
    fn what_is_no_founding_file_says_what_is_wrong() {
        let good = Founding::new(BOOK, &hash('a')).unwrap();
        let good = serde_json::to_string(&good).unwrap();
        let cut: String = good.chars().take(30).collect();
        for (text, expected) in [
            (good.replace("\"format\":1", "\"format\":2"), "newer"),
            (good.replace("none", "box"), "newer"),
            (good.replace(&hash('a'), "a"), "permanent"),
            (good.replace(BOOK, "../../etc"), "permanent"),
            (good.replace("\"format\":1", "\"format\":0"), "permanent"),
            (good.replace("\"format\":1,", ""), "permanent"),
            ("[]".to_owned(), "permanent"),
            ("hello".to_owned(), "permanent"),
            (cut, "temporary"),
            (String::new(), "temporary"),
            (format!("{good}{}", " ".repeat(70_000)), "permanent"),
            (good.replace("}", ",\"more\":1}"), "ok"),
        ] {
            let store = MemoryStore::default();
            store.place(FOUNDING, text.as_bytes());
            let found = match read_founding(&store) {
                Ok(_) => "ok",
                Err(SyncError::Newer) => "newer",
                Err(SyncError::Temporary { reason, .. }) => {
                    assert!(reason.contains("move this one file away"), "{reason}");
                    "temporary"
                }
                Err(SyncError::Permanent { .. }) => "permanent",
                Err(other) => panic!("{other}"),
            };
            assert_eq!(found, expected, "{text:.80}");
        }
    }

    #[test]
    fn two_who_share_at_once_agree() {
        let store = MemoryStore::default();
        let both: Vec<Founding> = std::thread::scope(|scope| {
            let threads: Vec<_> = (0..2)
                .map(|_| scope.spawn(|| share(&store, BOOK, &hash('a')).unwrap()))
                .collect();
            threads
                .into_iter()
                .map(|thread| thread.join().unwrap())
                .collect()
        });
        assert_eq!(both[0], both[1]);
        assert_eq!(read_founding(&store).unwrap(), both[0]);
    }
}
