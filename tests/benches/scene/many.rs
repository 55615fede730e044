//! A record of very many entries.

use std::path::Path;
use std::sync::Arc;

use records::Record;
use records::clock::SystemClock;
use records::ids::{BookId, ItemId};
use records::model::context::TensionRead;
use records::model::fields::WIRE_TENSION;
use records::model::values::{Force, Method, Stage};
use records::record::{Draft, value_data};
use records::subject::Subject;

use super::job::{Large, RUNS, WIRES};
use super::{Outcome, entries};

/// Entries of one act; a whole act is one write.
const ACT: usize = 500;

/// Fills the record up with tension readings until it holds `whole` entries, and gives the job.
pub fn fill(data: &Path, large: &Large, whole: usize) -> Outcome<BookId> {
    let job: BookId = large.job.parse()?;
    let mut record = Record::open(data, Arc::new(SystemClock))?;
    let person = record.person()?.ok_or("nobody is known on the device")?;
    let missing = whole.saturating_sub(entries(data)?);
    let mut n = 0;
    while n < missing {
        let act = (n..missing.min(n + ACT))
            .map(|n| reading(large, n))
            .collect::<Outcome<Vec<Draft>>>()?;
        n += act.len();
        record.act(job, person, act)?;
    }
    Ok(job)
}

fn reading(large: &Large, n: usize) -> Outcome<Draft> {
    let run = large.runs.iter().cycle().nth(n / WIRES % RUNS);
    let run = run.ok_or("no runs")?;
    let id: ItemId = run.id.parse()?;
    let wire = u32::try_from(n % WIRES)? + 1;
    let newtons = 1480 + i64::try_from(n % 40)?;
    let with = TensionRead {
        entered: Some(format!("{newtons} N")),
        method: Method::Gauge,
        stage: Stage::Pass,
        pass: Some(2),
        piece: 1,
        gauge: None,
        raw: None,
        chart: None,
        repeat: None,
        air_cdeg: Some(2400),
        wire_cdeg: None,
        sun: None,
        reason: None,
        told: None,
    };
    let value = serde_json::to_value(Force::newtons(newtons))?;
    let mut data = value_data(&run.bay(), &value);
    data.insert("with".into(), serde_json::to_value(with)?);
    Ok(Draft {
        kind: WIRE_TENSION.kind(),
        subject: Subject::Wire(id, wire).to_string(),
        data,
        ..Draft::default()
    })
}
