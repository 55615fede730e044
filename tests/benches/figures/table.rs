//! The table of figures, each beside its peer.

use std::path::Path;

use serde_json::Value;

use crate::scene::Outcome;

/// Lines of the table in their order.
#[derive(Default)]
pub(crate) struct Table {
    lines: Vec<[String; 4]>,
}

impl Table {
    /// Adds a figure without a peer.
    pub(crate) fn alone(&mut self, what: &str, here: String) {
        self.add([what.to_owned(), here, "none".to_owned(), "—".to_owned()]);
    }

    /// Adds a duration beside what a peer says without one.
    pub(crate) fn beside_words(&mut self, what: &str, here_s: f64, peer: &str) {
        self.add([
            what.to_owned(),
            seconds(here_s),
            peer.to_owned(),
            "—".to_owned(),
        ]);
    }

    /// Adds a duration beside its peer's; a ratio under 1 is faster than the peer.
    pub(crate) fn beside(&mut self, what: &str, here_s: f64, peer: &str, peer_s: f64) {
        self.add([
            what.to_owned(),
            seconds(here_s),
            format!("{} {peer}", seconds(peer_s)),
            format!("{:.2}", here_s / peer_s),
        ]);
    }

    /// A run takes minutes: each line is told when it is known, too.
    fn add(&mut self, line: [String; 4]) {
        eprintln!("{}", line.join(" | "));
        self.lines.push(line);
    }

    /// Adds the medians that `repeated` left in this run.
    pub(crate) fn repeated(&mut self) -> Outcome<()> {
        self.beside(
            "picture of 12 megapixels: hash, EXIF, 2048 and 320 px",
            median_s("picture/intake")?,
            "vipsthumbnail, both sizes",
            median_s("picture/vipsthumbnail")?,
        );
        for (what, name) in [
            ("open a record of 50 000 entries, job read", "record/open"),
            ("rebuild it from the journal", "record/rebuild"),
            (
                "count all of it at once, as its crew's founding entry comes last",
                "record/count all at once",
            ),
            ("`readJob` of it after one reading", "record/read job"),
            ("save one reading in it", "record/save one reading"),
            ("cut sheets for 400 wires, 40 runs", "cut sheet/400 wires"),
        ] {
            self.alone(what, seconds(median_s(name)?));
        }
        Ok(())
    }

    /// Adds what one change costs beside all of it worked out anew, as `planned` measured them.
    pub(crate) fn recomputed(&mut self) -> Outcome<()> {
        let everything = median_s("recomputed/everything")?;
        for (what, name) in [
            (
                "all answers of a 40-run job after one reading",
                "recomputed/after one change",
            ),
            (
                "those of the run that was read, the same job",
                "recomputed/its own run",
            ),
        ] {
            let anew = "all answers worked out anew";
            self.beside(what, median_s(name)?, anew, everything);
        }
        Ok(())
    }

    /// Adds what the engineering's screens cost the first time and after one change, as `planned` measured them.
    pub(crate) fn engineering(&mut self) -> Outcome<()> {
        let first = median_s("engineering/first time")?;
        self.beside(
            "tensioning, recheck, posts and cut plan of a 40-run job after one reading",
            median_s("engineering/after one change")?,
            "the same, the first time",
            first,
        );
        for (what, name) in [
            (
                "of these the tensioning of 40 runs",
                "engineering/tensioning",
            ),
            ("the recheck of 40 runs", "engineering/recheck"),
            ("the posts of 40 runs", "engineering/postsAsked"),
            ("the cut plan, 200 wires released", "engineering/cutPlan"),
        ] {
            self.alone(what, seconds(median_s(name)?));
        }
        Ok(())
    }

    /// Prints it as Markdown.
    pub(crate) fn print(&self) {
        println!("\n| figure | here | peer | ratio |\n|---|---|---|---|");
        for line in &self.lines {
            println!("| {} |", line.join(" | "));
        }
    }
}

/// A duration with the unit that suits it.
pub(crate) fn seconds(s: f64) -> String {
    if s < 1.0 {
        format!("{:.1} ms", s * 1e3)
    } else {
        format!("{s:.2} s")
    }
}

/// A size in mebibytes.
pub(crate) fn mebibytes(bytes: u64) -> String {
    format!("{:.1} MiB", bytes as f64 / f64::from(1 << 20))
}

pub(crate) fn median_s(name: &str) -> Outcome<f64> {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .parent()
        .ok_or("cargo's temporary folder lies in its target folder")?;
    let path = target
        .join("criterion")
        .join(name)
        .join("new/estimates.json");
    let text = std::fs::read(&path).map_err(|e| {
        format!(
            "{}: {e}; run the bench `repeated` before this",
            path.display()
        )
    })?;
    let estimates: Value = serde_json::from_slice(&text)?;
    let ns = estimates["median"]["point_estimate"].as_f64();
    Ok(ns.ok_or("an estimate without a median")? / 1e9)
}
