//! What `inspect` and `prepare` say of good, odd, wrong and hostile files.

use super::fixture;
use crate::photos::{
    ExifField, NoPreview, PhotoError, PictureKind, Preview, inspect, prepare, read_exif, visible,
};
use proptest::prelude::*;

#[test]
fn a_whole_picture_is_described() {
    let bytes = fixture("orientation-6.jpg");
    let seen = inspect(&bytes, "IMG_0006.JPG").unwrap();
    assert_eq!(seen.kind, PictureKind::Jpeg);
    assert_eq!(
        (seen.width_px, seen.height_px),
        (480, 640),
        "as stored, not as seen"
    );
    assert_eq!(seen.bytes, bytes.len() as u64);
    assert_eq!(seen.no_preview, None);
    assert!(seen.remarks.is_empty(), "{:?}", seen.remarks);
    assert!(seen.exif.uncertain.is_empty(), "{:?}", seen.exif.uncertain);
}

#[test]
fn a_png_named_jpg_is_taken_as_png_and_said_so() {
    let prepared = prepare(&fixture("png-named.jpg"), "png-named.jpg").unwrap();
    assert_eq!(prepared.inspected.kind, PictureKind::Png);
    assert_eq!(prepared.inspected.kind.extension(), "png");
    assert_eq!(
        prepared.inspected.remarks,
        ["png-named.jpg is a PNG picture by its content; it is kept as .png."]
    );
    let Preview::Made(derived) = prepared.preview else {
        panic!("no preview")
    };
    assert_eq!(
        (derived.view.width_px, derived.view.height_px),
        (160, 120),
        "never enlarged"
    );
}

#[test]
fn refusals_say_what_to_do() {
    let cases: &[(&str, &str, &str)] = &[
        ("zero.jpg", "0 bytes", "Copy it again"),
        ("cut.jpg", "end mark", "Copy it again"),
        ("header-only.heic", "HEIC", "Set the phone's camera to JPEG"),
    ];
    for (name, what, advice) in cases {
        let message = prepare(&fixture(name), name).unwrap_err().to_string();
        for part in [*name, what, advice, "Nothing was kept"] {
            assert!(
                message.contains(part),
                "{name}: {part:?} is not in {message:?}"
            );
        }
    }
}

#[test]
fn other_kinds_are_named_and_refused() {
    let cases: &[(&[u8], &str)] = &[
        (b"GIF89a\x01\x00", "GIF"),
        (b"RIFF\x10\0\0\0WEBPVP8 ", "WebP"),
        (b"II*\0\x08\0\0\0", "TIFF"),
        (b"%PDF-1.7\n", "PDF"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom", "video"),
        (b"\0\0\0\0\0\0\0\0\0\0\0\0\0\0", "zeros"),
        (b"hello", "no picture format"),
    ];
    for (bytes, found) in cases {
        let error = inspect(bytes, "thing.jpg").unwrap_err();
        assert!(matches!(error, PhotoError::NotAPicture { .. }), "{error}");
        assert!(error.to_string().contains(found), "{error}");
    }
    for (brand, format) in [(b"mif1", "HEIF"), (b"avif", "AVIF"), (b"heix", "HEIC")] {
        let bytes = [b"\0\0\0\x10ftyp".as_slice(), brand, b"\0\0\0\0"].concat();
        let error = inspect(&bytes, "x").unwrap_err();
        assert!(
            matches!(error, PhotoError::Heif { format: f, .. } if f == format),
            "{error}"
        );
    }
}

#[test]
fn a_header_of_30_000_by_30_000_is_kept_without_preview() {
    for name in ["huge-header.jpg", "huge-header.png"] {
        let prepared = prepare(&fixture(name), name).unwrap();
        let reason = NoPreview::TooManyPixels {
            width_px: 30_000,
            height_px: 30_000,
        };
        assert_eq!(prepared.preview, Preview::Withheld(reason), "{name}");
        assert_eq!(prepared.inspected.sha256.len(), 64);
        assert!(reason.to_string().contains("original is kept"), "{reason}");
    }
}

#[test]
fn more_than_64_mib_is_kept_without_preview() {
    let mut bytes = fixture("orientation-1.jpg");
    // Phones append a film after the picture's end mark; the picture is whole all the same.
    bytes.resize(64 * 1024 * 1024 + 1, 7);
    let prepared = prepare(&bytes, "film-behind.jpg").unwrap();
    let reason = NoPreview::TooManyBytes {
        bytes: 64 * 1024 * 1024 + 1,
    };
    assert_eq!(prepared.preview, Preview::Withheld(reason));
    assert!(
        prepared.inspected.exif.taken.is_some(),
        "EXIF is read all the same"
    );
}

#[test]
fn every_shorter_piece_of_a_picture_is_refused() {
    for name in ["no-offset.jpg", "png-named.jpg"] {
        let bytes = fixture(name);
        for length in 0..bytes.len() {
            assert!(
                prepare(&bytes[..length], name).is_err(),
                "{name} cut to {length} was taken"
            );
        }
        assert!(prepare(&bytes, name).is_ok());
    }
}

#[test]
fn nonsense_time_is_reported_and_the_picture_kept() {
    let prepared = prepare(&fixture("nonsense-time.jpg"), "t.jpg").unwrap();
    let exif = prepared.inspected.exif;
    assert_eq!(exif.taken, None);
    assert!(
        exif.position.is_some(),
        "a bad time does not cost the position"
    );
    let doubt = exif
        .uncertain
        .iter()
        .find(|doubt| doubt.field == ExifField::Time)
        .unwrap();
    assert_eq!(doubt.raw, "2026:13:45 27:61:99");
    assert!(matches!(prepared.preview, Preview::Made(_)));
}

#[test]
fn nonsense_position_is_reported_and_the_picture_kept() {
    let prepared = prepare(&fixture("nonsense-gps.jpg"), "p.jpg").unwrap();
    let exif = prepared.inspected.exif;
    assert_eq!(exif.position, None);
    assert!(
        exif.taken.is_some(),
        "a bad position does not cost the time"
    );
    let doubt = exif
        .uncertain
        .iter()
        .find(|doubt| doubt.field == ExifField::Position)
        .unwrap();
    assert_eq!(doubt.raw, "S 400/1 0/0 99/1 Q 4294967295/1 75/1 0/1");
    assert!(matches!(prepared.preview, Preview::Made(_)));
}

/// Rewrites the EXIF text `from`, wherever it stands, by one of equal length.
fn rewritten(from: &[u8], to: &[u8]) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut bytes = fixture("orientation-1.jpg");
    let at = bytes
        .windows(from.len())
        .position(|window| window == from)
        .unwrap();
    bytes[at..at + to.len()].copy_from_slice(to);
    bytes
}

#[test]
fn times_that_no_camera_can_mean_are_uncertain() {
    let cases: &[(&[u8], &str)] = &[
        (b"0000:00:00 00:00:00", "did not know"),
        (b"    :  :     :  :  ", "did not know"),
        (b"1980:01:01 00:00:12", "clock was not set"),
        (b"2226:10:06 09:11:30", "clock was not set"),
        (b"2026:02:29 09:11:30", "not a date"),
        (b"2026:10:06 24:00:00", "not a date"),
        (b"2026:10:06 23:59:60", "not a date"),
        (b"2026-10-06 09:11:30", "not a date"),
        (b"\x1b[2J\xe2\x80\xae:06 09:11:3", "not a date"),
    ];
    for (text, why) in cases {
        let mut padded = text.to_vec();
        padded.resize(19, b' ');
        let exif = read_exif(&rewritten(b"2026:10:06 09:11:30", &padded));
        assert_eq!(exif.taken, None, "{:?}", String::from_utf8_lossy(text));
        let doubt = &exif.uncertain[0];
        assert!(doubt.why.contains(why), "{doubt:?}");
        assert!(
            doubt
                .raw
                .chars()
                .all(|c| !c.is_control() && c != '\u{202e}'),
            "{doubt:?}"
        );
    }
}

#[test]
fn a_wrong_offset_costs_only_the_moment_in_utc() {
    for text in [b"+14:01", b"-12:15", b"+11:60", b"11:00 ", b"+1100 "] {
        let exif = read_exif(&rewritten(b"+11:00", text));
        let taken = exif.taken.unwrap();
        assert_eq!(taken.local, "2026-10-06T09:11:30");
        assert_eq!((taken.offset_min, taken.at_ms), (None, None));
        assert_eq!(exif.uncertain[0].field, ExifField::Offset);
    }
    for (text, minutes) in [(b"+14:00", 840), (b"-12:00", -720), (b"+05:45", 345)] {
        let exif = read_exif(&rewritten(b"+11:00", text));
        assert_eq!(exif.taken.unwrap().offset_min, Some(minutes));
    }
}

#[test]
fn hidden_characters_become_visible() {
    assert_eq!(
        visible("a\u{202e}gpj.exe\u{7}", 80),
        "a<U+202E>gpj.exe<U+0007>"
    );
    assert_eq!(visible("abcdef", 3), "abc…");
    assert_eq!(visible("Añ – 木", 80), "Añ – 木");
    let message = inspect(b"", "x\u{202e}\n.jpg").unwrap_err().to_string();
    assert!(!message.contains(['\u{202e}', '\n']), "{message:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn random_bytes_never_panic(head in 0..6_usize, tail in prop::collection::vec(any::<u8>(), 0..600)) {
        let heads: [&[u8]; 6] = [
            b"",
            b"\xFF\xD8\xFF",
            b"\x89PNG\r\n\x1A\n\0\0\0\x0DIHDR",
            b"\0\0\0\x18ftyp",
            b"\xFF\xD8\xFF\xE1\0\x80Exif\0\0MM\0*",
            b"\xFF\xD8\xFF\xE1\0\x80Exif\0\0II*\0\x08\0\0\0",
        ];
        let bytes = [heads[head], &tail].concat();
        if let Ok(prepared) = prepare(&bytes, "random") {
            prop_assert_eq!(prepared.inspected.bytes, bytes.len() as u64);
        }
    }

    #[test]
    fn damaged_pictures_never_panic(
        which in 0..4_usize,
        hits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        early in any::<bool>(),
    ) {
        let name = ["no-offset.jpg", "nonsense-gps.jpg", "png-named.jpg", "nonsense-time.jpg"][which];
        let mut bytes = fixture(name);
        let reach = if early { bytes.len().min(420) } else { bytes.len() };
        for (at, value) in hits {
            let at = at.index(reach);
            bytes[at] = value;
        }
        if let Ok(Preview::Made(derived)) = prepare(&bytes, name).map(|prepared| prepared.preview) {
            prop_assert!(derived.thumb.jpeg.len() <= crate::photos::THUMB_MAX_BYTES);
        }
    }
}
