//! Who signed which stage, in the order of time: person, role, what was covered, what came since.

use records::crew::Role;
use records::job::Fact as Told;
use records::model::context::{Head, Number, Told as Decided};
use records::model::values::SignOff;
use records::work;

use super::reading::Reading;
use super::{Block, Row, Section, section, words};

type Signed = Told<SignOff, Decided>;

/// Sign-offs by the time of their last word.
fn ordered<'a>(reading: &'a Reading<'_>) -> Vec<(&'a str, &'a Signed)> {
    let mut all: Vec<(&str, &Signed)> = reading
        .job
        .sign_offs
        .iter()
        .map(|(stage, fact)| (stage.as_str(), fact))
        .collect();
    all.sort_by_key(|(stage, fact)| (fact.tips.last().map(|t| (t.at, t.id)), *stage));
    all
}

/// The table of the first page.
pub(super) fn short(reading: &Reading<'_>) -> Block {
    let rows: Vec<Row> = ordered(reading)
        .into_iter()
        .filter_map(|(stage, fact)| {
            let told = fact.tips.last()?;
            Some(
                Row::of([
                    words::when(told.at),
                    words::spaced(stage),
                    who(reading, fact),
                    covered(told.with.as_ref()),
                    since(reading, told.with.as_ref()),
                ])
                .marked(fact.blocks()),
            )
        })
        .collect();
    if rows.is_empty() {
        return Block::text("Nobody has signed a stage.");
    }
    Block::table(
        &["When", "Stage", "Who, role", "Covers", "Since then"],
        &[2.3, 1.4, 1.8, 2.0, 1.5],
        rows,
    )
}

/// Every sign-off with its statement and the heads that it covers, then what was told at signing.
pub(super) fn sign_offs(reading: &Reading<'_>) -> Section {
    let signed = ordered(reading);
    let rows: Vec<Row> = signed
        .iter()
        .filter_map(|(stage, fact)| row(reading, stage, fact))
        .collect();
    let mut blocks = Vec::new();
    if !rows.is_empty() {
        blocks.push(Block::table(
            &["When", "Stage", "Who, role", "Statement", "Covers"],
            &[1.5, 1.2, 1.2, 3.4, 3.6],
            rows,
        ));
        blocks.push(Block::remark(
            "A sign-off is a statement of the person, made on that device. It covers the entries named, and none that came later.",
        ));
    }
    let told = told_at_signing(&signed);
    if !told.is_empty() {
        blocks.push(Block::head("Told when it was signed"));
        blocks.push(Block::table(
            &["What", "Figure", "Where it is from", "Signed at"],
            &[2.6, 1.0, 4.6, 2.4],
            told,
        ));
    }
    section(reading, "Sign-offs", blocks, &[])
}

/// The figures told at signing: a figure told alike at several stages stands once and names them.
fn told_at_signing(signed: &[(&str, &Signed)]) -> Vec<Row> {
    let mut figures: Vec<(&Number, Vec<String>)> = Vec::new();
    for (stage, fact) in signed {
        let with = fact.tips.last().and_then(|told| told.with.as_ref());
        for number in with.map_or(&[][..], |w| w.numbers.as_slice()) {
            let stage = words::spaced(stage);
            match figures.iter_mut().find(|(told, _)| *told == number) {
                Some((_, stages)) if stages.contains(&stage) => {}
                Some((_, stages)) => stages.push(stage),
                None => figures.push((number, vec![stage])),
            }
        }
    }
    // What belongs together stands together, though it was told at different stages.
    figures.sort_by(|(a, _), (b, _)| a.name.cmp(&b.name));
    figures
        .into_iter()
        .map(|(number, stages)| {
            Row::of([
                number.name.clone(),
                number.value.clone(),
                number.origin.clone(),
                stages.join(", "),
            ])
        })
        .collect()
}

fn row(reading: &Reading<'_>, stage: &str, fact: &Signed) -> Option<Row> {
    let told = fact.tips.last()?;
    let mut said = vec![format!("“{}”", reading.say(fact, |s| s.statement.clone()))];
    let mut covers = vec![covered_and_since(reading, told.with.as_ref())];
    if let Some(with) = &told.with {
        if let Some(outside) = &with.outside_role {
            said.push(format!("Outside the person's usual role: {outside}."));
        }
        covers.push(format!("Program {}.", with.program));
    }
    let moved = reading.basis(work::Decision::SignOff, &told.basis);
    if !moved.is_empty() {
        covers.push(format!("{moved}."));
    }
    Some(
        Row::of([
            words::when(told.at),
            words::spaced(stage),
            who(reading, fact),
            said.join(" "),
            covers.join(" "),
        ])
        .marked(fact.blocks() || !moved.is_empty()),
    )
}

/// The person with the role of the device that was signed on.
fn who(reading: &Reading<'_>, fact: &Signed) -> String {
    let name = fact
        .shown()
        .map_or_else(String::new, |s| reading.person(&s.person));
    let role = fact
        .tips
        .last()
        .and_then(|t| reading.job.reader.crew.member(&t.device))
        .map_or("device not admitted", |m| role(m.role));
    format!("{name}, {role}")
}

fn role(role: Role) -> &'static str {
    match role {
        Role::Surveyor => "surveyor",
        Role::Installer => "installer",
        Role::Office => "office",
    }
}

/// How many entries of how many devices a decision named.
fn covered(with: Option<&Decided>) -> String {
    let heads = with.map_or(&[][..], |w| w.heads.as_slice());
    let entries: u64 = heads.iter().map(|h| h.n).sum();
    match heads.len() {
        0 => "not told".into(),
        1 => format!("{} of 1 device", words::count(entries, "entry", "entries")),
        n => format!(
            "{} of {n} devices",
            words::count(entries, "entry", "entries")
        ),
    }
}

/// The last entry of each device that a decision named, and what came since.
fn covered_and_since(reading: &Reading<'_>, with: Option<&Decided>) -> String {
    let heads: &[Head] = with.map_or(&[], |w| w.heads.as_slice());
    if heads.is_empty() {
        return "Which entries it covers is not told.".into();
    }
    let crew = reading.job.reader.crew;
    let each: Vec<String> = heads
        .iter()
        .map(|h| {
            let name = crew
                .device_name(&h.device)
                .unwrap_or("a device not admitted");
            let hash: String = h.hash.to_string().chars().take(12).collect();
            format!("{name} up to {} (SHA-256 begins {hash})", h.n)
        })
        .collect();
    format!("{}; {}.", each.join("; "), since(reading, with))
}

/// How many entries the job's book gained since a decision named its heads.
fn since(reading: &Reading<'_>, with: Option<&Decided>) -> String {
    let Some(with) = with.filter(|w| !w.heads.is_empty()) else {
        return "not told".into();
    };
    // The sign-off is an entry itself.
    match reading.job.entries_since(&with.heads).saturating_sub(1) {
        0 => "no entry since".into(),
        n => format!("{} since", words::count(n, "entry", "entries")),
    }
}
