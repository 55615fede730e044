//! Generates the project's pictures: drawn here, never photographed, never borrowed.
//!
//! Owns the demo's pictures, the many for benchmarks and the small ones for tests. Invariant: equal
//! orders give equal bytes on one kind of machine, and every picture says in its EXIF and at its
//! foot that it is drawn. It adds nothing to any record.

mod canvas;
mod exif_block;
mod fixtures;
mod lettering;
mod perspective;
mod scenes;
mod scenes_install;
mod scenes_survey;
mod scenes_wide;
mod stored;
mod things;
mod tools;

#[cfg(test)]
mod tests;

pub(crate) use fixtures::photo_fixtures;

use canvas::Canvas;
use exif_block::{Angle, ExifBlock};
use scenes::{SCENES, Scene};
use serde::Serialize;
use std::{
    fs,
    path::{Path, PathBuf},
};

/// How many pictures, and how large as the camera stores them.
#[derive(Debug, Clone)]
pub(crate) struct PhotoOrder {
    /// 0 means one of each scene of the demo.
    pub(crate) count: u32,
    pub(crate) width_px: u32,
    pub(crate) height_px: u32,
    pub(crate) seed: u64,
    /// JPEG quality, 1 to 100.
    pub(crate) quality: u8,
    /// Steps of sensor grain; more makes larger files.
    pub(crate) grain: i16,
}

impl PhotoOrder {
    /// The demo's pictures: 1600 × 1200, one of each scene.
    pub(crate) fn demo() -> PhotoOrder {
        PhotoOrder {
            count: 0,
            width_px: 1600,
            height_px: 1200,
            seed: 1,
            quality: 82,
            grain: 3,
        }
    }

    /// `count` different 12-megapixel pictures about as long as a phone's.
    pub(crate) fn bench(count: u32) -> PhotoOrder {
        PhotoOrder {
            count,
            width_px: 4000,
            height_px: 3000,
            seed: 2,
            quality: 90,
            grain: 9,
        }
    }
}

/// One line of the list that is written beside the pictures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(crate) struct PhotoListed {
    pub(crate) file: String,
    pub(crate) key: String,
    pub(crate) caption: String,
    pub(crate) subject: String,
    /// "2026-10-06T09:12:41", by the camera.
    pub(crate) taken_local: String,
    pub(crate) offset_min: i32,
    pub(crate) lat_e7: i64,
    pub(crate) lon_e7: i64,
    pub(crate) orientation: u16,
}

/// Why pictures could not be made.
#[derive(Debug, thiserror::Error)]
pub(crate) enum GenError {
    #[error("could not write {}: {source}", path.display())]
    Write {
        path: PathBuf,
        source: std::io::Error,
    },
    #[error("a picture of {width} × {height} pixels can't be written as JPEG")]
    Size { width: u32, height: u32 },
    #[error("could not encode a picture: {0}")]
    Encode(#[from] jpeg_encoder::EncodingError),
    #[error("could not encode a PNG: {0}")]
    Png(#[from] image::ImageError),
    #[error("could not write the list of pictures: {0}")]
    List(#[from] serde_json::Error),
}

const OFFSET_MIN: i32 = 11 * 60;
const PLACE_E7: (i64, i64) = (-400_000_000, 1_400_000_000);

/// Writes the ordered pictures and `photos.json`, the list of them, into `out`.
pub(crate) fn photos(out: &Path, order: &PhotoOrder) -> Result<Vec<PhotoListed>, GenError> {
    let count = if order.count == 0 {
        SCENES.len()
    } else {
        order.count as usize
    };
    fs::create_dir_all(out).map_err(|source| GenError::Write {
        path: out.into(),
        source,
    })?;
    let mut list = Vec::with_capacity(count);
    for (n, scene) in SCENES.iter().cycle().take(count).enumerate() {
        let (listed, jpeg) = picture(scene, n, order)?;
        write(&out.join(&listed.file), &jpeg)?;
        list.push(listed);
    }
    write(&out.join("photos.json"), &serde_json::to_vec_pretty(&list)?)?;
    Ok(list)
}

fn picture(
    scene: &Scene,
    n: usize,
    order: &PhotoOrder,
) -> Result<(PhotoListed, Vec<u8>), GenError> {
    let mut rng = Rng::new(
        order
            .seed
            .wrapping_mul(0x9E37_79B9)
            .wrapping_add(n as u64 + 1),
    );
    let (width, height) = if stored::lies_sideways(scene.orientation) {
        (order.height_px, order.width_px)
    } else {
        (order.width_px, order.height_px)
    };
    let mut canvas = Canvas::new(width, height);
    (scene.draw)(&mut canvas, &mut rng);
    tools::footer(&mut canvas, n as u32 + 1);
    canvas.grain(&mut rng, order.grain);
    // Some metres apart, as people walk about.
    let lat_e7 = PLACE_E7.0 + i64::from(rng.next() % 900);
    let lon_e7 = PLACE_E7.1 + i64::from(rng.next() % 900);
    let fraction_ms = rng.next() % 1000;
    let block = ExifBlock {
        orientation: scene.orientation,
        taken: Some(scene.taken.to_owned()),
        offset: Some("+11:00".to_owned()),
        fraction: Some(format!("{fraction_ms:03}")),
        position: Some((
            Angle::from_e7(lat_e7, 'N', 'S'),
            Angle::from_e7(lon_e7, 'E', 'W'),
        )),
    };
    let upright = stored::Upright {
        width,
        height,
        pixels: canvas.into_pixels(),
    };
    let jpeg = stored::jpeg(&upright, &block, order.quality)?;
    let listed = PhotoListed {
        file: format!("{:03}-{}.jpg", n + 1, scene.key),
        key: scene.key.to_owned(),
        caption: scene.caption.to_owned(),
        subject: scene.subject.to_owned(),
        taken_local: scene.taken.replacen(':', "-", 2).replacen(' ', "T", 1),
        offset_min: OFFSET_MIN,
        lat_e7,
        lon_e7,
        orientation: scene.orientation,
    };
    Ok((listed, jpeg))
}

pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), GenError> {
    fs::write(path, bytes).map_err(|source| GenError::Write {
        path: path.into(),
        source,
    })
}

/// A small seeded generator (xorshift64*), so that pictures do not change with a library.
pub(crate) struct Rng(u64);

impl Rng {
    fn new(seed: u64) -> Rng {
        Rng(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) | 1)
    }

    fn next(&mut self) -> u32 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32) as u32
    }

    fn range(&mut self, from: f32, to: f32) -> f32 {
        from + (to - from) * (self.next() as f32 / u32::MAX as f32)
    }
}
