//! EXIF beside exiftool, an independent reader, on the same files.
//!
//! These tests need the Debian package libimage-exiftool-perl and fail without it.

use super::{fixture, fixture_path};
use crate::photos::{Position, inspect, read_exif};
use serde_json::Value;
use std::{path::Path, process::Command};

fn exiftool(arguments: &[&str], files: &[&Path]) -> Vec<u8> {
    let output = Command::new("exiftool")
        .args(arguments)
        .args(files)
        .output()
        .unwrap_or_else(|error| {
            panic!("exiftool can't be run ({error}): install the package libimage-exiftool-perl")
        });
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    output.stdout
}

fn told(path: &Path) -> Value {
    let tags = [
        "-n",
        "-json",
        "-Orientation",
        "-DateTimeOriginal",
        "-OffsetTimeOriginal",
        "-SubSecTimeOriginal",
        "-Composite:GPSLatitude",
        "-Composite:GPSLongitude",
        "-ImageWidth",
        "-ImageHeight",
    ];
    let mut list: Value = serde_json::from_slice(&exiftool(&tags, &[path])).unwrap();
    list[0].take()
}

fn assert_same(path: &Path) {
    let bytes = std::fs::read(path).unwrap();
    let theirs = told(path);
    let ours = inspect(&bytes, "x.jpg").unwrap();
    let context = format!("{}: {theirs} beside {:?}", path.display(), ours.exif);
    assert_eq!(
        u64::from(ours.width_px),
        theirs["ImageWidth"].as_u64().unwrap(),
        "{context}"
    );
    assert_eq!(
        u64::from(ours.height_px),
        theirs["ImageHeight"].as_u64().unwrap(),
        "{context}"
    );
    assert_eq!(
        u64::from(ours.exif.orientation),
        theirs["Orientation"].as_u64().unwrap(),
        "{context}"
    );
    let taken = ours.exif.taken.as_ref().unwrap();
    let local = taken.local.replacen('-', ":", 2).replacen('T', " ", 1);
    assert_eq!(
        local,
        theirs["DateTimeOriginal"].as_str().unwrap(),
        "{context}"
    );
    let offset = taken.offset_min.map(|minutes| {
        let sign = if minutes < 0 { '-' } else { '+' };
        format!("{sign}{:02}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
    });
    assert_eq!(
        offset.as_deref(),
        theirs["OffsetTimeOriginal"].as_str(),
        "{context}"
    );
    // JSON shows a fraction without a leading zero as a number.
    let fraction = match &theirs["SubSecTimeOriginal"] {
        Value::Null => None,
        Value::String(digits) => Some(digits.clone()),
        other => Some(other.to_string()),
    };
    let fraction_ms = fraction.map(|digits| {
        let three: String = digits.chars().chain("00".chars()).take(3).collect();
        three.parse::<u16>().unwrap()
    });
    assert_eq!(taken.fraction_ms, fraction_ms, "{context}");
    let position = theirs["GPSLatitude"]
        .as_f64()
        .zip(theirs["GPSLongitude"].as_f64());
    let position = position.map(|(lat, lon)| Position {
        lat_e7: (lat * 1e7).round() as i64,
        lon_e7: (lon * 1e7).round() as i64,
    });
    assert_eq!(ours.exif.position, position, "{context}");
}

#[test]
fn all_eight_orientations_agree() {
    for orientation in 1..=8_u8 {
        let path = fixture_path(&format!("orientation-{orientation}.jpg"));
        assert_same(&path);
        assert_eq!(
            read_exif(&std::fs::read(&path).unwrap()).orientation,
            orientation
        );
    }
}

#[test]
fn a_camera_without_offset_and_position_agrees() {
    let path = fixture_path("no-offset.jpg");
    assert_same(&path);
    let exif = read_exif(&std::fs::read(&path).unwrap());
    assert_eq!(exif.taken.unwrap().at_ms, None);
    assert_eq!(exif.position, None);
}

#[test]
fn what_exiftool_writes_is_read_in_jpeg_and_png() {
    let folder = tempfile::tempdir().unwrap();
    let cases = [
        (
            "no-offset.jpg",
            "a.jpg",
            "59.9138688",
            "N",
            "10.7522454",
            "E",
            "+02:00",
            "5",
        ),
        (
            "no-offset.jpg",
            "b.jpg",
            "22.9068467",
            "S",
            "43.1728965",
            "W",
            "-03:00",
            "123456",
        ),
        (
            "png-named.jpg",
            "c.png",
            "0.0000001",
            "N",
            "179.9999999",
            "W",
            "+00:00",
            "004",
        ),
        (
            "png-named.jpg",
            "d.png",
            "89.9999999",
            "S",
            "0.5",
            "E",
            "+12:45",
            "99",
        ),
    ];
    for (from, to, lat, lat_ref, lon, lon_ref, offset, fraction) in cases {
        let path = folder.path().join(to);
        std::fs::write(&path, fixture(from)).unwrap();
        exiftool(
            &[
                "-q",
                "-overwrite_original",
                "-n",
                "-Orientation=3",
                "-DateTimeOriginal=2027:03:01 23:59:58",
                &format!("-OffsetTimeOriginal={offset}"),
                &format!("-SubSecTimeOriginal={fraction}"),
                &format!("-GPSLatitude={lat}"),
                &format!("-GPSLatitudeRef={lat_ref}"),
                &format!("-GPSLongitude={lon}"),
                &format!("-GPSLongitudeRef={lon_ref}"),
            ],
            &[&path],
        );
        assert_same(&path);
        let exif = read_exif(&std::fs::read(&path).unwrap());
        assert_eq!(exif.orientation, 3, "{to}");
        let signed = |text: &str, back: bool| {
            let e7 = (text.parse::<f64>().unwrap() * 1e7).round() as i64;
            if back { -e7 } else { e7 }
        };
        let position = Position {
            lat_e7: signed(lat, lat_ref == "S"),
            lon_e7: signed(lon, lon_ref == "W"),
        };
        assert_eq!(exif.position, Some(position), "{to}");
    }
}

#[test]
fn the_moment_in_utc_is_that_of_exiftools_epoch() {
    for orientation in 1..=8 {
        let path = fixture_path(&format!("orientation-{orientation}.jpg"));
        let told = exiftool(
            &["-s3", "-d", "%s", "-Composite:SubSecDateTimeOriginal"],
            &[&path],
        );
        let seconds: i64 = String::from_utf8(told).unwrap().trim().parse().unwrap();
        let taken = read_exif(&std::fs::read(&path).unwrap()).taken.unwrap();
        assert_eq!(
            taken.at_ms.unwrap().div_euclid(1000),
            seconds,
            "{}",
            path.display()
        );
    }
}
