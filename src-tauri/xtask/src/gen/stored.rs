//! Turns an upright drawing into the JPEG that a camera held that way would have written.
//!
//! The turn follows the wording of the Exif standard (CIPA DC-008, tag 0x0112): which visual side
//! the stored first row and first column are. It is written from that table, not as the inverse of
//! a reader's rotation, so that the two check each other.

use super::{GenError, exif_block};
use jpeg_encoder::{ColorType, Encoder};

/// A visual side of the upright picture.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Top,
    Bottom,
    Left,
    Right,
}

/// Upright pixels with their size.
pub(super) struct Upright {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) pixels: Vec<u8>,
}

/// Whether the stored picture has width and height exchanged.
pub(super) fn lies_sideways(orientation: u16) -> bool {
    matches!(orientation, 5..=8)
}

/// Encodes with the turn of `block.orientation` and its EXIF.
pub(super) fn jpeg(
    upright: &Upright,
    block: &exif_block::ExifBlock,
    quality: u8,
) -> Result<Vec<u8>, GenError> {
    let (width, height, pixels) = as_stored(upright, block.orientation);
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, quality);
    encoder.add_app_segment(1, exif_block::app1(block))?;
    let side = |length: u32| u16::try_from(length).map_err(|_| GenError::Size { width, height });
    encoder.encode(&pixels, side(width)?, side(height)?, ColorType::Rgb)?;
    Ok(out)
}

fn as_stored(upright: &Upright, orientation: u16) -> (u32, u32, Vec<u8>) {
    let (row0, column0) = sides(orientation);
    let (width, height) = if lies_sideways(orientation) {
        (upright.height, upright.width)
    } else {
        (upright.width, upright.height)
    };
    let mut pixels = Vec::with_capacity(upright.pixels.len());
    for row in 0..height {
        for column in 0..width {
            let (mut x, mut y) = (0, 0);
            for (side, away) in [(row0, row), (column0, column)] {
                match side {
                    Side::Top => y = away,
                    Side::Bottom => y = upright.height - 1 - away,
                    Side::Left => x = away,
                    Side::Right => x = upright.width - 1 - away,
                }
            }
            let at = (y as usize * upright.width as usize + x as usize) * 3;
            pixels.extend(upright.pixels.get(at..at + 3).unwrap_or(&[0; 3]));
        }
    }
    (width, height, pixels)
}

/// Where the stored first row and first column are seen.
fn sides(orientation: u16) -> (Side, Side) {
    use Side::{Bottom, Left, Right, Top};
    match orientation {
        2 => (Top, Right),
        3 => (Bottom, Right),
        4 => (Bottom, Left),
        5 => (Left, Top),
        6 => (Right, Top),
        7 => (Right, Bottom),
        8 => (Left, Bottom),
        _ => (Top, Left),
    }
}
