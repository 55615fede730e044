//! Text from cameras and file names, made safe to show.
//!
//! Invariant: what leaves here holds no control, bidirectional or zero-width character and is no
//! longer than asked. It does not escape for SVG, CSV or any other format.

/// Replaces control, bidirectional and invisible characters by their visible code points.
///
/// Text longer than `max_chars` characters is cut there and ends with "…".
pub fn visible(text: &str, max_chars: usize) -> String {
    let mut out = String::with_capacity(text.len().min(4 * max_chars));
    for (n, c) in text.chars().enumerate() {
        if n == max_chars {
            out.push('…');
            break;
        }
        if is_hidden(c) {
            out.push_str(&format!("<U+{:04X}>", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
}

/// File names in messages: long enough to recognise, short enough for a line.
pub(super) fn visible_name(name: &str) -> String {
    let shown = visible(name.trim(), 80);
    if shown.is_empty() {
        "the file".to_owned()
    } else {
        shown
    }
}

fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(u32::from(c),
            0x00AD | 0x061C | 0x180E | 0x200B..=0x200F | 0x2028..=0x202E | 0x2060..=0x206F
            | 0xFE00..=0xFE0F | 0xFEFF | 0xFFF9..=0xFFFB | 0xE0000..=0xE0FFF)
}
