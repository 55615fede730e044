//! Pictures made small enough for the document: at most 900 px, about 340 to the inch as they are set.
//!
//! The typesetter holds every picture decoded: 300 of 1200 px took 1.5 GiB.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use fast_image_resize::images::Image;
use fast_image_resize::{PixelType, Resizer};
use image::{ImageReader, Limits};
use jpeg_encoder::{ColorType, Encoder};

use crate::source::{OnProgress, Step, tell};
use crate::{HandoverError, Source};

/// JPEG pictures by the hash of their original.
pub(crate) type Pictures = BTreeMap<String, Vec<u8>>;

/// Longest edge of an embedded picture, pixels.
const EDGE: u32 = 900;
const QUALITY: u8 = 78;

/// Makes the document's pictures from the views that the recording devices made.
///
/// A picture that has no view here is left out; the document then says so.
///
/// # Errors
/// [`HandoverError::Cancelled`].
pub(crate) fn pictures(
    source: &Source<'_>,
    wanted: &[String],
    on: &OnProgress<'_>,
) -> Result<Pictures, HandoverError> {
    let mut todo: Vec<(&String, Vec<String>)> = Vec::new();
    for photo in &source.job.photos {
        let Some(original) = photo.files.first().map(|f| f.sha256.to_string()) else {
            continue;
        };
        let Some(name) = wanted.iter().find(|w| **w == original) else {
            continue;
        };
        // The view first; the thumb where the view has not arrived.
        let made = photo
            .files
            .iter()
            .skip(1)
            .map(|f| f.sha256.to_string())
            .collect();
        if !todo.iter().any(|(n, _)| *n == name) {
            todo.push((name, made));
        }
    }
    let next = AtomicUsize::new(0);
    let done = AtomicUsize::new(0);
    let found = Mutex::new(Pictures::new());
    let hands = std::thread::available_parallelism()
        .map_or(1, usize::from)
        .min(4);
    let ended = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..hands)
            .map(|_| {
                scope.spawn(|| {
                    while let Some((name, made)) = todo.get(next.fetch_add(1, Ordering::Relaxed)) {
                        let small = made.iter().find_map(|sha256| {
                            let bytes = records::photos::read(source.photos_dir, sha256).ok()?;
                            shrink(&bytes)
                        });
                        if let (Some(small), Ok(mut found)) = (small, found.lock()) {
                            found.insert((*name).clone(), small);
                        }
                        let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                        tell(on, Step::Pictures, done, todo.len())?;
                    }
                    Ok::<(), HandoverError>(())
                })
            })
            .collect();
        let mut ended = Ok(());
        for worker in workers {
            // A picture that breaks the decoder is a picture without a preview, no reason to stop.
            if let Ok(Err(e)) = worker.join() {
                ended = Err(e);
            }
        }
        ended
    });
    ended?;
    Ok(found.into_inner().unwrap_or_default())
}

/// A JPEG of at most [`EDGE`] pixels; none when the bytes are no picture.
fn shrink(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .ok()?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(8192);
    limits.max_image_height = Some(8192);
    reader.limits(limits);
    let picture = reader.decode().ok()?.to_rgb8();
    let (w, h) = picture.dimensions();
    if w.max(h) <= EDGE && bytes.starts_with(&[0xFF, 0xD8]) {
        return Some(bytes.to_vec());
    }
    let scale = |side: u32| {
        let long = u64::from(w.max(h)).max(1);
        let part = u64::from(side) * u64::from(EDGE.min(w.max(h))) / long;
        u32::try_from(part).unwrap_or(EDGE).max(1)
    };
    let (to_w, to_h) = (scale(w), scale(h));
    let from = Image::from_vec_u8(w, h, picture.into_raw(), PixelType::U8x3).ok()?;
    let mut to = Image::new(to_w, to_h, PixelType::U8x3);
    Resizer::new().resize(&from, &mut to, None).ok()?;
    let mut jpeg = Vec::new();
    let side = |n: u32| u16::try_from(n).ok();
    Encoder::new(&mut jpeg, QUALITY)
        .encode(to.buffer(), side(to_w)?, side(to_h)?, ColorType::Rgb)
        .ok()?;
    Some(jpeg)
}
