//! The small pictures that tests read: eight ways to hold a camera, and files that are wrong.
//!
//! Every file is made here; `fixtures/photos/README.md` says what each is for.

use super::{
    GenError,
    canvas::{Canvas, Paint},
    exif_block::{Angle, ExifBlock},
    lettering, stored, write,
};
use image::{ExtendedColorType, ImageEncoder, codecs::png::PngEncoder};
use std::{fs, path::Path};

const QUALITY: u8 = 80;

/// Writes every picture fixture into `out` and returns the names.
pub(crate) fn photo_fixtures(out: &Path) -> Result<Vec<String>, GenError> {
    fs::create_dir_all(out).map_err(|source| GenError::Write {
        path: out.into(),
        source,
    })?;
    let mut names = Vec::new();
    for (name, bytes) in all()? {
        write(&out.join(&name), &bytes)?;
        names.push(name);
    }
    Ok(names)
}

/// Names and bytes of every fixture.
pub(super) fn all() -> Result<Vec<(String, Vec<u8>)>, GenError> {
    let mut files = Vec::new();
    let upright = corners(640, 480);
    for orientation in 1..=8 {
        let bytes = stored::jpeg(&upright, &block(orientation), QUALITY)?;
        files.push((format!("orientation-{orientation}.jpg"), bytes));
    }
    let plain = stored::jpeg(&upright, &block(1), QUALITY)?;
    let cut = plain.iter().take(plain.len() * 3 / 5).copied().collect();
    let small = corners(160, 120);
    let mut png = Vec::new();
    PngEncoder::new(&mut png).write_image(
        &small.pixels,
        small.width,
        small.height,
        ExtendedColorType::Rgb8,
    )?;
    let nonsense_time = ExifBlock {
        taken: Some("2026:13:45 27:61:99".into()),
        offset: Some("+99:99".into()),
        fraction: Some("\u{1b}[31m\u{202e}x".into()),
        ..block(1)
    };
    let nonsense_gps = ExifBlock {
        position: Some((
            Angle {
                letter: 'S',
                parts: [(400, 1), (0, 0), (99, 1)],
            },
            Angle {
                letter: 'Q',
                parts: [(u32::MAX, 1), (75, 1), (0, 1)],
            },
        )),
        ..block(1)
    };
    let no_offset = ExifBlock {
        offset: None,
        fraction: None,
        position: None,
        ..block(1)
    };
    files.extend([
        ("cut.jpg".to_owned(), cut),
        ("zero.jpg".to_owned(), Vec::new()),
        ("png-named.jpg".to_owned(), png),
        ("huge-header.jpg".to_owned(), huge_jpeg()),
        ("huge-header.png".to_owned(), huge_png()),
        (
            "nonsense-time.jpg".to_owned(),
            stored::jpeg(&small, &nonsense_time, QUALITY)?,
        ),
        (
            "nonsense-gps.jpg".to_owned(),
            stored::jpeg(&small, &nonsense_gps, QUALITY)?,
        ),
        (
            "no-offset.jpg".to_owned(),
            stored::jpeg(&small, &no_offset, QUALITY)?,
        ),
        (
            "header-only.heic".to_owned(),
            b"\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\0\x08mdat".to_vec(),
        ),
    ]);
    Ok(files)
}

/// Values that differ in every part, so that a mix-up shows.
fn block(orientation: u16) -> ExifBlock {
    ExifBlock {
        orientation,
        taken: Some(format!("2026:10:06 09:1{orientation}:30")),
        offset: Some(
            if orientation.is_multiple_of(2) {
                "-03:30"
            } else {
                "+11:00"
            }
            .into(),
        ),
        fraction: Some(format!("0{orientation}7")),
        position: Some((
            Angle::from_e7(-400_001_234 - i64::from(orientation), 'N', 'S'),
            Angle::from_e7(1_400_056_789 + i64::from(orientation), 'E', 'W'),
        )),
    }
}

/// Red, green, blue and yellow corners (from the upper left, by rows) and an arrow up.
fn corners(width: u32, height: u32) -> stored::Upright {
    let mut canvas = Canvas::new(width, height);
    let (w, h) = canvas.size();
    canvas.rect((0.0, 0.0), (w, h), &Paint::Flat([128, 128, 128]));
    let (cw, ch) = (w / 4.0, h / 4.0);
    canvas.rect((0.0, 0.0), (cw, ch), &Paint::Flat([210, 30, 30]));
    canvas.rect((w - cw, 0.0), (w, ch), &Paint::Flat([30, 170, 50]));
    canvas.rect((0.0, h - ch), (cw, h), &Paint::Flat([40, 60, 210]));
    canvas.rect((w - cw, h - ch), (w, h), &Paint::Flat([230, 210, 40]));
    canvas.line(
        &[(w / 2.0, h * 0.8), (w / 2.0, h * 0.3)],
        24.0,
        [250, 250, 250],
    );
    canvas.line(
        &[
            (w * 0.42, h * 0.44),
            (w / 2.0, h * 0.3),
            (w * 0.58, h * 0.44),
        ],
        24.0,
        [250, 250, 250],
    );
    lettering::write(&mut canvas, (w * 0.58, h * 0.6), 90.0, [20, 20, 20], "UP");
    stored::Upright {
        width,
        height,
        pixels: canvas.into_pixels(),
    }
}

/// A whole but empty JPEG structure that claims 30 000 × 30 000 pixels.
fn huge_jpeg() -> Vec<u8> {
    let [high, low] = 30_000_u16.to_be_bytes();
    let mut out = b"\xFF\xD8\xFF\xC0\0\x0B\x08".to_vec();
    out.extend([high, low, high, low, 1, 1, 0x11, 0]);
    out.extend(b"\xFF\xDA\0\x08\x01\x01\0\0\x3F\0");
    out.extend([0x55; 16]);
    out.extend(b"\xFF\xD9");
    out
}

/// A whole PNG structure that claims 30 000 × 30 000 pixels and holds none.
fn huge_png() -> Vec<u8> {
    let side = 30_000_u32.to_be_bytes();
    let header = [side.as_slice(), side.as_slice(), &[8, 2, 0, 0, 0]].concat();
    let mut out = b"\x89PNG\r\n\x1A\n".to_vec();
    // An empty zlib stream: header, final stored block of length 0, Adler-32 of nothing.
    let empty = [0x78, 0x01, 0x01, 0, 0, 0xFF, 0xFF, 0, 0, 0, 1];
    for (kind, data) in [
        (b"IHDR", header.as_slice()),
        (b"IDAT", &empty),
        (b"IEND", &[]),
    ] {
        out.extend((data.len() as u32).to_be_bytes());
        let from = out.len();
        out.extend(kind);
        out.extend(data);
        let sum = crc32(out.get(from..).unwrap_or_default());
        out.extend(sum.to_be_bytes());
    }
    out
}

/// CRC-32 of a PNG chunk (PNG specification, annex D).
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                (sum >> 1) ^ 0xEDB8_8320
            } else {
                sum >> 1
            }
        })
    })
}
