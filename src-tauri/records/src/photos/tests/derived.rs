//! View and thumb: upright, small, free of metadata.

use super::fixture;
use crate::photos::{Derived, PictureKind, Preview, THUMB_MAX_BYTES, derive, prepare, read_exif};
use image::{ImageEncoder, RgbImage, codecs::jpeg::JpegEncoder, codecs::png::PngEncoder};

fn made(bytes: &[u8]) -> Derived {
    match prepare(bytes, "x.jpg").unwrap().preview {
        Preview::Made(derived) => derived,
        Preview::Withheld(reason) => panic!("{reason}"),
    }
}

fn decoded(jpeg: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(jpeg, image::ImageFormat::Jpeg)
        .unwrap()
        .into_rgb8()
}

fn noise(width: u32, height: u32) -> RgbImage {
    let mut dice = 0x9E37_79B9_u32;
    RgbImage::from_fn(width, height, |_, _| {
        image::Rgb([0; 3].map(|_: u8| {
            dice = dice.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (dice >> 24) as u8
        }))
    })
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut out = Vec::new();
    PngEncoder::new(&mut out)
        .write_image(
            picture,
            picture.width(),
            picture.height(),
            image::ExtendedColorType::Rgb8,
        )
        .unwrap();
    out
}

/// The fixtures are stored by the wording of the Exif standard (which visual side the first row
/// and column are), so equal corners here mean that the turn follows the standard.
#[test]
fn all_eight_orientations_come_out_upright() {
    let corners = [
        ("upper left, red", 0.1, 0.1, [210, 30, 30]),
        ("upper right, green", 0.9, 0.1, [30, 170, 50]),
        ("lower left, blue", 0.1, 0.9, [40, 60, 210]),
        ("lower right, yellow", 0.9, 0.9, [230, 210, 40]),
    ];
    for orientation in 1..=8 {
        let derived = made(&fixture(&format!("orientation-{orientation}.jpg")));
        assert_eq!((derived.view.width_px, derived.view.height_px), (640, 480));
        assert_eq!(
            (derived.thumb.width_px, derived.thumb.height_px),
            (320, 240)
        );
        for picture in [&derived.view, &derived.thumb] {
            let pixels = decoded(&picture.jpeg);
            assert_eq!(pixels.dimensions(), (picture.width_px, picture.height_px));
            for (corner, x, y, colour) in corners {
                let x = (x * f64::from(pixels.width())) as u32;
                let y = (y * f64::from(pixels.height())) as u32;
                let seen = pixels.get_pixel(x, y).0;
                let off = seen
                    .iter()
                    .zip(colour)
                    .map(|(a, b)| a.abs_diff(b))
                    .max()
                    .unwrap();
                assert!(off < 24, "orientation {orientation}, {corner}: {seen:?}");
            }
        }
    }
}

#[test]
fn sizes_and_length_stay_within_their_limits() {
    let picture = noise(3000, 1500);
    let derived = made(&png(&picture));
    assert_eq!(
        (derived.view.width_px, derived.view.height_px),
        (2048, 1024)
    );
    assert_eq!(derived.thumb.width_px.max(derived.thumb.height_px), 320);
    assert!(
        derived.thumb.jpeg.len() <= THUMB_MAX_BYTES,
        "{}",
        derived.thumb.jpeg.len()
    );
    let strip = made(&png(&noise(5000, 2)));
    assert_eq!((strip.view.width_px, strip.view.height_px), (2048, 1));
    assert_eq!((strip.thumb.width_px, strip.thumb.height_px), (320, 1));
    let dot = made(&png(&noise(1, 1)));
    assert_eq!((dot.view.width_px, dot.view.height_px), (1, 1));
}

#[test]
fn a_thumb_of_pure_noise_is_made_worse_until_it_fits() {
    let picture = noise(320, 320);
    let derived = made(&png(&picture));
    assert!(
        derived.thumb.jpeg.len() <= THUMB_MAX_BYTES,
        "{}",
        derived.thumb.jpeg.len()
    );
    let mut best = Vec::new();
    JpegEncoder::new_with_quality(&mut best, 80)
        .encode_image(&picture)
        .unwrap();
    assert!(
        best.len() > THUMB_MAX_BYTES,
        "the case must need a lower quality: {}",
        best.len()
    );
}

#[test]
fn derived_pictures_carry_no_metadata() {
    let derived = made(&fixture("orientation-6.jpg"));
    for jpeg in [&derived.view.jpeg, &derived.thumb.jpeg] {
        let exif = read_exif(jpeg);
        assert_eq!(
            (exif.orientation, exif.taken, exif.position),
            (1, None, None)
        );
        assert_eq!(
            segments(jpeg)
                .iter()
                .filter(|m| matches!(m, 0xE1..=0xEF | 0xFE))
                .count(),
            0
        );
        assert!(!jpeg.windows(8).any(|window| window == b"Tautbook"));
    }
    let original = segments(&fixture("orientation-6.jpg"));
    assert!(
        original.contains(&0xE1),
        "the original has EXIF, so the count above can fail"
    );
}

/// Markers before the first scan.
fn segments(jpeg: &[u8]) -> Vec<u8> {
    let (mut at, mut markers) = (2, Vec::new());
    while jpeg[at + 1] != 0xDA {
        markers.push(jpeg[at + 1]);
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
    markers
}

#[test]
fn transparent_parts_become_white_and_grey_pictures_are_read() {
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes)
        .write_image(
            &[10, 20, 30, 0].repeat(64),
            8,
            8,
            image::ExtendedColorType::Rgba8,
        )
        .unwrap();
    let seen = decoded(&made(&bytes).view.jpeg).get_pixel(4, 4).0;
    assert!(seen.iter().all(|c| *c > 250), "{seen:?}");
    let mut bytes = Vec::new();
    PngEncoder::new(&mut bytes)
        .write_image(
            &[0x80, 0x80].repeat(64),
            8,
            8,
            image::ExtendedColorType::L16,
        )
        .unwrap();
    let seen = decoded(&made(&bytes).view.jpeg).get_pixel(4, 4).0;
    assert!(seen.iter().all(|c| c.abs_diff(128) < 4), "{seen:?}");
}

#[test]
fn a_wrong_orientation_counts_as_upright() {
    let bytes = fixture("orientation-1.jpg");
    let one = derive(&bytes, "x", PictureKind::Jpeg, 1).unwrap();
    for orientation in [0, 9, 255] {
        assert_eq!(
            derive(&bytes, "x", PictureKind::Jpeg, orientation).unwrap(),
            one
        );
    }
}
