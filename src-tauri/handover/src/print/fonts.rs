//! Fonts of the document, and texts fitted to what they can show.

use serde_json::Value;
use typst::foundations::Bytes;
use typst::text::Font;

use crate::visible;

/// The faces that the document may use; the template names their families, the first that has a
/// character is taken, and only the glyphs used are embedded. Together: Latin, Greek, Cyrillic,
/// Armenian, Georgian, Arabic, Hebrew. Faces for Chinese, Japanese, Korean and emoji are many
/// megabytes. Their licences lie beside them (`fonts/`): a face is no package that the check of
/// licences could see.
const FACES: [&[u8]; 5] = [
    include_bytes!("../../fonts/LibertinusSerif-Regular.otf"),
    include_bytes!("../../fonts/LibertinusSerif-Semibold.otf"),
    include_bytes!("../../fonts/LibertinusSerif-Bold.otf"),
    include_bytes!("../../fonts/DejaVuSansMono.ttf"),
    include_bytes!("../../fonts/DejaVuSansMono-Bold.ttf"),
];

/// Letters after which a word without a space may be broken, so that it stays in its column.
const LONG_WORD: usize = 34;

/// The faces, read from what the program carries.
pub(super) fn fonts() -> Vec<Font> {
    FACES
        .into_iter()
        .flat_map(|data| Font::iter(Bytes::new(data)))
        .collect()
}

/// Shows hidden characters in every text, and as code points those that no face has. Returns
/// whether there were such.
///
/// A drawing is markup made by this program, with hidden characters shown and texts escaped; of it
/// only what no face has is replaced, escaped again.
pub(super) fn fit(value: &mut Value, fonts: &[Font]) -> bool {
    let mut strange = false;
    fit_into(value, fonts, &mut strange);
    strange
}

fn fit_into(value: &mut Value, fonts: &[Font], strange: &mut bool) {
    match value {
        Value::String(text) => {
            let shown = visible::shown(text);
            *strange |= shown.contains("<U+");
            *text = broken(&fit_text(&shown, fonts, ["<", ">"], strange));
        }
        Value::Array(items) => items.iter_mut().for_each(|v| fit_into(v, fonts, strange)),
        Value::Object(map) => {
            for (name, value) in map.iter_mut() {
                match value {
                    Value::String(svg) if name == "svg" => {
                        *svg = fit_text(svg, fonts, ["&lt;", "&gt;"], strange);
                    }
                    Value::String(_) if name == "sha256" => {}
                    value => fit_into(value, fonts, strange),
                }
            }
        }
        _ => {}
    }
}

fn fit_text(text: &str, fonts: &[Font], [open, close]: [&str; 2], strange: &mut bool) -> String {
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
            *strange = true;
            out.push_str(&format!("{open}U+{:04X}{close}", u32::from(c)));
        }
    }
    out
}

/// Places where a line may end, without width: in words that are longer than a column, and around
/// marks of characters. Hashes keep together, since people copy them.
fn broken(text: &str) -> String {
    let words: Vec<String> = text.split(' ').map(broken_word).collect();
    words.join(" ")
}

fn broken_word(word: &str) -> String {
    let bare = word.trim_matches(['(', ')', '.', ',', ';', ':']);
    let hash = bare.len() <= 64 && bare.bytes().all(|b| b.is_ascii_hexdigit());
    let long = word.chars().count() > LONG_WORD;
    if hash || (!long && !word.contains("<U+")) {
        return word.to_owned();
    }
    let mut out = String::with_capacity(word.len() * 2);
    let mut since = 0;
    let mut rest = word;
    while let Some(c) = rest.chars().next() {
        let mark = rest.strip_prefix("<U+").and_then(|r| r.split_once('>'));
        let (piece, after) = match mark {
            Some((number, after)) => (format!("<U+{number}>"), after),
            None => (c.to_string(), rest.get(c.len_utf8()..).unwrap_or_default()),
        };
        if !out.is_empty() && (mark.is_some() || since >= 8) {
            out.push('\u{200B}');
            since = 0;
        }
        since += if mark.is_some() { 8 } else { 1 };
        out.push_str(&piece);
        rest = after;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_face_has_is_told_and_marked() {
        let fonts = fonts();
        let mut strange = serde_json::json!({"name": "Wang 王 🔩"});
        assert!(fit(&mut strange, &fonts));
        assert_eq!(strange["name"], "Wang <U+738B> <U+1F529>");
        let mut row = serde_json::json!("ab王小c");
        assert!(fit(&mut row, &fonts));
        assert_eq!(row, "ab\u{200B}<U+738B>\u{200B}<U+5C0F>\u{200B}c");
        let mut known =
            serde_json::json!({"name": "Zoë Łukasz Ωμέγα Алексей שלום محمد Արամ გიორგი ✓"});
        assert!(!fit(&mut known, &fonts), "{known}");
        assert_eq!(
            known["name"],
            "Zoë Łukasz Ωμέγα Алексей שלום محمد Արամ გიორგი ✓"
        );
    }

    #[test]
    fn long_words_may_break_and_hashes_do_not() {
        let hash = "0".repeat(64);
        assert_eq!(broken(&hash), hash);
        let told = format!("entry {hash}.");
        assert_eq!(broken(&told), told);
        let long = "x".repeat(40);
        let whole = broken(&long).replace('\u{200B}', "");
        assert_eq!(whole, long);
        assert!(broken(&long).contains('\u{200B}'));
        assert_eq!(broken("short words stay"), "short words stay");
    }
}
