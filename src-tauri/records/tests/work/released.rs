//! Releases for cutting, as the cut sheet gives rise to them.

use records::ids::ItemId;
use records::job::Job;
use records::model::fields;
use records::model::values::CutIssue;
use records::record::{Draft, value_data};
use records::work::{CutLine, cut_sheet};

use crate::scene::{Scene, mm};

/// A wire as the cut sheet tells it.
pub fn line_of(job: &Job<'_>, run: ItemId, wire: u32) -> CutLine {
    let sheet = cut_sheet(job, run).unwrap();
    sheet.lines.into_iter().find(|l| l.wire == wire).unwrap()
}

impl Scene {
    /// Releases a wire for cutting, by what the cut sheet tells of it.
    pub fn release(&mut self, run: ItemId, wire: u32) {
        let line = self.with_job(|job| line_of(job, run, wire));
        let issue = CutIssue {
            cut_nm: mm(line.aim_mm.unwrap()).nm,
            shortest_nm: mm(line.shortest_mm.unwrap()).nm,
            longest_nm: mm(line.longest_mm.unwrap()).nm,
            deduction: None,
        };
        let mut data = value_data("1", &serde_json::to_value(issue).unwrap());
        let with = serde_json::json!({"program": "test", "numbers": line.numbers});
        data.insert("with".into(), with);
        let draft = Draft {
            kind: fields::WIRE_CUT_ISSUED.kind(),
            subject: line.subject.to_string(),
            basis: line.basis,
            data,
            ..Draft::default()
        };
        let (job, person) = (self.device.job(), self.device.person());
        self.device.record.act(job, person, vec![draft]).unwrap();
    }
}
