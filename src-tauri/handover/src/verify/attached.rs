//! Files attached to a PDF, by name.

use std::collections::BTreeMap;

use hayro_syntax::Pdf;
use hayro_syntax::object::{Dict, Object, Stream, String as PdfString};

/// Attached files by name; none when the bytes are no PDF.
pub(super) fn files(pdf: Vec<u8>) -> Option<BTreeMap<String, Vec<u8>>> {
    let pdf = Pdf::new(pdf).ok()?;
    let mut found = BTreeMap::new();
    for object in pdf.objects() {
        let Object::Dict(dict) = object else { continue };
        if let Some((name, bytes)) = file(&dict) {
            found.insert(name, bytes);
        }
    }
    Some(found)
}

fn file(dict: &Dict<'_>) -> Option<(String, Vec<u8>)> {
    let embedded: Dict<'_> = dict.get("EF")?;
    let stream: Stream<'_> = embedded.get("F")?;
    let name: PdfString<'_> = dict.get("F")?;
    let name = std::string::String::from_utf8(name.as_bytes().to_vec()).ok()?;
    Some((name, stream.decoded().ok()?.into_owned()))
}
