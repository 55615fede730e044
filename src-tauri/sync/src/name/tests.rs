//! Names, good and bad.

use super::*;
use proptest::prelude::*;

const DEVICE: &str = "abcdefghijklmnopqrstuvwxy2";
const BOOK: &str = "b2345672345672345672345672";
const HASH: &str = "0123456789abcdef0123456789abcdef";

fn name(no: u32) -> SegmentName {
    SegmentName {
        device: DEVICE.into(),
        no,
        book: BOOK.into(),
        hash: HASH.into(),
    }
}

#[test]
fn segment_path_is_the_binding_form() {
    assert_eq!(
        name(65).path(),
        format!("log/{DEVICE}/000001/00000065-{BOOK}-{HASH}.seg")
    );
    assert!(
        name(63)
            .path()
            .starts_with(&format!("log/{DEVICE}/000000/00000063-"))
    );
}

#[test]
fn what_is_not_exactly_a_segment_name_is_none() {
    let good = name(7).file();
    assert_eq!(SegmentName::parse(DEVICE, &good), Some(name(7)));
    for (bad, why) in [
        (good.to_uppercase(), "upper case"),
        (
            good.replace(".seg", ".sync-conflict-20260101-120000-ABCDEFG.seg"),
            "conflict copy",
        ),
        (good.replace(".seg", ".seg.tmp"), "two extensions"),
        (good.replace(".seg", ".json"), "extension"),
        (good.replace("00000007", "7"), "short number"),
        (good.replace("00000007", "00000000"), "number zero"),
        (good.replace("00000007", "+0000007"), "sign in number"),
        (good.replace('-', "--"), "doubled hyphen"),
        (
            good.replace(HASH, HASH.trim_start_matches('0')),
            "short hash",
        ),
        (
            good.replace(BOOK, "B2345672345672345672345672"),
            "book in upper case",
        ),
        (
            good.replace(BOOK, "b1345672345672345672345672"),
            "1 is not base32",
        ),
        (String::new(), "empty"),
        ("ä".repeat(40), "not ASCII"),
    ] {
        assert_eq!(SegmentName::parse(DEVICE, &bad), None, "{why}: {bad}");
    }
    assert_eq!(SegmentName::parse("short", &good), None);
}

#[test]
fn copies_are_known_for_what_they_are_copies_of() {
    let good = name(7).file();
    for copy in [
        good.to_uppercase(),
        good.replace(".seg", ".sync-conflict-20260101-120000-ABCDEFG.seg"),
        good.replace(".seg", " (ben's conflicted copy).seg"),
        good.replace(".seg", ".seg.orig"),
    ] {
        assert_eq!(
            SegmentName::parse_copy(DEVICE, &copy),
            Some(name(7)),
            "{copy}"
        );
    }
    for other in [
        good.clone(),
        good.replace(".seg", "0.seg"),
        "notes.seg".into(),
        "ä.seg".into(),
    ] {
        assert_eq!(SegmentName::parse_copy(DEVICE, &other), None, "{other}");
    }
    let repair = name(7).repair_path(2);
    assert!(is_writable(&repair));
    let repair = repair.rsplit('/').next().unwrap();
    assert_eq!(SegmentName::parse_copy(DEVICE, repair), Some(name(7)));
    let object = "ab".repeat(32);
    let repair = ObjectName {
        sha256: object.clone(),
        extension: "jpg".into(),
    }
    .repair_path(2);
    assert!(is_writable(&repair));
    let repair = repair.rsplit('/').next().unwrap();
    assert_eq!(ObjectName::parse_copy(repair), Some(object.clone()));
    assert_eq!(
        ObjectName::parse_copy(&format!("{object}.JPG")),
        Some(object.clone())
    );
    assert_eq!(ObjectName::parse_copy(&format!("{object}.jpg")), None);
    assert_eq!(ObjectName::parse_copy(&format!("{object}0.jpg")), None);
}

#[test]
fn names_that_may_be_written() {
    for good in [
        README,
        FOUNDING,
        "tmp/abc-12",
        "photos/ab/cd.jpg",
        "log/a/000000/b-c.seg",
    ] {
        assert!(is_writable(good), "{good}");
    }
    let long = format!("{}.seg", "a".repeat(96));
    let longest = format!("{}.seg", "a".repeat(95));
    assert!(is_writable(&longest));
    for bad in [
        "",
        "/",
        "a//b",
        "../a",
        "a/..",
        ".",
        ".a",
        "a.",
        "a.b.c",
        "Upper.seg",
        "a b",
        "ä",
        "a\\b",
        "c:a",
        "a\0",
        "a\n",
        "readme.TXT",
        "a/b/c/d/e",
        &long,
    ] {
        assert!(!is_writable(bad), "{bad:?}");
    }
}

#[test]
fn names_that_may_be_read() {
    for good in ["a", "A b.ü", "x.sync-conflict-1.seg", "log/a/b/c"] {
        assert!(is_readable(good), "{good}");
    }
    for bad in [
        "", "/a", "a/", "a//b", "../a", "a/../b", ".", "a\\b", "c:b", "a\0b", "a\tb",
    ] {
        assert!(!is_readable(bad), "{bad:?}");
    }
}

#[test]
fn shards_hold_64_numbers() {
    assert_eq!(numbers_of(0), 1..=63);
    assert_eq!(numbers_of(1), 64..=127);
    assert_eq!(parse_shard("000001"), Some(1));
    for bad in ["1", "0000001", "00000a", "-00001", "+00001"] {
        assert_eq!(parse_shard(bad), None, "{bad}");
    }
}

#[test]
fn device_cards_and_objects() {
    assert_eq!(parse_device(&format!("{DEVICE}.json")), Some(DEVICE));
    assert_eq!(parse_device("x.json"), None);
    let object = ObjectName {
        sha256: "ab".repeat(32),
        extension: "jpg".into(),
    };
    let path = object.path();
    assert_eq!(path, format!("photos/ab/{}.jpg", "ab".repeat(32)));
    assert_eq!(
        ObjectName::parse(path.rsplit('/').next().unwrap()),
        Some(object)
    );
    assert_eq!(ObjectName::parse("ab.jpg"), None);
    assert_eq!(ObjectName::parse(&format!("{}.", "ab".repeat(32))), None);
}

proptest! {
    #[test]
    fn names_come_back_equal(
        device in "[a-z2-7]{26}", book in "[a-z2-7]{26}", hash in "[0-9a-f]{32}",
        no in 1..=LAST_NO,
    ) {
        let name = SegmentName { device: device.clone(), no, book, hash };
        prop_assert!(is_writable(&name.path()));
        prop_assert!(numbers_of(shard_of(no)).contains(&no));
        prop_assert_eq!(SegmentName::parse(&device, &name.file()), Some(name));
    }

    #[test]
    fn any_text_is_read_without_a_panic(text in "\\PC{0,120}") {
        let _ = (SegmentName::parse(DEVICE, &text), SegmentName::parse_copy(DEVICE, &text));
        let _ = (ObjectName::parse(&text), ObjectName::parse_copy(&text));
        prop_assert!(!is_writable(&text) || is_readable(&text));
    }
}
