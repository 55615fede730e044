//! Motion from a table: one sample a line, milliseconds and accelerations of one to three axes.
//!
//! `ms;x;y;z` heads it; fields are parted by semicolons or commas. Times stand as they were, so that
//! gaps show.

use records::work::SwingTimes;

use crate::ApiError;

/// Most lines that are read.
const MOST: usize = 20_000;

/// Reads the samples, axis by axis.
pub(crate) fn motion(bytes: &[u8]) -> Result<SwingTimes, ApiError> {
    let text = std::str::from_utf8(bytes).map_err(|_| {
        ApiError::invalid("The motion is no text. Record it again, or choose the motion file.")
    })?;
    let mut axes: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut read = 0_usize;
    for (number, line) in (1..).zip(text.lines()) {
        let line = line.trim().trim_start_matches('\u{feff}');
        let heading = number == 1 && line.starts_with("ms");
        if line.is_empty() || heading {
            continue;
        }
        read += 1;
        if read > MOST {
            return Err(ApiError::invalid(format!(
                "The motion has over {MOST} samples. Keep eight seconds of it."
            )));
        }
        let fields = fields(line).ok_or_else(|| wrong(number))?;
        let Some((ms, values)) = fields
            .split_first()
            .filter(|(_, v)| (1..=3).contains(&v.len()))
        else {
            return Err(wrong(number));
        };
        if read == 1 {
            axes.resize(values.len(), Vec::new());
        }
        if axes.len() != values.len() {
            return Err(wrong(number));
        }
        for (axis, value) in axes.iter_mut().zip(values) {
            axis.push((ms / 1000.0, *value));
        }
    }
    Ok(SwingTimes { axes })
}

fn fields(line: &str) -> Option<Vec<f64>> {
    let parted = if line.contains(';') { ';' } else { ',' };
    line.split(parted)
        .map(|field| field.trim().replace(',', ".").parse().ok())
        .collect()
}

fn wrong(line: usize) -> ApiError {
    ApiError::invalid(format!(
        "Line {line} of the motion is no sample. Each line holds milliseconds and one to three \
         accelerations, as in 20;0.12;-0.03;9.79. Nothing was saved."
    ))
}

#[cfg(test)]
mod tests {
    use super::motion;

    #[test]
    fn samples_are_read_axis_by_axis() {
        let table = "ms;x;y;z\n0;0,1;0.2;9.8\n\n20.5;-0.1;0;9.7\n";
        let read = motion(table.as_bytes()).unwrap();
        assert_eq!(
            read.axes,
            [
                vec![(0.0, 0.1), (0.0205, -0.1)],
                vec![(0.0, 0.2), (0.0205, 0.0)],
                vec![(0.0, 9.8), (0.0205, 9.7)]
            ]
        );
        assert_eq!(motion(b"0,1.5\n10,1.6").unwrap().axes.len(), 1);
        assert!(motion(b"").unwrap().axes.is_empty());
    }

    #[test]
    fn what_is_no_sample_is_named_by_its_line() {
        for (table, line) in [
            ("ms;x\n0;1\nx;2", "Line 3"),
            ("0;1;2\n1;1", "Line 2"),
            ("0", "Line 1"),
            ("0;1;2;3;4", "Line 1"),
        ] {
            let error = motion(table.as_bytes()).unwrap_err();
            assert!(error.message.starts_with(line), "{}", error.message);
        }
        assert!(motion(&[0xff, 0xfe]).is_err());
        let long = "1;1\n".repeat(20_001);
        assert!(
            motion(long.as_bytes())
                .unwrap_err()
                .message
                .contains("20000")
        );
    }
}
