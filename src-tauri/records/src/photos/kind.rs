//! What a file is by its content; its name is only compared with that.
//!
//! Signatures: JPEG by ISO/IEC 10918-1 (SOI), PNG by its specification (W3C), HEIF and AVIF by the
//! brands in the ISO base media `ftyp` box (ISO/IEC 14496-12, 23008-12).

use super::{PhotoError, text::visible_name};
use serde::{Deserialize, Serialize};

/// A kind of picture that is taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum PictureKind {
    /// JPEG, baseline or progressive.
    Jpeg,
    /// PNG of any depth.
    Png,
}

impl PictureKind {
    /// The ending under which such an original is kept.
    pub fn extension(self) -> &'static str {
        match self {
            PictureKind::Jpeg => "jpg",
            PictureKind::Png => "png",
        }
    }

    /// The media type that stands in an entry's `files`.
    pub fn media_type(self) -> &'static str {
        match self {
            PictureKind::Jpeg => "image/jpeg",
            PictureKind::Png => "image/png",
        }
    }

    pub(super) fn word(self) -> &'static str {
        match self {
            PictureKind::Jpeg => "JPEG",
            PictureKind::Png => "PNG",
        }
    }
}

/// Tells the kind from the first bytes, or refuses with a message that says what to do.
pub(super) fn detect(bytes: &[u8], name: &str) -> Result<PictureKind, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty {
            name: visible_name(name),
        });
    }
    if bytes.starts_with(b"\xFF\xD8\xFF") {
        return Ok(PictureKind::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1A\n") {
        return Ok(PictureKind::Png);
    }
    if let Some(format) = heif_format(bytes) {
        return Err(PhotoError::Heif {
            name: visible_name(name),
            format,
        });
    }
    Err(PhotoError::NotAPicture {
        name: visible_name(name),
        found: other_format(bytes),
    })
}

/// A sentence when the name's ending promises another kind than the content is.
pub(super) fn named_otherwise(kind: PictureKind, name: &str) -> Option<String> {
    let (_, ending) = name.rsplit_once('.')?;
    let ending = ending.trim().to_ascii_lowercase();
    let agrees = match kind {
        PictureKind::Jpeg => matches!(ending.as_str(), "jpg" | "jpeg" | "jpe" | "jfif"),
        PictureKind::Png => ending == "png",
    };
    (!agrees).then(|| {
        format!(
            "{} is a {} picture by its content; it is kept as .{}.",
            visible_name(name),
            kind.word(),
            kind.extension()
        )
    })
}

/// Looks at the major brand and the compatible brands of a leading `ftyp` box.
fn heif_format(bytes: &[u8]) -> Option<&'static str> {
    if bytes.get(4..8)? != b"ftyp" {
        return None;
    }
    let stated = u32::from_be_bytes(bytes.get(..4)?.try_into().ok()?);
    let end = usize::try_from(stated)
        .ok()?
        .clamp(12, 256)
        .min(bytes.len());
    let brands = || {
        let major = bytes.get(8..12);
        let compatible = bytes.get(16..end).unwrap_or_default().chunks_exact(4);
        major.into_iter().chain(compatible)
    };
    let has = |wanted: &[&[u8; 4]]| brands().any(|b| wanted.iter().any(|w| b == w.as_slice()));
    if has(&[
        b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"hevm", b"hevs",
    ]) {
        Some("HEIC")
    } else if has(&[b"avif", b"avis"]) {
        Some("AVIF")
    } else if has(&[b"mif1", b"msf1", b"mif2", b"miaf"]) {
        Some("HEIF")
    } else {
        None
    }
}

fn other_format(bytes: &[u8]) -> &'static str {
    let riff = |tag: &[u8]| bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(tag);
    if bytes.starts_with(b"GIF8") {
        "it looks like GIF"
    } else if riff(b"WEBP") {
        "it looks like WebP"
    } else if bytes.starts_with(b"II*\0") || bytes.starts_with(b"MM\0*") {
        "it looks like TIFF or a camera's raw file"
    } else if bytes.starts_with(b"BM") {
        "it looks like BMP"
    } else if bytes.starts_with(b"%PDF-") {
        "it looks like PDF"
    } else if bytes.get(4..8) == Some(b"ftyp".as_slice()) {
        "it looks like a video"
    } else if bytes.iter().all(|b| *b == 0) {
        "it holds nothing but zeros, as a copy that never finished"
    } else {
        "its first bytes are of no picture format known here"
    }
}
