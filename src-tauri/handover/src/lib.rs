//! Drawings, the handover document, data export and its verification.
//!
//! Owns what leaves the record for owner, certifier and file. Invariants: a handover folder is
//! there whole or not at all; the document prints what was recorded and told, and judges nothing;
//! texts of people are data everywhere. It reads books and pictures and changes neither.

pub mod drawing;
mod error;
mod export;
mod folder;
mod left;
mod originals;
mod print;
mod signature;
mod source;
mod state;
mod tables;
mod tell;
mod template;
mod verify;
mod visible;

pub use drawing::{Drawing, drawing};
pub use error::HandoverError;
pub use folder::{Written, write};
pub use left::sweep;
pub use originals::{Left, Originals};
pub use print::{LabelsAsk, labels, write_labels};
pub use signature::SignedBy;
pub use source::{OnProgress, Progress, Sign, Source, Step};
pub use state::{STATE_FORMAT, state, state_text};
pub use tell::{Document, document};
pub use template::{DrillingTemplate, PaperSize, TemplateAsk, drilling_template};
pub use verify::{Fault, FaultKind, Verified, verify};
