//! Lettering for labels and scales: the project's own stroke capitals and figures.
//!
//! Each glyph is polylines on a grid 4 wide and 6 high, two digits a point, y down. Characters
//! that have no glyph leave a space.

use super::canvas::{Canvas, Point, Rgb};

/// Writes `text` with its upper left corner at `at`; `height` is that of a capital, in units.
pub(super) fn write(canvas: &mut Canvas, at: Point, height: f32, colour: Rgb, text: &str) {
    let cell = height / 6.0;
    for (n, letter) in text.chars().enumerate() {
        let left = at.0 + n as f32 * 6.0 * cell;
        for stroke in glyph(letter.to_ascii_uppercase())
            .split(' ')
            .filter(|s| !s.is_empty())
        {
            let points: Vec<Point> = stroke
                .as_bytes()
                .chunks_exact(2)
                .map(|pair| match pair {
                    [x, y] => (left + grid(*x) * cell, at.1 + grid(*y) * cell),
                    _ => (left, at.1),
                })
                .collect();
            canvas.line(&points, height / 7.0, colour);
        }
    }
}

/// Width of `text` at that height, in units.
pub(super) fn width(text: &str, height: f32) -> f32 {
    (text.chars().count() as f32 * 6.0 - 2.0).max(0.0) * height / 6.0
}

fn grid(digit: u8) -> f32 {
    f32::from(digit.saturating_sub(b'0'))
}

fn glyph(letter: char) -> &'static str {
    match letter {
        'A' => "062046 1434",
        'B' => "00063645443303 3342413000",
        'C' => "4130100105163645",
        'D' => "00062645412000",
        'E' => "40000646 0333",
        'F' => "400006 0333",
        'G' => "41301001051636454323",
        'H' => "0006 4046 0343",
        'I' => "1030 2026 1636",
        'J' => "4045361605",
        'K' => "0006 400346",
        'L' => "000646",
        'M' => "0600244046",
        'N' => "06004640",
        'O' | '0' => "103041453616050110",
        'P' => "06003041423303",
        'Q' => "103041453616050110 2446",
        'R' => "06003041423303 2346",
        'S' => "413010010213334445361605",
        'T' => "0040 2026",
        'U' => "000516364540",
        'V' => "002640",
        'W' => "0016233640",
        'X' => "0046 4006",
        'Y' => "002340 2326",
        'Z' => "00400646",
        '1' => "112026 1636",
        '2' => "01103041420646",
        '3' => "0110304142334445361605 1333",
        '4' => "36300444",
        '5' => "400002324345361605",
        '6' => "413010010516364544331304",
        '7' => "004016",
        '8' => "103041423313020110 1304051636454433",
        '9' => "423313020110304145361605",
        '-' => "1333",
        '+' => "2125 0343",
        '=' => "0242 0444",
        '/' => "4006",
        '.' => "2626",
        ',' => "2617",
        ':' => "2222 2525",
        _ => "",
    }
}
