//! Photos and documents as objects: looked at, made small, and kept under the hash of their bytes.
//!
//! Owns the inspection of a picture before it enters the record, what its EXIF says, the view and
//! the thumb made from it, and the content-addressed folder in which originals, derived pictures
//! and documents lie. Invariant: the bytes of an original are never changed, and bytes are handed
//! out only under the hash they have. It writes no entries, knows no clock, and does not decide
//! what a photo shows; EXIF is a second witness beside what the app itself recorded.

mod derive;
mod error;
mod exif;
mod frame;
mod hash;
mod inspect;
mod kind;
mod store;
mod text;

#[cfg(test)]
mod tests;

pub use derive::{Derived, Picture, THUMB_EDGE_PX, THUMB_MAX_BYTES, VIEW_EDGE_PX, derive};
pub use error::PhotoError;
pub use exif::{ExifFacts, ExifField, Position, TakenAt, Uncertain, read_exif};
pub use hash::sha256_hex;
pub use inspect::{
    Inspected, MAX_DECODE_BYTES, MAX_DECODE_PIXELS, NoPreview, Prepared, Preview, inspect, prepare,
};
pub use kind::PictureKind;
pub use store::{Object, Stored, find, read, store, store_batch, sweep_temporary};
pub use text::visible;
