//! The two small pictures made from an original: view and thumb.
//!
//! Invariant: both are upright, free of metadata, never larger than the original, and come from
//! one decode. Colour profiles are not applied: a wide-gamut original looks slightly paler in
//! them. The original itself is never touched.

use super::{PhotoError, PictureKind, inspect::MAX_DECODE_PIXELS, text::visible_name};
use fast_image_resize::{FilterType, ResizeAlg, ResizeOptions, Resizer};
use image::{DynamicImage, ImageFormat, ImageReader, Limits, RgbImage, metadata::Orientation};
use jpeg_encoder::{ColorType, Encoder};
use std::io::Cursor;

/// Longest edge of a view in pixels.
pub const VIEW_EDGE_PX: u32 = 2048;

/// Longest edge of a thumb in pixels.
pub const THUMB_EDGE_PX: u32 = 320;

/// Most bytes of a thumb, since Android does not cache them.
pub const THUMB_MAX_BYTES: usize = 30_000;

const VIEW_QUALITY: u8 = 85;

/// A JPEG made here, with its size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The file.
    pub jpeg: Vec<u8>,
    /// Width in pixels, upright.
    pub width_px: u32,
    /// Height in pixels, upright.
    pub height_px: u32,
}

/// View and thumb of one original.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Derived {
    /// At most [`VIEW_EDGE_PX`] on its longest edge.
    pub view: Picture,
    /// At most [`THUMB_EDGE_PX`] on its longest edge and [`THUMB_MAX_BYTES`] long.
    pub thumb: Picture,
}

/// Decodes once and makes both sizes, turned upright by the EXIF `orientation` (1 to 8).
///
/// Fails with `Undecodable` when no pixel can be had. An orientation outside 1 to 8 counts as 1.
pub fn derive(
    bytes: &[u8],
    name: &str,
    kind: PictureKind,
    orientation: u8,
) -> Result<Derived, PhotoError> {
    let full = decode(bytes, name, kind)?;
    // Turning after scaling moves 3 million pixels at most instead of 64.
    let mut view = DynamicImage::ImageRgb8(scaled(full, VIEW_EDGE_PX)?);
    view.apply_orientation(
        Orientation::from_exif(orientation).unwrap_or(Orientation::NoTransforms),
    );
    let view = view.into_rgb8();
    let view_jpeg = encode(&view, VIEW_QUALITY)?;
    let (width_px, height_px) = view.dimensions();
    let thumb = thumb_of(view)?;
    Ok(Derived {
        view: Picture {
            jpeg: view_jpeg,
            width_px,
            height_px,
        },
        thumb,
    })
}

fn decode(bytes: &[u8], name: &str, kind: PictureKind) -> Result<RgbImage, PhotoError> {
    let format = match kind {
        PictureKind::Jpeg => ImageFormat::Jpeg,
        PictureKind::Png => ImageFormat::Png,
    };
    let mut limits = Limits::default();
    // Eight bytes a pixel is the deepest that PNG has: four channels of 16 bits.
    limits.max_alloc = Some(8 * MAX_DECODE_PIXELS);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(limits);
    let decoded = reader.decode().map_err(|reason| PhotoError::Undecodable {
        name: visible_name(name),
        detail: damage(&reason).to_owned(),
    })?;
    Ok(if decoded.color().has_alpha() {
        on_white(decoded)
    } else {
        decoded.into_rgb8()
    })
}

/// Why a picture can't be decoded, in words of our own.
fn damage(reason: &image::ImageError) -> &'static str {
    match reason {
        image::ImageError::Limits(_) => "it is larger than can be opened here",
        image::ImageError::Unsupported(_) => "it is stored in a way that is not read here",
        _ => "its data is damaged or ends too early",
    }
}

/// JPEG has no transparency: what is see-through in a PNG becomes paper white.
fn on_white(picture: DynamicImage) -> RgbImage {
    let picture = picture.into_rgba8();
    let mut flat = RgbImage::new(picture.width(), picture.height());
    for (to, from) in flat.pixels_mut().zip(picture.pixels()) {
        let [r, g, b, a] = from.0.map(u16::from);
        let over = |c: u16| u8::try_from((c * a + 255 * (255 - a) + 127) / 255).unwrap_or(u8::MAX);
        to.0 = [over(r), over(g), over(b)];
    }
    flat
}

/// Scales down so that the longest edge is `edge_px`; a smaller picture comes back as it is.
fn scaled(picture: RgbImage, edge_px: u32) -> Result<RgbImage, PhotoError> {
    let (width, height) = picture.dimensions();
    let longest = width.max(height);
    if longest <= edge_px {
        return Ok(picture);
    }
    let fit = |length: u32| {
        let length =
            (u64::from(length) * u64::from(edge_px) + u64::from(longest) / 2) / u64::from(longest);
        u32::try_from(length).unwrap_or(edge_px).clamp(1, edge_px)
    };
    let mut small = RgbImage::new(fit(width), fit(height));
    let how = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Hamming));
    Resizer::new()
        .resize(&picture, &mut small, &how)
        .map_err(|reason| PhotoError::Derive {
            detail: reason.to_string(),
        })?;
    Ok(small)
}

fn thumb_of(view: RgbImage) -> Result<Picture, PhotoError> {
    let mut edge_px = THUMB_EDGE_PX;
    let mut picture = scaled(view, edge_px)?;
    loop {
        for quality in [80, 70, 60, 50, 40, 30, 20] {
            let jpeg = encode(&picture, quality)?;
            if jpeg.len() <= THUMB_MAX_BYTES {
                let (width_px, height_px) = picture.dimensions();
                return Ok(Picture {
                    jpeg,
                    width_px,
                    height_px,
                });
            }
        }
        // Pure noise only: half the edge is a quarter of the bytes.
        edge_px /= 2;
        picture = scaled(picture, edge_px.max(1))?;
    }
}

fn encode(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, PhotoError> {
    let size = |length: u32| {
        u16::try_from(length).map_err(|reason| PhotoError::Derive {
            detail: reason.to_string(),
        })
    };
    let mut out = Vec::new();
    Encoder::new(&mut out, quality)
        .encode(
            picture.as_raw(),
            size(picture.width())?,
            size(picture.height())?,
            ColorType::Rgb,
        )
        .map_err(|reason| PhotoError::Derive {
            detail: reason.to_string(),
        })?;
    Ok(out)
}
