//! The end of the document: care, sign-offs, what the record proves, hashes.

use records::job::Fact as Told;
use records::model::context::Told as Decided;
use records::model::values::SignOff;
use records::work::{self, EvidenceState};

use super::reading::Reading;
use super::{Block, Row, Section, words};

pub(super) fn care(_reading: &Reading<'_>) -> Section {
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
    blocks.extend(cautions.map(|text| Block::Caution { text: text.into() }));
    Section {
        title: "Care, for the owner".into(),
        new_page: false,
        blocks,
    }
}

pub(super) fn signed_short(reading: &Reading<'_>) -> Block {
    let rows: Vec<Row> = reading
        .job
        .sign_offs
        .iter()
        .filter_map(|(stage, fact)| {
            let told = fact.tips.last()?;
            let since = since(reading, told.with.as_ref());
            Some(
                Row::of([
                    words::spaced(stage),
                    fact.shown()
                        .map_or_else(String::new, |s| reading.person(&s.person)),
                    words::when(told.at),
                    since,
                ])
                .marked(fact.blocks()),
            )
        })
        .collect();
    if rows.is_empty() {
        return Block::text("Nobody has signed a stage.");
    }
    Block::table(
        &["Stage", "Who", "When", "Since then"],
        &[1.6, 1.6, 2.4, 2.0],
        rows,
    )
}

pub(super) fn sign_offs(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    for (stage, fact) in &reading.job.sign_offs {
        blocks.push(Block::head(words::spaced(stage)));
        blocks.push(Block::text(statement(reading, fact)));
        let Some(told) = fact.tips.last() else {
            continue;
        };
        if let Some(with) = &told.with {
            if !with.numbers.is_empty() {
                blocks.push(Block::remark(format!(
                    "Told when it was signed: {}. Program {}.",
                    words::told(with),
                    with.program
                )));
            }
            if let Some(outside) = &with.outside_role {
                blocks.push(Block::remark(format!(
                    "Outside the person's usual role: {outside}"
                )));
            }
        }
        let moved = reading.basis(&told.basis);
        if !moved.is_empty() {
            blocks.push(Block::remark(format!("! {moved}.")));
        }
    }
    super::section(reading, "Sign-offs", blocks, &[])
}

fn statement(reading: &Reading<'_>, fact: &Told<SignOff, Decided>) -> String {
    let told = fact.tips.last();
    let who = fact
        .shown()
        .map_or_else(String::new, |s| reading.person(&s.person));
    let when = told.map_or_else(String::new, |t| words::when(t.at));
    let since = told.map_or_else(String::new, |t| since(reading, t.with.as_ref()));
    format!(
        "“{}” {who}, {when}; {since}.",
        reading.say(fact, |s| s.statement.clone())
    )
}

/// How many entries the job's book gained since a decision named its heads.
fn since(reading: &Reading<'_>, with: Option<&Decided>) -> String {
    let Some(with) = with.filter(|w| !w.heads.is_empty()) else {
        return "does not say which entries it covers".into();
    };
    let covered = |device| {
        with.heads
            .iter()
            .find(|h| h.device == device)
            .map_or(0, |h| h.n)
    };
    let since: u64 = reading
        .job
        .reader
        .view
        .heads()
        .iter()
        .map(|(device, (n, _))| n.saturating_sub(covered(*device)))
        .sum();
    match since {
        // The sign-off is an entry itself.
        0 | 1 => "no entry since".into(),
        2 => "1 entry since".into(),
        n => format!("{} entries since", n - 1),
    }
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
        Block::text("The same data lies beside this document and is attached to it: state, tables, and in the folder the entry lines of both books and the original pictures. The command “sha256sum -c SHA256SUMS” checks the files; “tautbook verify” checks signatures, chain, pictures and this document's data as well. The document is marked as PDF/A-3b; it was not independently validated."),
    ];
    let view = reading.job.reader.view;
    let crew = reading.job.reader.crew;
    let left = view.not_counting(crew);
    if !left.is_empty() {
        let mut reasons: Vec<&str> = left.iter().map(|(_, why)| why.words()).collect();
        reasons.sort_unstable();
        reasons.dedup();
        blocks.push(Block::text(format!(
            "{} entries are kept but do not count: {}.",
            left.len(),
            reasons.join("; ")
        )));
    }
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
    blocks.push(Block::head("Pictures and documents"));
    let files = crate::tables::hash_rows(&reading.source);
    let rows: Vec<Row> = files
        .iter()
        .map(|f| {
            let here = if f.here { "" } else { "not on this device" };
            Row::of([
                f.name.clone(),
                f.role.to_owned(),
                f.bytes.to_string(),
                f.sha256.clone(),
                here.into(),
            ])
            .marked(!f.here)
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
    super::section(reading, "Data and hashes", blocks, &[])
}

/// What an inspector looks for: there, gone without, lacking.
fn evidence(reading: &Reading<'_>) -> Vec<Block> {
    let lacks = match work::lacks(reading.job) {
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
                reading.name(&l.subject),
                detail,
                l.asked_by.clone(),
            ])
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &["Section", "What", "About", "Detail", "Asked by"],
            &[0.8, 2.6, 1.0, 3.4, 1.8],
            rows,
        ));
    }
    blocks
}
