//! The document, and labels of wires, set as PDF/A-3b.
//!
//! Owns fonts, templates and export. Invariant: a template is fixed text; everything of a job
//! reaches it as data, in a world without files or packages.

mod fonts;
mod labels;
mod pictures;

use records::entry::At;
use typst::foundations::{Bytes, Datetime, Dict, IntoValue, Smart, Str, Value};
use typst::text::Font;
use typst_as_lib::TypstEngine;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::HandoverError;
use crate::tell::Document;
pub use labels::{LabelsAsk, labels, write_labels};
pub(crate) use pictures::{Pictures, pictures};

const TEMPLATE: &str = include_str!("template.typ");
const DRILLING: &str = include_str!("drilling.typ");

/// A file that travels inside the document.
pub(crate) struct Attachment {
    pub(crate) name: String,
    pub(crate) media_type: &'static str,
    pub(crate) about: &'static str,
    pub(crate) bytes: Vec<u8>,
}

/// Sets a document with its pictures and attachments; both are used up, since they are large.
///
/// # Errors
/// [`HandoverError::Document`] with what the typesetter said.
pub(crate) fn pdf(
    document: &Document,
    pictures: Pictures,
    attachments: Vec<Attachment>,
    made: At,
) -> Result<Vec<u8>, HandoverError> {
    let failed = |what: String| HandoverError::Document(what);
    let fonts = fonts::fonts();
    let mut model = serde_json::to_value(document).map_err(|e| failed(e.to_string()))?;
    let strange = fonts::fit(&mut model, &fonts);
    let mut images = Dict::new();
    for (name, jpeg) in pictures {
        images.insert(Str::from(name), Bytes::new(jpeg).into_value());
    }
    let files: Vec<Value> = attachments
        .into_iter()
        .map(|a| {
            let mut file = Dict::new();
            file.insert("name".into(), a.name.into_value());
            file.insert("type".into(), a.media_type.into_value());
            file.insert("about".into(), a.about.into_value());
            file.insert("bytes".into(), Bytes::new(a.bytes).into_value());
            file.into_value()
        })
        .collect();
    let mut inputs = Dict::new();
    inputs.insert(
        "document".into(),
        Bytes::new(model.to_string().into_bytes()).into_value(),
    );
    inputs.insert("pictures".into(), images.into_value());
    inputs.insert("files".into(), files.into_value());
    inputs.insert("strange".into(), strange.into_value());
    set(TEMPLATE, fonts, inputs, made)
}

/// Sets the pages of a drilling template; every place in the model is millimetres on its page.
///
/// # Errors
/// [`HandoverError::Document`] with what the typesetter said.
pub(crate) fn drilling(mut model: serde_json::Value, made: At) -> Result<Vec<u8>, HandoverError> {
    let fonts = fonts::fonts();
    fonts::fit(&mut model, &fonts);
    let mut inputs = Dict::new();
    inputs.insert(
        "document".into(),
        Bytes::new(model.to_string().into_bytes()).into_value(),
    );
    set(DRILLING, fonts, inputs, made)
}

/// Sets a template with its inputs as PDF/A-3b.
fn set(
    template: &'static str,
    fonts: Vec<Font>,
    inputs: Dict,
    made: At,
) -> Result<Vec<u8>, HandoverError> {
    let failed = |what: String| HandoverError::Document(what);
    let engine = TypstEngine::builder()
        .main_file(template)
        .fonts(fonts)
        .build();
    let set: PagedDocument = engine
        .compile_with_input(inputs)
        .output
        .map_err(|e| failed(e.to_string()))?;
    let standards =
        PdfStandards::new(&[PdfStandard::A_3b]).map_err(|e| failed(e.message().to_string()))?;
    let options = PdfOptions {
        ident: Smart::Auto,
        creator: Smart::Custom(Some("Tautbook".into())),
        timestamp: timestamp(made),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&set, &options).map_err(|errors| {
        let said: Vec<String> = errors.iter().map(|e| e.message.to_string()).collect();
        failed(said.join("; "))
    })
}

fn timestamp(made: At) -> Option<Timestamp> {
    use chrono::{DateTime, Datelike as _, Duration, Timelike as _};
    let utc = DateTime::from_timestamp_millis(made.ms)?;
    let local = utc.checked_add_signed(Duration::minutes(made.offset_min.into()))?;
    let part = |n: u32| u8::try_from(n).ok();
    let datetime = Datetime::from_ymd_hms(
        local.year(),
        part(local.month())?,
        part(local.day())?,
        part(local.hour())?,
        part(local.minute())?,
        part(local.second())?,
    )?;
    Timestamp::new_local(datetime, made.offset_min)
}
