//! Marks on pictures, one row each: what the document draws on its copies.

use records::job::things::Photo;
use records::job::{Job, Told};
use records::model::context::Said;
use records::model::values::{Mark, Marks};

use super::rows::{head, number, who};
use super::{Cell, Table};
use crate::tell::original;

/// Marks of every word that stands on a picture; one that was taken back has a row without a mark where people
/// differ on it.
pub(crate) fn marks(job: &Job<'_>) -> Table {
    let numbered = (1i64..).zip(&job.photos);
    let rows = numbered.flat_map(|(n, photo)| of_photo(job, n, photo));
    Table {
        name: "picture-marks",
        title: "Marks on copies of pictures, in thousandths of the upright picture",
        head: head(&[
            "picture",
            "sha256",
            "mark",
            "kind",
            "from_left",
            "from_top",
            "to_from_left",
            "to_from_top",
            "words",
        ]),
        rows: rows.collect(),
    }
}

fn of_photo(job: &Job<'_>, n: i64, photo: &Photo) -> Vec<Vec<Cell>> {
    let sha256: Cell = original(photo).map(|hash| hash.to_string()).into();
    let mut rows = Vec::new();
    let disputed = photo.marks.blocks();
    for tip in &photo.marks.tips {
        let first = vec![number(n), sha256.clone()];
        let own = of_word(tip, disputed).into_iter();
        rows.extend(own.map(|cells| {
            let mut row = first.clone();
            row.extend(cells);
            row.extend(who(job, photo.marks.standing, tip));
            row
        }));
    }
    rows
}

fn of_word(tip: &Told<Marks, Said>, disputed: bool) -> Vec<Vec<Cell>> {
    let Some(marks) = &tip.value else {
        let none = vec![vec![Cell::Empty; 7]];
        return if disputed { none } else { Vec::new() };
    };
    let numbered = (1i64..).zip(&marks.marks);
    numbered.map(|(n, mark)| of_mark(n, mark)).collect()
}

fn of_mark(n: i64, mark: &Mark) -> Vec<Cell> {
    let row = |kind: &str, from: [i64; 2], to: Option<[i64; 2]>, words: Cell| {
        let [x, y] = from.map(number);
        let [to_x, to_y] = to.map_or([Cell::Empty, Cell::Empty], |to| to.map(number));
        vec![number(n), kind.into(), x, y, to_x, to_y, words]
    };
    match mark {
        Mark::Arrow { x, y, to_x, to_y } => {
            row("arrow", [*x, *y], Some([*to_x, *to_y]), Cell::Empty)
        }
        Mark::Ring { x, y, to_x, to_y } => row("ring", [*x, *y], Some([*to_x, *to_y]), Cell::Empty),
        Mark::Text { x, y, text } => row("words", [*x, *y], None, text.clone().into()),
    }
}
