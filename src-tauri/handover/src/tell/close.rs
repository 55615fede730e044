//! The end of the document: care and next dates, what the record proves, hashes.

use records::book::Why;
use records::model::fields;
use records::model::values::ToolKind;
use records::work::EvidenceState;

use super::reading::Reading;
use super::{Block, Fact, Row, Section, later, open, words};

pub(super) fn care(reading: &Reading<'_>) -> Section {
    let items = [
        "Wash wires and fittings with fresh water and a soft cloth: twice a year, every month within sight of surf or salt water, and more often where the roof keeps the rain away.",
        "Use no chlorine, no acid cleaner and no steel wool. A brown bloom wiped off early leaves no mark.",
        "Look along every run once a year: wires even, nuts tight, posts upright, rail firm, no post soft at its foot.",
        "Have the tension read again by a person with a gauge after the first year, after a post or rail was touched, and after anything struck the barrier.",
    ];
    let cautions = [
        "Hang nothing on the wires, do not climb them and lean no load against them.",
        "A slack wire: keep children away from it and call the installer.",
        "Do not tighten one wire by itself: it takes the load off its neighbours and pulls the posts.",
        "Furniture and planters within a child's reach of the barrier are steps; keep them away from it.",
    ];
    let mut blocks = vec![Block::List {
        items: items.map(String::from).to_vec(),
    }];
    blocks.push(Block::head("Next dates"));
    blocks.push(next_dates(reading));
    blocks.push(Block::remark(
        "Intervals are common practice, counted from this handover where nothing else is said; where the rule set, the engineer or the makers of the parts ask for more, that holds.",
    ));
    blocks.push(Block::head("For everyone who uses the place"));
    blocks.extend(cautions.map(|text| Block::Caution { text: text.into() }));
    Section {
        title: "Care, for the owner".into(),
        new_page: false,
        blocks,
    }
}

/// When the owner should have what looked at, and what the site asks of the washing.
fn next_dates(reading: &Reading<'_>) -> Block {
    let after = |months| words::day_after(reading.source.made, months);
    let mut rows = vec![
        Fact::of("Look along every run", format!("by {}", after(12))).with("then every year"),
        match later::yearly(reading) {
            Some(day) => Fact::of("Tension read again", format!("by {day}")).with(
                "a year after it was looked at last, and after anything touched or struck it",
            ),
            None => Fact::of("Tension read again", format!("by {}", after(12)))
                .with("a year after this handover, and after anything touched or struck it"),
        },
    ];
    let salt = reading.fact(fields::JOB_SALT_DISTANCE, |l| words::metres(*l));
    let washed = reading.fact(fields::JOB_WASHED, |f| {
        if *f {
            "washed by rain"
        } else {
            "sheltered from rain"
        }
        .into()
    });
    let site = [
        (!salt.is_empty()).then(|| format!("salt or surf at {salt}")),
        (!washed.is_empty()).then_some(washed),
    ];
    let site: Vec<String> = site.into_iter().flatten().collect();
    let mut wash = Fact::of("First wash", format!("by {}", after(1)));
    if !site.is_empty() {
        wash = wash.with(format!("on record here: {}", site.join(", ")));
    }
    rows.insert(0, wash);
    let due = open::to_read(reading);
    rows.splice(0..0, due);
    rows.extend(later::next_dates(reading));
    rows.extend(reading.job.tools.iter().filter_map(|t| {
        let due = words::date(t.due.as_ref());
        (!due.is_empty() && t.kind == Some(ToolKind::TensionGauge)).then(|| {
            Fact::of(&format!("Gauge {}", t.name), format!("by {due}"))
                .with("compared again, before it reads this barrier")
        })
    }));
    Block::Facts { rows }
}

pub(super) fn data(reading: &Reading<'_>) -> Section {
    let mut blocks = vec![
        Block::head("What this record proves, and what it does not"),
        Block::List {
            items: [
                "Every entry here is signed by the device that made it and holds the hash of the one before: what is here is genuine and unbroken, and a changed letter is found.",
                "An end that was cut off is found only by someone who has seen a later entry.",
                "It does not keep a device's owner from recording something untrue, nor anyone from holding entries or pictures back.",
                "A signature is as strong as the device it was made on: whoever held the device could sign.",
                "Nothing is encrypted: who has these files can read them.",
            ]
            .map(String::from)
            .to_vec(),
        },
        Block::text("The same data lies beside this document and is attached to it: state, tables, and in the folder the entry lines of both books and the original pictures. The command “sha256sum -c SHA256SUMS” finds damaged files, and not a change after which the sums were written anew; “tautbook verify --handover .” checks the making device's signature over all files, and signatures, chain, pictures and this document's data as well. The document is marked as PDF/A-3b; it was not independently validated."),
    ];
    let view = reading.job.reader.view;
    let crew = reading.job.reader.crew;
    blocks.extend(not_counting(reading, |_| true).map(Block::text));
    blocks.extend(evidence(reading));
    blocks.push(Block::head("Devices and their last entries"));
    let rows = view
        .heads()
        .iter()
        .map(|(device, (n, hash))| {
            let name = crew.device_name(device).unwrap_or("not admitted");
            Row::of([
                name.to_owned(),
                device.to_string(),
                n.to_string(),
                hash.to_string(),
            ])
        })
        .collect();
    blocks.push(Block::table(
        &["Device of", "Device", "Entries", "SHA-256 of the last"],
        &[1.0, 2.4, 0.8, 5.0],
        rows,
    ));
    let founding = crew
        .founding
        .map_or_else(|| "not here".into(), |h| h.to_string());
    blocks.push(Block::remark(format!(
        "Crew founded by entry {founding}. Job's book {}.",
        view.book
    )));
    blocks.push(Block::head("Originals of pictures and documents"));
    let files = crate::tables::hash_rows(&reading.source, reading.left);
    let rows: Vec<Row> = files
        .iter()
        .filter(|f| matches!(f.role, "original" | "document"))
        .map(|f| {
            Row::of([
                f.name.clone(),
                f.role.to_owned(),
                f.bytes.to_string(),
                f.sha256.clone(),
                f.remark.into(),
            ])
            .marked(!f.remark.is_empty())
        })
        .collect();
    blocks.push(if rows.is_empty() {
        Block::text("None on record.")
    } else {
        Block::table(
            &["No.", "Kind", "Bytes", "SHA-256", ""],
            &[0.8, 0.9, 1.0, 5.4, 1.0],
            rows,
        )
    });
    if files.iter().any(|f| f.role == "view") {
        blocks.push(Block::remark("Originals alone stand here; the smaller copies that the recording devices made of them stand in hash-index.csv."));
    }
    super::section(reading, "Data and hashes", blocks, &[])
}

/// What an inspector looks for: there, gone without, lacking.
fn evidence(reading: &Reading<'_>) -> Vec<Block> {
    let lacks = match &reading.found.lacks {
        Ok(lacks) => lacks,
        Err(e) => {
            return vec![Block::text(format!(
                "The list of evidence can't be made: {e}"
            ))];
        }
    };
    let mut blocks = vec![
        Block::head("Evidence that is not here"),
        Block::text(format!(
            "Of what an inspector looks for, {} pieces are here, {} were gone without for a reason told, {} are lacking.",
            lacks.there, lacks.waived, lacks.lacking
        )),
    ];
    let rows: Vec<Row> = lacks
        .items
        .iter()
        .filter(|l| l.state != EvidenceState::There)
        .map(|l| {
            let detail = l.waived_because.as_ref().map_or_else(
                || l.detail.clone(),
                |why| {
                    let by = l.waived_by.clone().unwrap_or_default();
                    format!("gone without: {why} ({by})")
                },
            );
            Row::of([
                l.section.to_string(),
                l.name.clone(),
                detail,
                l.asked_by.clone(),
            ])
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &["Section", "What", "Detail", "Asked by"],
            &[0.8, 2.8, 4.2, 1.8],
            rows,
        ));
    }
    blocks
}

/// Entries that are kept and do not count for reasons of this sort, with the reasons, in one sentence; none
/// where there are none.
pub(super) fn not_counting(reading: &Reading<'_>, sort: fn(Why) -> bool) -> Option<String> {
    let reader = &reading.job.reader;
    let mut left = reader.view.not_counting(reader.crew);
    left.retain(|(id, why)| sort(*why) && !reader.view.superseded(id, reader.crew));
    let mut reasons: Vec<&str> = left.iter().map(|(_, why)| why.words()).collect();
    reasons.sort_unstable();
    reasons.dedup();
    let entries = match left.len() {
        0 => return None,
        1 => "1 entry is kept but does".to_owned(),
        more => format!("{more} entries are kept but do"),
    };
    Some(format!("{entries} not count: {}.", reasons.join("; ")))
}
