//! Walks the outer structure of a JPEG or PNG: its size in pixels and whether its end is there.
//!
//! Nothing is decoded and nothing is allocated, so a header that claims 30 000 × 30 000 costs
//! nothing. Segment layout: ISO/IEC 10918-1 annex B; chunk layout: the PNG specification, clause 5.
//! It does not see damage inside the compressed data.

use super::PictureKind;

/// Size in stored pixels, before any rotation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Frame {
    pub(super) width: u32,
    pub(super) height: u32,
}

/// Why the walk stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FrameFault {
    /// The bytes end before the picture's end mark.
    Cut(&'static str),
    /// The structure makes no sense.
    Broken(&'static str),
}

pub(super) fn walk(bytes: &[u8], kind: PictureKind) -> Result<Frame, FrameFault> {
    let frame = match kind {
        PictureKind::Jpeg => walk_jpeg(bytes)?,
        PictureKind::Png => walk_png(bytes)?,
    };
    if frame.width == 0 || frame.height == 0 {
        return Err(FrameFault::Broken("its width or height is zero"));
    }
    Ok(frame)
}

fn walk_jpeg(bytes: &[u8]) -> Result<Frame, FrameFault> {
    const NO_END: FrameFault = FrameFault::Cut("the end mark of the JPEG is missing");
    let mut at = 2;
    let mut frame = None;
    let mut scans = 0_u32;
    loop {
        at = next_marker(bytes, at).ok_or(NO_END)?;
        let marker = *bytes.get(at + 1).ok_or(NO_END)?;
        at += 2;
        match marker {
            0xD9 => break,
            0x01 | 0xD0..=0xD8 => continue,
            _ => {}
        }
        let length = usize::from(be16(bytes, at).ok_or(NO_END)?);
        if length < 2 {
            return Err(FrameFault::Broken(
                "a JPEG segment has an impossible length",
            ));
        }
        if matches!(marker, 0xC0..=0xCF) && !matches!(marker, 0xC4 | 0xC8 | 0xCC) {
            let height = be16(bytes, at + 3).ok_or(NO_END)?;
            let width = be16(bytes, at + 5).ok_or(NO_END)?;
            frame = frame.or(Some(Frame {
                width: width.into(),
                height: height.into(),
            }));
        }
        if marker == 0xDA {
            scans += 1;
        }
        at += length;
    }
    match frame {
        Some(frame) if scans > 0 => Ok(frame),
        _ => Err(FrameFault::Broken("the JPEG holds no picture")),
    }
}

/// The next marker at or after `from`: compressed data hides FF as FF 00, restart marks belong to
/// it, and any run of FF may stand before a marker.
fn next_marker(bytes: &[u8], from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        at += bytes.get(at..)?.iter().position(|b| *b == 0xFF)?;
        match *bytes.get(at + 1)? {
            0x00 | 0xD0..=0xD7 => at += 2,
            0xFF => at += 1,
            _ => return Some(at),
        }
    }
}

fn walk_png(bytes: &[u8]) -> Result<Frame, FrameFault> {
    const NO_END: FrameFault = FrameFault::Cut("the end chunk of the PNG is missing");
    let mut at = 8_usize;
    let mut frame = None;
    loop {
        let length = be32(bytes, at).ok_or(NO_END)?;
        let length = usize::try_from(length).map_err(|_| NO_END)?;
        let kind = bytes.get(at + 4..at + 8).ok_or(NO_END)?;
        let data = at + 8;
        let next = data
            .checked_add(length)
            .and_then(|end| end.checked_add(4))
            .ok_or(NO_END)?;
        if next > bytes.len() {
            return Err(NO_END);
        }
        match (kind, frame) {
            (b"IHDR", None) => {
                let width = be32(bytes, data).ok_or(NO_END)?;
                let height = be32(bytes, data + 4).ok_or(NO_END)?;
                frame = Some(Frame { width, height });
            }
            (_, None) => return Err(FrameFault::Broken("the PNG does not begin with its header")),
            (b"IEND", Some(frame)) => return Ok(frame),
            _ => {}
        }
        at = next;
    }
}

fn be16(bytes: &[u8], at: usize) -> Option<u16> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_be_bytes(pair.try_into().ok()?))
}

fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_be_bytes(four.try_into().ok()?))
}
