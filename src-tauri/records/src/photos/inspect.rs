//! The look at a picture before it enters the record, and all that is made from it at once.
//!
//! Pure: bytes in, facts or a refusal out. A picture whose EXIF makes no sense is taken in all the
//! same; one that can't be decoded or is cut is refused, since its file still exists where it came
//! from. A JPEG whose end mark is there but whose data are damaged inside is taken in as far as it
//! decodes.

use super::{
    Derived, ExifFacts, PhotoError, PictureKind, derive,
    frame::{self, Frame, FrameFault},
    hash::sha256_hex,
    kind, read_exif,
    text::visible_name,
};

/// Most pixels that are decoded: 64 binary megapixels, so that a "64 megapixel" sensor
/// (9248 × 6936) still has a preview.
pub const MAX_DECODE_PIXELS: u64 = 64 * 1024 * 1024;

/// Most bytes of a file that is decoded.
pub const MAX_DECODE_BYTES: u64 = 64 * 1024 * 1024;

/// What is known of a picture without decoding it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Inspected {
    /// Kind by content.
    pub kind: PictureKind,
    /// SHA-256 of the original bytes, 64 lower-case hex digits.
    pub sha256: String,
    /// Length of the original in bytes.
    pub bytes: u64,
    /// Stored width in pixels, before the orientation is applied.
    pub width_px: u32,
    /// Stored height in pixels, before the orientation is applied.
    pub height_px: u32,
    /// What EXIF says, with what could not be believed.
    pub exif: ExifFacts,
    /// Set when the picture is too large to decode.
    pub no_preview: Option<NoPreview>,
    /// Sentences for the person who adds it, such as a PNG named .jpg.
    pub remarks: Vec<String>,
}

/// Why a picture is kept without view and thumb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoPreview {
    /// More than [`MAX_DECODE_PIXELS`].
    #[error(
        "The original is kept without a preview: {width_px} × {height_px} pixels are more than \
         this program decodes. Add a smaller copy if the picture must be seen here."
    )]
    TooManyPixels {
        /// Stored width in pixels.
        width_px: u32,
        /// Stored height in pixels.
        height_px: u32,
    },
    /// More than [`MAX_DECODE_BYTES`].
    #[error(
        "The original is kept without a preview: {bytes} bytes are more than this program \
         decodes. Add a smaller copy if the picture must be seen here."
    )]
    TooManyBytes {
        /// Length of the original in bytes.
        bytes: u64,
    },
}

impl NoPreview {
    /// One sentence for whoever takes the picture as a proof of something.
    #[must_use]
    pub fn doubt(&self) -> String {
        let why = match self {
            NoPreview::TooManyPixels {
                width_px,
                height_px,
            } => format!("{width_px} × {height_px} pixels"),
            NoPreview::TooManyBytes { bytes } => format!("{bytes} bytes"),
        };
        format!(
            "It can't be shown, only kept as it is: {why} are more than this program decodes. Take it \
             again if it is to be evidence."
        )
    }
}

/// A picture ready to be stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prepared {
    /// Facts about the original.
    pub inspected: Inspected,
    /// View and thumb, or why there are none.
    pub preview: Preview,
}

/// The derived pictures or the reason for their absence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Preview {
    /// Both sizes were made.
    Made(Derived),
    /// The original is kept alone.
    Withheld(NoPreview),
}

/// Tells kind, size, hash and EXIF of a picture without decoding it.
///
/// `name` is the file's name as it came; it is compared with the content and stands in messages.
/// Refuses empty and cut files, HEIC and everything that is not JPEG or PNG.
pub fn inspect(bytes: &[u8], name: &str) -> Result<Inspected, PhotoError> {
    let kind = kind::detect(bytes, name)?;
    let Frame { width, height } = frame::walk(bytes, kind).map_err(|fault| refuse(fault, name))?;
    let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    Ok(Inspected {
        kind,
        sha256: sha256_hex(bytes),
        bytes: length,
        width_px: width,
        height_px: height,
        exif: read_exif(bytes),
        no_preview: too_large(width, height, length),
        remarks: kind::named_otherwise(kind, name).into_iter().collect(),
    })
}

/// Inspects a picture and makes its view and thumb with one decode.
///
/// Refuses what [`inspect`] refuses and what can't be decoded at all; a picture over the limits
/// comes back with [`Preview::Withheld`].
pub fn prepare(bytes: &[u8], name: &str) -> Result<Prepared, PhotoError> {
    let inspected = inspect(bytes, name)?;
    let preview = match inspected.no_preview {
        Some(reason) => Preview::Withheld(reason),
        None => Preview::Made(derive(
            bytes,
            name,
            inspected.kind,
            inspected.exif.orientation,
        )?),
    };
    Ok(Prepared { inspected, preview })
}

fn too_large(width_px: u32, height_px: u32, bytes: u64) -> Option<NoPreview> {
    if u64::from(width_px) * u64::from(height_px) > MAX_DECODE_PIXELS {
        Some(NoPreview::TooManyPixels {
            width_px,
            height_px,
        })
    } else if bytes > MAX_DECODE_BYTES {
        Some(NoPreview::TooManyBytes { bytes })
    } else {
        None
    }
}

fn refuse(fault: FrameFault, name: &str) -> PhotoError {
    let name = visible_name(name);
    match fault {
        FrameFault::Cut(detail) => PhotoError::Cut {
            name,
            detail: detail.to_owned(),
        },
        FrameFault::Broken(detail) => PhotoError::Undecodable {
            name,
            detail: detail.to_owned(),
        },
    }
}
