//! The object folder: hashes by published vectors, nothing replaced, nothing damaged handed out.

use crate::photos::{
    Object, PhotoError, find, read, sha256_hex, store, store_batch, sweep_temporary,
};
use std::fs;

/// FIPS 180-4 / NIST "Cryptographic Standards and Guidelines, Examples with Intermediate Values",
/// SHA-256: one block "abc", two blocks of 448 bits, and one million times "a".
#[test]
fn fips_180_4_vectors() {
    assert_eq!(
        sha256_hex(b"abc"),
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
    assert_eq!(
        sha256_hex(b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    );
    assert_eq!(
        sha256_hex(&vec![b'a'; 1_000_000]),
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
    );
}

#[test]
fn an_object_lies_under_its_hash_and_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let photos = folder.path().join("photos");
    let stored = store(&photos, b"abc", "jpg").unwrap();
    assert!(stored.new);
    assert_eq!(
        stored.path,
        photos.join("ba").join(format!("{}.jpg", stored.sha256))
    );
    assert_eq!(read(&photos, &stored.sha256).unwrap(), b"abc");
    assert_eq!(
        find(&photos, &stored.sha256).unwrap(),
        Some(stored.path.clone())
    );
    assert_eq!(
        fs::read_dir(photos.join("tmp")).unwrap().count(),
        0,
        "nothing half-written stays"
    );
    let again = store(&photos, b"abc", "jpg").unwrap();
    assert!(!again.new);
    assert_eq!(again.path, stored.path);
}

#[test]
fn equal_bytes_under_another_ending_are_one_object() {
    let folder = tempfile::tempdir().unwrap();
    let first = store(folder.path(), b"abc", "dwg").unwrap();
    let second = store(folder.path(), b"abc", "bin").unwrap();
    assert!(!second.new);
    assert_eq!(second.path, first.path);
    assert_eq!(read(folder.path(), &first.sha256).unwrap(), b"abc");
}

#[test]
fn a_batch_answers_in_order_and_stores_equal_objects_once() {
    let folder = tempfile::tempdir().unwrap();
    let objects: Vec<Object<'_>> = [b"one".as_slice(), b"two", b"one", b""]
        .into_iter()
        .map(|bytes| Object {
            bytes,
            extension: "jpg",
        })
        .collect();
    let stored = store_batch(folder.path(), &objects).unwrap();
    let new: Vec<bool> = stored.iter().map(|stored| stored.new).collect();
    assert_eq!(new, [true, true, false, true]);
    for (stored, object) in stored.iter().zip(&objects) {
        assert_eq!(read(folder.path(), &stored.sha256).unwrap(), object.bytes);
    }
}

#[test]
fn damaged_bytes_are_never_handed_out_and_are_set_aside_by_the_next_store() {
    let folder = tempfile::tempdir().unwrap();
    let stored = store(folder.path(), b"the picture", "jpg").unwrap();
    fs::write(&stored.path, b"the pictura").unwrap();
    let error = read(folder.path(), &stored.sha256).unwrap_err();
    assert!(matches!(error, PhotoError::Damaged { .. }), "{error}");
    assert!(error.to_string().contains("again"), "{error}");
    let healed = store(folder.path(), b"the picture", "jpg").unwrap();
    assert_eq!(read(folder.path(), &stored.sha256).unwrap(), b"the picture");
    assert_eq!(fs::read(healed.set_aside.unwrap()).unwrap(), b"the pictura");
}

#[test]
fn hashes_and_endings_are_checked_before_any_path_is_made() {
    let folder = tempfile::tempdir().unwrap();
    for hash in [
        "",
        "../../etc",
        "ABC",
        &"A".repeat(64),
        &"é".repeat(32),
        &"0".repeat(63),
    ] {
        let error = read(folder.path(), hash).unwrap_err();
        assert!(
            matches!(error, PhotoError::BadHash { .. }),
            "{hash}: {error}"
        );
    }
    for ending in ["", "JPG", "a/b", "..", "tar.gz", "ninechars"] {
        let error = store(folder.path(), b"x", ending).unwrap_err();
        assert!(
            matches!(error, PhotoError::BadExtension { .. }),
            "{ending}: {error}"
        );
    }
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        0,
        "nothing was written"
    );
    let missing = read(folder.path(), &sha256_hex(b"never stored")).unwrap_err();
    assert!(matches!(missing, PhotoError::Missing { .. }), "{missing}");
}

#[test]
fn what_a_killed_process_left_is_swept_and_kept_objects_are_not() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(sweep_temporary(folder.path()).unwrap(), 0);
    let stored = store(folder.path(), b"abc", "jpg").unwrap();
    fs::write(folder.path().join("tmp").join("half"), b"ab").unwrap();
    assert_eq!(sweep_temporary(folder.path()).unwrap(), 1);
    assert_eq!(read(folder.path(), &stored.sha256).unwrap(), b"abc");
}

#[cfg(unix)]
#[test]
fn a_link_or_folder_in_an_objects_place_is_neither_read_nor_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let secret = folder.path().join("secret");
    fs::write(&secret, b"abc").unwrap();
    let hash = sha256_hex(b"abc");
    let photos = folder.path().join("photos");
    let place = photos.join("ba").join(format!("{hash}.jpg"));
    fs::create_dir_all(photos.join("ba")).unwrap();
    std::os::unix::fs::symlink(&secret, &place).unwrap();
    assert!(matches!(
        read(&photos, &hash).unwrap_err(),
        PhotoError::Missing { .. }
    ));
    let error = store(&photos, b"abc", "jpg").unwrap_err();
    assert!(
        matches!(
            error,
            PhotoError::File {
                operation: "name",
                ..
            }
        ),
        "{error}"
    );
    assert_eq!(fs::read_dir(photos.join("tmp")).unwrap().count(), 0);
    fs::remove_file(&place).unwrap();
    fs::create_dir(&place).unwrap();
    assert!(store(&photos, b"abc", "jpg").is_err());
    assert_eq!(fs::read(&secret).unwrap(), b"abc");
}

#[test]
fn a_folder_that_can_not_be_made_is_named_in_the_error() {
    let folder = tempfile::tempdir().unwrap();
    let photos = folder.path().join("photos");
    fs::write(&photos, b"a file where the folder should be").unwrap();
    let message = store(&photos, b"abc", "jpg").unwrap_err().to_string();
    assert!(
        message.contains("could not") && message.contains("photos"),
        "{message}"
    );
}
