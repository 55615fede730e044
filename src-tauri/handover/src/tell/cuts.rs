//! Lengths of wires, what was told when a cut was released, and what was cut.
//!
//! Invariant: numbers of a release are printed as they were told, never worked out again.

use records::job::{Run, Wire, WireLength};
use records::model::context::Number;
use records::model::values::Length;
use records::work::{self, CutLine};

use super::reading::Reading;
use super::{Block, Row, words};

/// Lengths as they stand, what was told when a cut was released, and what was cut.
pub(super) fn lengths(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let sheet = reading.found.run(run).and_then(|r| r.sheet.as_ref().ok());
    let common = common(run);
    let line = |w: &Wire| sheet.and_then(|s| s.lines.iter().find(|l| l.wire == w.number));
    let unchanged = run.wires.iter().all(|w| stands_as_told(w, line(w)));
    let told = Columns::of(run, &common, unchanged);
    let rows: Vec<Row> = run
        .wires
        .iter()
        .map(|w| length_row(reading, run, w, line(w), &told))
        .collect();
    if rows.is_empty() {
        return;
    }
    blocks.push(Block::head(format!("Run {}: lengths and cuts", run.name)));
    let mut head = vec!["Wire", "Inside to inside"];
    let mut widths = vec![0.6, if unchanged { 3.3 } else { 2.3 }];
    let names: Vec<String> = told.names.iter().map(|n| format!("Told: {n}")).collect();
    head.extend(names.iter().map(String::as_str));
    let width = |origin: &Option<String>| if origin.is_some() { 1.3 } else { 2.3 };
    widths.extend(told.origins.iter().map(width));
    head.extend(["Window", "Released", "Cut", "Remark"]);
    widths.extend([1.5, 1.0, 0.9, 1.4]);
    blocks.push(Block::table(&head, &widths, rows));
    let mut said = Vec::new();
    if !names.is_empty() || !common.is_empty() {
        said.push("Told: what the program told when the cut was released.".to_owned());
    }
    if unchanged && run.wires.iter().any(|w| numbers(w).is_some()) {
        said.push("Every length inside to inside that was told then still stands.".to_owned());
    }
    said.extend(told.origins());
    if !common.is_empty() {
        said.push(format!(
            "For every wire of run {}: {}.",
            run.name,
            words::numbers(common)
        ));
    }
    if !said.is_empty() {
        blocks.push(Block::remark(said.join(" ")));
    }
    let left_out = sheet.and_then(|s| words::assumed(&run.name, &s.notes));
    blocks.extend(left_out.map(Block::remark));
}

/// Told numbers that differ from wire to wire, one column for each name.
struct Columns {
    names: Vec<String>,
    /// The origin of all numbers of a column, where they share one.
    origins: Vec<Option<String>>,
}

/// Told numbers that stand in columns of their own as values of the release.
const BESIDE: [&str; 3] = ["shortest cut", "longest cut", "cut"];
/// The length that the cut was worked out from.
const INSIDE: &str = "inside to inside";

/// Whether the length that a wire's issue was told is the one that stands now.
fn stands_as_told(wire: &Wire, line: Option<&CutLine>) -> bool {
    let Some(told) = numbers(wire).and_then(|all| all.iter().find(|n| n.name == INSIDE)) else {
        return numbers(wire).is_none();
    };
    let now = match &wire.length {
        WireLength::Cuttable { nm, .. } => Some(words::mm(*nm)),
        WireLength::NotMeasured => {
            let inside = line.and_then(|l| l.inside_mm);
            inside.map(|mm| format!("{} mm", words::number(mm)))
        }
        _ => None,
    };
    now.is_some_and(|now| told.value.replace(".0 mm", " mm") == now)
}

impl Columns {
    /// `unchanged`: the told lengths are those that stand, and need no column of their own.
    fn of(run: &Run, common: &[&Number], unchanged: bool) -> Self {
        let told: Vec<&Number> = run
            .wires
            .iter()
            .filter_map(numbers)
            .flatten()
            .filter(|n| !BESIDE.contains(&n.name.as_str()) && !common.contains(n))
            .filter(|n| !unchanged || n.name != INSIDE)
            .collect();
        let mut names: Vec<String> = Vec::new();
        for number in &told {
            if !names.contains(&number.name) {
                names.push(number.name.clone());
            }
        }
        let shared = |name: &String| {
            let mut of_name = told.iter().filter(|n| n.name == *name);
            let first = of_name.next()?;
            of_name
                .all(|n| n.origin == first.origin)
                .then(|| first.origin.clone())
        };
        let origins = names.iter().map(shared).collect();
        Columns { names, origins }
    }

    fn origins(&self) -> Option<String> {
        let told: Vec<String> = self
            .names
            .iter()
            .zip(&self.origins)
            .filter_map(|(name, origin)| Some(format!("{name} is {}", origin.as_ref()?)))
            .collect();
        (!told.is_empty()).then(|| format!("Origins: {}.", told.join("; ")))
    }

    fn cells(&self, wire: &Wire) -> Vec<String> {
        let numbers = numbers(wire).unwrap_or_default();
        let cell = |(name, shared): (&String, &Option<String>)| {
            let Some(number) = numbers.iter().find(|n| n.name == *name) else {
                return String::new();
            };
            match shared {
                Some(_) => number.value.clone(),
                None => format!("{} ({})", number.value, number.origin),
            }
        };
        self.names.iter().zip(&self.origins).map(cell).collect()
    }
}

/// Numbers that every released wire of a run was told alike.
fn common(run: &Run) -> Vec<&Number> {
    let mut told = run.wires.iter().filter_map(numbers);
    let Some(first) = told.next() else {
        return Vec::new();
    };
    let rest: Vec<&[Number]> = told.collect();
    if rest.is_empty() {
        return Vec::new();
    }
    first
        .iter()
        .filter(|n| rest.iter().all(|other| other.contains(n)))
        .collect()
}

fn numbers(wire: &Wire) -> Option<&[Number]> {
    Some(wire.issued.told()?.with.as_ref()?.numbers.as_slice())
}

fn length_row(
    reading: &Reading<'_>,
    run: &Run,
    wire: &Wire,
    line: Option<&CutLine>,
    told: &Columns,
) -> Row {
    let length = match &wire.length {
        WireLength::Cuttable { nm, basis, .. } => {
            format!(
                "{} measured, {}",
                words::mm(*nm),
                words::count(
                    u64::try_from(basis.len()).unwrap_or(u64::MAX),
                    "reading",
                    "readings"
                )
            )
        }
        WireLength::NotMeasured => line.and_then(|l| Some((l, l.inside_mm?))).map_or_else(
            || "not measured".into(),
            |(l, inside)| {
                let from = words::ranges(&l.interpolated_from);
                format!("{} mm interpolated from {from}", words::number(inside))
            },
        ),
        WireLength::Disputed | WireLength::Newer => wire
            .lengths
            .iter()
            .filter(|f| f.blocks())
            .map(|f| reading.say(f, |l| words::mm(l.nm)))
            .collect::<Vec<_>>()
            .join("; "),
        WireLength::QuoteOnly => "read for a quote only".into(),
        WireLength::TooEarly(state) => format!("read too early: {}", words::post_state(*state)),
    };
    let issued = wire.issued.told();
    let window = wire.issued.value().map_or_else(String::new, |i| {
        let mm = |nm| Length { nm }.as_mm();
        let (from, to) = work::words::window(mm(i.shortest_nm), mm(i.longest_nm));
        format!("{from}–{to}")
    });
    let moved = issued.map_or_else(String::new, |t| {
        reading.basis(work::Decision::Release(run, wire), &t.basis)
    });
    let blocked = matches!(wire.length, WireLength::Disputed | WireLength::Newer);
    let mut cells = vec![wire.number.to_string(), length];
    cells.extend(told.cells(wire));
    cells.extend([
        window,
        reading.say(&wire.issued, |i| words::mm(i.cut_nm)),
        reading.say(&wire.cut, |c| words::mm(c.nm)),
        moved.clone(),
    ]);
    Row::of(cells).marked(blocked || wire.issued.blocks() || wire.cut.blocks() || !moved.is_empty())
}
