//! Pictures as the record keeps them, from the project's own drawn fixtures.

use std::path::Path;

use records::entry::FileRef;
use records::ids::Hash;
use records::model::context::Shows;
use records::model::fields::*;
use records::model::values::*;
use records::photos::{Object, Preview, prepare, store_batch};
use records::subject::{ItemKind, Subject};

use super::{Site, claim, told};

/// Adds a picture as it is kept: original, view and thumb.
pub fn photo(
    site: &mut Site,
    file: &Path,
    caption: &str,
    about: &Subject,
    shows: Evidence,
) -> Hash {
    let bytes = std::fs::read(file).unwrap();
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let prepared = prepare(&bytes, &name).unwrap();
    let Preview::Made(made) = &prepared.preview else {
        panic!("no preview")
    };
    let objects = [
        Object {
            bytes: &bytes,
            extension: "jpg",
        },
        Object {
            bytes: &made.view.jpeg,
            extension: "jpg",
        },
        Object {
            bytes: &made.thumb.jpeg,
            extension: "jpg",
        },
    ];
    store_batch(&site.photos_dir(), &objects).unwrap();
    let files = objects
        .iter()
        .map(|o| FileRef {
            sha256: Hash::of(o.bytes),
            bytes: o.bytes.len() as u64,
            kind: "image/jpeg".into(),
        })
        .collect();
    let ms = site.next_taken();
    let id = site.new_item(ItemKind::Photo, files);
    let s = Subject::Item(ItemKind::Photo, id);
    site.act(vec![
        claim(PHOTO_CAPTION, &s, &caption.into()),
        claim(
            PHOTO_TAKEN,
            &s,
            &Taken {
                ms: Some(ms),
                offset_min: Some(600),
                uncertain: None,
                witness: "app".into(),
            },
        ),
        claim(
            PHOTO_POSITION,
            &s,
            &Position {
                lat_e7: -400_000_000,
                lon_e7: 1_400_000_000,
                accuracy_nm: Some(8_000_000_000),
            },
        ),
    ]);
    site.one(told(
        PHOTO_SHOWS,
        &s,
        &about.to_string(),
        &true,
        &Shows {
            evidence: shows,
            reason: None,
        },
    ));
    Hash::of(&bytes)
}

pub fn fixture(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures/photos")
        .join(name)
}
