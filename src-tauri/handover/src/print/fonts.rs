//! Fonts of the document, and texts fitted to what they can show.

use serde_json::Value;
use typst::foundations::Bytes;
use typst::text::Font;

use crate::visible;

/// Families that the document may use; of them only the faces and glyphs used are embedded.
const FAMILIES: [&str; 2] = ["Libertinus Serif", "DejaVu Sans Mono"];

/// The faces, read from what the program carries.
pub(super) fn fonts() -> Vec<Font> {
    typst_assets::fonts()
        .flat_map(|data| Font::iter(Bytes::new(data)))
        .filter(|font| FAMILIES.contains(&font.info().family.as_str()))
        .collect()
}

/// Shows hidden characters in every text, and as code points those that no face has.
///
/// A drawing is markup made by this program, with hidden characters shown and texts escaped; of it
/// only what no face has is replaced, escaped again.
pub(super) fn fit(value: &mut Value, fonts: &[Font]) {
    match value {
        Value::String(text) => *text = fit_text(&visible::shown(text), fonts, ["<", ">"]),
        Value::Array(items) => items.iter_mut().for_each(|v| fit(v, fonts)),
        Value::Object(map) => {
            for (name, value) in map.iter_mut() {
                match value {
                    Value::String(svg) if name == "svg" => {
                        *svg = fit_text(svg, fonts, ["&lt;", "&gt;"]);
                    }
                    value => fit(value, fonts),
                }
            }
        }
        _ => {}
    }
}

fn fit_text(text: &str, fonts: &[Font], [open, close]: [&str; 2]) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let known = c == '\n'
            || c.is_ascii()
            || fonts
                .iter()
                .any(|f| f.info().coverage.contains(u32::from(c)));
        if known {
            out.push(c);
        } else {
            out.push_str(&format!("{open}U+{:04X}{close}", u32::from(c)));
        }
    }
    out
}
