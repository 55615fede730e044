//! The generator against its own promises.

use super::{PhotoOrder, SCENES, exif_block::Angle, fixtures, photos};
use std::{collections::BTreeSet, fs, path::Path};

fn small(count: u32) -> PhotoOrder {
    PhotoOrder {
        count,
        width_px: 240,
        height_px: 180,
        ..PhotoOrder::demo()
    }
}

/// A folder of this test's own, emptied first.
fn folder(name: &str) -> std::path::PathBuf {
    let path = std::env::temp_dir().join(format!("tautbook-gen-{}-{name}", std::process::id()));
    drop(fs::remove_dir_all(&path));
    path
}

#[test]
fn scenes_have_distinct_keys_and_captions_and_all_eight_orientations() {
    let keys: BTreeSet<_> = SCENES.iter().map(|scene| scene.key).collect();
    let captions: BTreeSet<_> = SCENES.iter().map(|scene| scene.caption).collect();
    let turns: BTreeSet<_> = SCENES.iter().map(|scene| scene.orientation).collect();
    assert_eq!(keys.len(), SCENES.len());
    assert_eq!(captions.len(), SCENES.len());
    assert_eq!(turns, (1..=8).collect());
    assert!(
        SCENES.windows(2).all(|pair| pair[0].taken < pair[1].taken),
        "in the order of the job"
    );
}

#[test]
fn equal_orders_give_equal_bytes() {
    let (one, two) = (folder("one"), folder("two"));
    let count = SCENES.len() as u32 + 6;
    let list = photos(&one, &small(count)).unwrap();
    assert_eq!(list.len(), count as usize);
    assert_eq!(photos(&two, &small(count)).unwrap(), list);
    for listed in &list {
        let bytes = |folder: &Path| fs::read(folder.join(&listed.file)).unwrap();
        assert_eq!(bytes(&one), bytes(&two), "{}", listed.file);
    }
    fs::remove_dir_all(one).unwrap();
    fs::remove_dir_all(two).unwrap();
}

/// The benchmark's order but for its size, which only costs time here; the benchmark itself looks at
/// the large ones when it has taken them in.
#[test]
fn the_pictures_of_the_benchmark_all_differ_and_carry_their_exif() {
    let made = folder("bench");
    let order = PhotoOrder {
        width_px: 80,
        height_px: 60,
        ..PhotoOrder::bench(crate::bench::PICTURES)
    };
    let list = photos(&made, &order).unwrap();
    let (mut bytes_seen, mut pixels_seen) = (BTreeSet::new(), BTreeSet::new());
    for listed in &list {
        let bytes = fs::read(made.join(&listed.file)).unwrap();
        let block = app1(&bytes).unwrap_or_else(|| panic!("{} has no EXIF", listed.file));
        assert_eq!(&block[..6], b"Exif\0\0", "{}", listed.file);
        let taken = listed.taken_local.replacen('T', " ", 1).replace('-', ":");
        for text in [taken.as_str(), "+11:00", "S\0", "E\0"] {
            let there = block.windows(text.len()).any(|w| w == text.as_bytes());
            assert!(there, "{}: {text:?} is not in its EXIF", listed.file);
        }
        // More than the numbers in its EXIF tells one from another.
        pixels_seen.insert(
            image::load_from_memory(&bytes)
                .unwrap()
                .into_rgb8()
                .into_raw(),
        );
        bytes_seen.insert(bytes);
    }
    let count = crate::bench::PICTURES as usize;
    assert_eq!(
        (list.len(), bytes_seen.len(), pixels_seen.len()),
        (count, count, count)
    );
    fs::remove_dir_all(made).unwrap();
}

/// What stands in a JPEG's APP1 segment: segments of marker and length follow the start mark.
fn app1(jpeg: &[u8]) -> Option<&[u8]> {
    let mut rest = jpeg.strip_prefix(&[0xFF, 0xD8])?;
    while let [0xFF, mark, high, low, ..] = *rest {
        let length = usize::from(u16::from_be_bytes([high, low]));
        if mark == 0xE1 {
            return rest.get(4..2 + length);
        }
        rest = rest.get(2 + length..)?;
    }
    None
}

/// Pixels may differ by rounding between processors; structure and EXIF may not.
#[test]
fn committed_fixtures_are_what_the_generator_makes() {
    let committed = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/photos");
    let made = fixtures::all().unwrap();
    let mut names: BTreeSet<String> = made.iter().map(|(name, _)| name.clone()).collect();
    for (name, bytes) in &made {
        let kept = fs::read(committed.join(name)).unwrap();
        if !name.starts_with("orientation-") {
            continue;
        }
        let scan = |jpeg: &[u8]| {
            jpeg.windows(2)
                .position(|pair| pair == [0xFF, 0xDA])
                .unwrap()
        };
        assert_eq!(kept[..scan(&kept)], bytes[..scan(bytes)], "{name}");
        let (kept, made) = (
            image::load_from_memory(&kept).unwrap().into_rgb8(),
            image::load_from_memory(bytes).unwrap().into_rgb8(),
        );
        assert_eq!(kept.dimensions(), made.dimensions(), "{name}");
        let off: u64 = kept
            .iter()
            .zip(made.iter())
            .map(|(a, b)| u64::from(a.abs_diff(*b)))
            .sum();
        assert!(
            off <= kept.len() as u64,
            "{name}: more than one step a channel"
        );
    }
    names.insert("README.md".to_owned());
    let there: BTreeSet<String> = fs::read_dir(&committed)
        .unwrap()
        .map(|item| item.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(there, names);
}

#[test]
fn angles_keep_a_ten_millionth_of_a_degree() {
    for e7 in [
        0,
        1,
        -1,
        400_001_235,
        -400_001_235,
        899_999_999,
        1_799_999_999,
        59,
        599_999_999,
    ] {
        let angle = Angle::from_e7(e7, 'N', 'S');
        let [degrees, minutes, seconds] = angle.parts.map(|(n, d)| f64::from(n) / f64::from(d));
        assert!(minutes < 60.0 && seconds < 60.0);
        let back = ((degrees + minutes / 60.0 + seconds / 3600.0) * 1e7).round() as i64;
        assert_eq!(if angle.letter == 'S' { -back } else { back }, e7);
    }
}
