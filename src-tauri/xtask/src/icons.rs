//! The app's icon: a taut wire between two posts, drawn here.

use std::{fs, io::Cursor, path::Path};

use image::{ImageFormat, Rgba, RgbaImage};

use crate::error::XtaskError;

/// Slate ground, pale timber, chalk blue; red, green, blue, 0 to 255.
const SLATE: [f32; 3] = [31.0, 41.0, 48.0];
const TIMBER: [f32; 3] = [222.0, 206.0, 178.0];
const CHALK: [f32; 3] = [104.0, 170.0, 232.0];
/// Samples per pixel and direction, so that edges are smooth.
const SAMPLES: u32 = 6;

/// Writes every size and container that the desktop and phone bundles ask for.
pub(crate) fn draw(folder: &Path) -> Result<(), XtaskError> {
    fs::create_dir_all(folder).map_err(XtaskError::file("make", folder))?;
    for (name, bytes) in [
        ("32x32.png", png(32)?),
        ("128x128.png", png(128)?),
        ("icon.png", png(512)?),
        ("icon.ico", ico(256, &png(256)?)),
        // The type code of a 512-pixel PNG in Apple's icon container.
        ("icon.icns", icns(*b"ic09", &png(512)?)),
    ] {
        let path = folder.join(name);
        fs::write(&path, bytes).map_err(XtaskError::file("write", &path))?;
    }
    println!("Icons in {}", folder.display());
    Ok(())
}

fn png(side: u32) -> Result<Vec<u8>, XtaskError> {
    let picture = RgbaImage::from_fn(side, side, |x, y| pixel(x, y, side));
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png)?;
    Ok(bytes.into_inner())
}

fn pixel(x: u32, y: u32, side: u32) -> Rgba<u8> {
    let step = 1.0 / (side * SAMPLES) as f32;
    let (mut sum, mut covered) = ([0.0_f32; 3], 0.0_f32);
    for sample in 0..SAMPLES * SAMPLES {
        let u = ((x * SAMPLES + sample % SAMPLES) as f32 + 0.5) * step;
        let v = ((y * SAMPLES + sample / SAMPLES) as f32 + 0.5) * step;
        if let Some(colour) = colour_at(u, v) {
            covered += 1.0;
            for (sum, part) in sum.iter_mut().zip(colour) {
                *sum += part;
            }
        }
    }
    let [red, green, blue] = sum.map(|sum| (sum / covered.max(1.0)).round() as u8);
    let all = (SAMPLES * SAMPLES) as f32;
    Rgba([red, green, blue, (255.0 * covered / all).round() as u8])
}

/// The colour at a place of the unit square, or none outside the rounded ground.
fn colour_at(u: f32, v: f32) -> Option<[f32; 3]> {
    if !in_rounded(u, v, [0.0, 0.0, 1.0, 1.0], 0.2) {
        return None;
    }
    let in_post = |left| in_rounded(u, v, [left, 0.2, left + 0.11, 0.84], 0.02);
    if in_post(0.16) || in_post(0.73) {
        return Some(TIMBER);
    }
    let on_wire = |height: f32| (v - height).abs() < 0.022 && (0.1..0.9).contains(&u);
    let is_wire = [0.36, 0.52, 0.68].into_iter().any(on_wire);
    Some(if is_wire { CHALK } else { SLATE })
}

fn in_rounded(u: f32, v: f32, [left, top, right, bottom]: [f32; 4], radius: f32) -> bool {
    let beyond =
        |at: f32, low: f32, high: f32| (low + radius - at).max(at - high + radius).max(0.0);
    (left..right).contains(&u)
        && (top..bottom).contains(&v)
        && beyond(u, left, right).hypot(beyond(v, top, bottom)) <= radius
}

/// An ICO that holds one PNG: six bytes of header, one directory entry of sixteen.
fn ico(side: u32, png: &[u8]) -> Vec<u8> {
    let mut bytes = vec![0, 0, 1, 0, 1, 0];
    // A side of 256 is written as 0.
    let side = u8::try_from(side).unwrap_or(0);
    bytes.extend([side, side, 0, 0, 1, 0, 32, 0]);
    bytes.extend((png.len() as u32).to_le_bytes());
    bytes.extend(22_u32.to_le_bytes());
    bytes.extend(png);
    bytes
}

/// An ICNS that holds one PNG; lengths count their own eight bytes of header.
fn icns(kind: [u8; 4], png: &[u8]) -> Vec<u8> {
    let length = png.len() as u32 + 8;
    let mut bytes = b"icns".to_vec();
    bytes.extend((length + 8).to_be_bytes());
    bytes.extend(kind);
    bytes.extend(length.to_be_bytes());
    bytes.extend(png);
    bytes
}
