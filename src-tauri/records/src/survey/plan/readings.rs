//! Bays and lengths: refused where they can't be, asked about where they are odd.

use std::collections::BTreeMap;

use mechanics::Millimetres;
use mechanics::plausible::{AddedUp, Beside, question_length};
use serde::Serialize;
use serde_json::Value;

use super::super::facts::{BayRow, Fact, Given, LengthRow, Survey};
use super::super::problem::shown;
use super::{Layout, Part, Planner};
use crate::ids::ItemId;
use crate::model::context::{BayRead, LengthRead};
use crate::model::fields;
use crate::model::values::{Length, LowSpot, Purpose};
use crate::record::Draft;
use crate::subject::{ItemKind, Subject};
use crate::work::{
    CutLine, between_inserts, cut_sheet, leaves_its_window, lengths_taken, odd_beside_repeats,
    odd_beside_sum, unusual_bay, unusual_wire,
};

/// Most readings in one act, so that one write stays small.
const IN_ONE_ACT: usize = 500;

impl Planner<'_, '_> {
    /// Bays between neighbours.
    pub(super) fn bays(&mut self, survey: &Survey, layouts: &BTreeMap<ItemId, Layout>) {
        let run_of: BTreeMap<Subject, ItemId> = layouts
            .iter()
            .flat_map(|(run, layout)| layout.bays().map(|bay| (bay, *run)))
            .collect();
        let mut by_run: BTreeMap<ItemId, Vec<(Subject, &BayRow)>> = BTreeMap::new();
        for row in &survey.bays {
            let from = self.named(ItemKind::Post, &row.from, &format!("{}.from", row.path));
            let to = self.named(ItemKind::Post, &row.to, &format!("{}.to", row.path));
            let (Some(from), Some(to)) = (from, to) else {
                continue;
            };
            let bay = Subject::bay(from, to);
            match run_of.get(&bay) {
                Some(run) => by_run.entry(*run).or_default().push((bay, row)),
                None => {
                    let message = format!(
                        "{} and {} are not neighbours in any run; place both posts first",
                        shown(&row.from),
                        shown(&row.to)
                    );
                    self.log.refuse(&row.path, message);
                }
            }
        }
        let mut drafts = Vec::new();
        for (run, rows) in by_run {
            self.speaks_of(run, "bays");
            let recorded = self.job.run(run).into_iter().flat_map(|r| &r.bays);
            let recorded = recorded.filter(|b| b.measured).filter_map(|b| b.clear);
            let clears = rows.iter().map(|(_, row)| row.clear);
            let clears = clears.filter(|l| likely(*l, None) && unusual_bay(*l).is_none());
            let alike = sorted(clears.chain(recorded).collect());
            drafts.extend(self.bays_of_run(&rows, &alike, layouts.get(&run)));
        }
        self.readings(Part::Bays, "bays", drafts);
    }

    fn bays_of_run(
        &mut self,
        rows: &[(Subject, &BayRow)],
        alike: &[Length],
        layout: Option<&Layout>,
    ) -> Vec<Draft> {
        let mut drafts = Vec::new();
        for (subject, row) in rows {
            let question = odd(row.clear, alike, false).or_else(|| unusual_bay(row.clear));
            if let (None, Some(layout)) = (&question, layout) {
                self.beside_positions(subject, row, layout);
            }
            let path = format!("{}.clear", row.path);
            let taken = question.is_none_or(|question| self.asked(&path, &question));
            let path_of_tool = format!("{}.tool", row.path);
            let Some(tool) = self.tool(row.tool.as_deref(), &path_of_tool) else {
                continue;
            };
            let with = BayRead {
                tool,
                ..row.with.clone()
            };
            let fact = reading(&path, fields::BAY_CLEAR.name, row.clear, &with);
            if taken {
                self.clears.push((*subject, row.clear, row.with.along));
            }
            if let (true, Some(fact)) = (taken, fact) {
                drafts.extend(self.against(subject, &fact, ""));
            }
            if let Some(fact) = row.low_spot.as_ref().and_then(|told| low_spot(row, told)) {
                drafts.extend(self.against(subject, &fact, ""));
            }
        }
        drafts
    }

    /// The tool of that name, where one is named; none where the job has no such tool.
    fn tool(&mut self, name: Option<&str>, path: &str) -> Option<Option<ItemId>> {
        match name {
            Some(name) => self.named(ItemKind::Tool, name, path).map(Some),
            None => Some(None),
        }
    }

    /// Inside-to-inside lengths.
    pub(super) fn lengths(&mut self, survey: &Survey, layouts: &BTreeMap<ItemId, Layout>) {
        let mut by_run: BTreeMap<ItemId, Vec<&LengthRow>> = BTreeMap::new();
        for row in &survey.lengths {
            let Some(run) = self.named(ItemKind::Run, &row.run, &at(row, "run")) else {
                continue;
            };
            let wires = layouts.get(&run).map_or(0, |l| l.wires);
            if row.wire > wires {
                let message = format!("run {} has {wires} wires, none is {}", row.run, row.wire);
                self.log.refuse(&at(row, "wire"), message);
                continue;
            }
            by_run.entry(run).or_default().push(row);
        }
        let mut drafts = Vec::new();
        for (run, rows) in by_run {
            self.speaks_of(run, "lengths");
            let beside = self.beside(survey, run, &rows, layouts.get(&run));
            for row in rows {
                let path = at(row, "length");
                let Some(tool) = self.tool(row.tool.as_deref(), &at(row, "tool")) else {
                    continue;
                };
                let with = LengthRead {
                    tool,
                    ..row.with.clone()
                };
                let fact = reading(&path, fields::WIRE_LENGTH.name, row.length, &with);
                let draft =
                    fact.and_then(|fact| self.against(&Subject::Wire(run, row.wire), &fact, ""));
                // What is there already was answered then.
                let question = draft.as_ref().and_then(|_| beside.odd(row));
                if question.is_none_or(|question| self.asked(&path, &question)) {
                    drafts.extend(draft);
                }
            }
        }
        self.readings(Part::Lengths, "lengths", drafts);
    }

    /// What the lengths of a run in the file are held against.
    fn beside(
        &self,
        survey: &Survey,
        run: ItemId,
        rows: &[&LengthRow],
        layout: Option<&Layout>,
    ) -> LengthsBeside {
        let known = self.job.run(run);
        LengthsBeside {
            alike: self.alike(run, rows, layout),
            run: known.map_or_else(
                || shown(rows.first().map_or("", |r| &r.run)),
                |r| r.name.clone(),
            ),
            added: layout.and_then(|layout| self.added_up(survey, run, layout)),
            taken: known.map(lengths_taken).unwrap_or_default(),
            rows: rows
                .iter()
                .filter(|row| row.with.purpose == Purpose::Cut)
                .map(|row| (row.path.clone(), row.wire, cut_from(row)))
                .collect(),
            cuts: known
                .and_then(|_| cut_sheet(self.job, run).ok())
                .map(|sheet| sheet.lines)
                .unwrap_or_default(),
        }
    }

    /// Lengths that should be alike: those of the run that are likely, and where there are few the
    /// posts too.
    fn alike(&self, run: ItemId, rows: &[&LengthRow], layout: Option<&Layout>) -> Vec<Length> {
        let recorded = self.job.run(run).into_iter().flat_map(|r| &r.wires);
        let recorded = recorded
            .flat_map(|w| &w.lengths)
            .filter_map(|fact| fact.shown().copied());
        let span = layout.and_then(Layout::span_mm);
        let rows = rows.iter().map(|r| r.length);
        let rows = rows.filter(|l| likely(*l, span.map(Millimetres)));
        let mut alike: Vec<Length> = rows.chain(recorded).collect();
        if alike.len() < 3 {
            alike.extend(span.map(Length::from_mm));
        }
        sorted(alike)
    }

    fn readings(&mut self, part: Part, path: &str, drafts: Vec<Draft>) {
        for some in drafts.chunks(IN_ONE_ACT) {
            self.act(part, some.len(), path, some.to_vec());
        }
    }
}

/// What the lengths of a run are held against, as a length that is read by hand is.
struct LengthsBeside {
    /// All lengths of the run.
    alike: Vec<Length>,
    /// The run's name.
    run: String,
    /// What bays and posts add up to.
    added: Option<AddedUp>,
    /// Lengths that the job has, by wire.
    taken: Vec<(u32, Millimetres)>,
    /// Lengths of the file that may be cut from, by their places in it.
    rows: Vec<(String, u32, Millimetres)>,
    /// The run's cut sheet before the file.
    cuts: Vec<CutLine>,
}

impl LengthsBeside {
    /// What to ask about a length; nothing where nothing is odd.
    fn odd(&self, row: &LengthRow) -> Option<String> {
        let apart = || {
            let others = self.taken.iter().filter(|(wire, _)| *wire != row.wire);
            let others = others.map(|(_, length)| *length);
            odd_beside_sum(&self.run, row.length, &row.with, self.added?, others)
        };
        // Of two rows the later one is asked about.
        let earlier = self.rows.iter().take_while(|(path, ..)| *path != row.path);
        let earlier = earlier.map(|(_, wire, length)| (*wire, *length));
        let again = || {
            let all = self.taken.iter().copied().chain(earlier);
            odd_beside_repeats(row.wire, row.length, &row.with, all)
        };
        let alone = || unusual_wire(row.length).filter(|_| self.added.is_none());
        let first = odd(row.length, &self.alike, true)
            .or_else(alone)
            .or_else(apart)
            .or_else(again);
        let line = self.cuts.iter().find(|line| line.wire == row.wire);
        let window = line.and_then(|line| leaves_its_window(line, row.length));
        let all: Vec<String> = first.into_iter().chain(window).collect();
        (!all.is_empty()).then(|| all.join(" "))
    }
}

fn at(row: &LengthRow, field: &str) -> String {
    // A row of a table is named by its line, a reading in JSON by its place in the list.
    let between = if row.path.starts_with("line ") {
        ", "
    } else {
        "."
    };
    format!("{}{between}{field}", row.path)
}

/// A length as cuts go by it.
fn cut_from(row: &LengthRow) -> Millimetres {
    Millimetres(between_inserts(row.length, Some(&row.with)))
}

fn mm(length: Length) -> Millimetres {
    Millimetres(length.as_mm())
}

fn reading<C: Serialize>(
    path: &str,
    field: &'static str,
    length: Length,
    with: &C,
) -> Option<Fact> {
    Some(Fact {
        path: path.to_owned(),
        field,
        many: true,
        place: String::new(),
        value: Given::Value(serde_json::to_value(length).ok()?),
        with: serde_json::to_value(with).ok().filter(Value::is_object),
    })
}

fn low_spot(row: &BayRow, (spot, entered): &(LowSpot, String)) -> Option<Fact> {
    Some(Fact {
        path: format!("{}.lowSpot", row.path),
        field: fields::BAY_LOW_SPOT.name,
        many: false,
        place: String::new(),
        value: Given::Value(serde_json::to_value(spot).ok()?),
        with: Some(serde_json::json!({ "entered": entered })),
    })
}

/// What to ask about a length, if anything; `lengths` is sorted, and holds the length itself where it is
/// likely. Wires of a run are alike; where only two lengths are known, nobody can tell which of them is
/// off.
fn odd(length: Length, lengths: &[Length], wires: bool) -> Option<String> {
    let beside = middle(length, lengths).map(|middle| Beside {
        name: if wires {
            "the middle length of this run"
        } else {
            "the middle bay of this run"
        },
        length: mm(middle),
        alike: wires && lengths.len() >= 3,
    });
    match question_length(mm(length), beside) {
        Ok(asked) => asked.map(|asked| asked.sentence().to_owned()),
        Err(error) => Some(format!("{error}.")),
    }
}

/// Whether others may be held against a length: nothing is to be asked about it by itself, nor beside
/// the end posts' distance where that is known.
fn likely(length: Length, span: Option<Millimetres>) -> bool {
    let beside = span.map(|length| Beside {
        name: "the end posts",
        length,
        alike: false,
    });
    matches!(question_length(mm(length), beside), Ok(None))
}

/// The middle one of lengths that should be alike; of two, the other one.
fn middle(length: Length, alike: &[Length]) -> Option<Length> {
    match alike {
        [] => None,
        [one] => (*one != length).then_some(*one),
        [one, other] => Some(if *one == length { *other } else { *one }),
        more => more.get(more.len() / 2).copied(),
    }
}

fn sorted(mut lengths: Vec<Length>) -> Vec<Length> {
    lengths.sort_unstable();
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_lengths_are_asked_about_and_their_neighbours_are_not() {
        let all = |v: &[f64]| sorted(v.iter().map(|v| Length::from_mm(*v)).collect());
        let ask = |length, v: &[f64]| odd(Length::from_mm(length), &all(v), true);
        let good = [7294.0, 7300.0, 7305.0];
        for length in good {
            assert_eq!(ask(length, &good), None);
        }
        for wrong in [287.0, 185_000.0, 7450.0, 3000.0, 101_000.0] {
            let run = [7294.0, 7300.0, wrong];
            assert_eq!(ask(7294.0, &run), None, "{wrong}");
            assert!(ask(wrong, &run).is_some(), "{wrong}");
        }
        // Two readings, with the distance of the end posts as the third.
        let run = [287.0, 7300.0, 7415.0];
        assert!(ask(287.0, &run).is_some());
        assert_eq!(ask(7300.0, &run), None);
        // Two alone: nobody can tell which is wrong.
        assert!(ask(287.0, &[287.0, 7300.0]).is_some());
        assert!(ask(7300.0, &[287.0, 7300.0]).is_some());
        // Alone: nothing to hold it against but its size.
        assert_eq!(ask(7300.0, &[7300.0]), None);
        assert!(ask(100_001.0, &[100_001.0]).is_some());
        // Bays differ by nature.
        let bay = |length: f64, v: &[f64]| odd(Length::from_mm(length), &all(v), false);
        assert_eq!(bay(735.0, &[735.0, 1380.0, 1410.0]), None);
        assert!(bay(55.5, &[55.5, 1380.0, 1410.0]).is_some());
    }
}
