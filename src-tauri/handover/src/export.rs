//! Tables as CSV and as one workbook.
//!
//! Invariant: no cell is ever read as a formula; hidden characters of people's texts are shown.

use rust_xlsxwriter::{Format, Workbook};

use crate::HandoverError;
use crate::tables::{Cell, Table};
use crate::visible;

/// A table as CSV: RFC 4180, UTF-8, a header line.
///
/// # Errors
/// When the writer refuses a row.
pub(crate) fn csv(table: &Table) -> Result<Vec<u8>, HandoverError> {
    let failed = |e: &dyn std::fmt::Display| HandoverError::Table {
        table: table.name.into(),
        reason: e.to_string(),
    };
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&table.head).map_err(|e| failed(&e))?;
    for row in &table.rows {
        let cells = row.iter().map(|cell| match cell {
            Cell::Text(text) => text_cell(text),
            Cell::Number(n) => n.to_string(),
            Cell::Empty => String::new(),
        });
        writer.write_record(cells).map_err(|e| failed(&e))?;
    }
    writer.into_inner().map_err(|e| failed(&e))
}

/// Text that no spreadsheet takes for a formula: those that could be one start with an apostrophe.
pub(crate) fn text_cell(text: &str) -> String {
    let risky = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let shown = visible::line(text);
    if risky { format!("'{shown}") } else { shown }
}

/// All tables as one workbook, one sheet each; texts are written as texts.
///
/// # Errors
/// When the workbook can't be made.
pub(crate) fn workbook(tables: &[Table]) -> Result<Vec<u8>, HandoverError> {
    let failed = |table: &str, e: &rust_xlsxwriter::XlsxError| HandoverError::Table {
        table: table.to_owned(),
        reason: e.to_string(),
    };
    let mut book = Workbook::new();
    let bold = Format::new().set_bold();
    for table in tables {
        let sheet = book.add_worksheet();
        sheet
            .set_name(table.name)
            .map_err(|e| failed(table.name, &e))?;
        for (column, head) in (0u16..).zip(&table.head) {
            sheet
                .write_string_with_format(0, column, *head, &bold)
                .map_err(|e| failed(table.name, &e))?;
        }
        for (line, row) in (1u32..).zip(&table.rows) {
            for (column, cell) in (0u16..).zip(row) {
                match cell {
                    Cell::Text(text) => sheet
                        .write_string(line, column, visible::line(text))
                        .map(drop),
                    Cell::Number(n) => sheet.write_number(line, column, *n).map(drop),
                    Cell::Empty => Ok(()),
                }
                .map_err(|e| failed(table.name, &e))?;
            }
        }
    }
    book.save_to_buffer().map_err(|e| failed("tables.xlsx", &e))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(text: &str) -> Table {
        Table {
            name: "t",
            title: "t",
            head: vec!["text", "number"],
            rows: vec![vec![text.into(), Cell::Number(-12.5)]],
        }
    }

    #[test]
    fn what_looks_like_a_formula_stays_text() {
        for (text, cell) in [
            ("=HYPERLINK(\"x\")", "\"'=HYPERLINK(\"\"x\"\")\""),
            ("+1", "'+1"),
            ("-1", "'-1"),
            ("@x", "'@x"),
            ("\t=1", "'<U+0009>=1"),
            ("plain, with comma", "\"plain, with comma\""),
        ] {
            let written = String::from_utf8(csv(&table(text)).unwrap()).unwrap();
            assert_eq!(written, format!("text,number\n{cell},-12.5\n"));
        }
    }
}
