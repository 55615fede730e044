//! What goes along: originals that are here, documents, entries of several devices.

use records::entry::FileRef;
use records::ids::Hash;
use records::model::context::{Head, Shows, Told};
use records::model::fields::*;
use records::model::values::*;
use records::photos::{Object, find, store_batch};
use records::subject::{ItemKind, Subject};

use crate::common::pictures::{fixture, photo};
use crate::common::{self, claim, go_on, lines_of, run, site, told};
use crate::told::flat_of;
use crate::{text_of, with_photos};

/// The index of hashes as rows of cells.
fn index(folder: &std::path::Path) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(folder.join("data/hash-index.csv")).unwrap();
    text.lines()
        .map(|l| l.split(',').map(str::to_owned).collect())
        .collect()
}

#[test]
fn an_original_that_is_missing_or_damaged_is_named_counted_and_stops_nothing() {
    let mut built = with_photos();
    let photos = built.site.photos_dir();
    let hashes: Vec<String> = built.site.with(|source| {
        let files = source
            .job
            .photos
            .iter()
            .map(|p| p.files[0].sha256.to_string());
        files.collect()
    });
    let path = |sha256: &str| find(&photos, sha256).unwrap().unwrap();
    std::fs::remove_file(path(&hashes[0])).unwrap();
    let damaged = path(&hashes[1]);
    let mut bytes = std::fs::read(&damaged).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    std::fs::write(&damaged, &bytes).unwrap();
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    let written = built.site.write(&folder).unwrap();
    assert_eq!((written.originals, written.missing), (1, 2));
    let flat = text_of(&folder)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        flat.contains("2 originals of pictures or documents can't be handed over"),
        "{flat}"
    );
    assert!(
        flat.contains("the original is not on this device"),
        "{flat}"
    );
    assert!(
        flat.contains("the original is damaged on this device"),
        "{flat}"
    );
    for (n, goes) in [(0, "no"), (1, "no"), (2, "yes")] {
        let rows = index(&folder);
        let row = rows.iter().find(|r| r[2] == hashes[n]).unwrap();
        assert_eq!((row[1].as_str(), row[5].as_str()), ("original", goes));
        let kept = folder.join(format!("photos/{}.jpg", hashes[n]));
        assert_eq!(kept.exists(), goes == "yes", "{}", kept.display());
    }
    let readme = std::fs::read_to_string(folder.join("README.txt")).unwrap();
    assert!(readme.contains("2 originals are not here"), "{readme}");
    // The views are here still: every picture is in the document.
    let images = run("pdfimages", &["-list", "handover.pdf"], &folder);
    assert_eq!(images.lines().skip(2).count(), 3, "{images}");
    let verified = handover::verify(&folder, &go_on).unwrap();
    assert_eq!((verified.originals, verified.missing), (1, 2));
}

#[test]
fn a_picture_without_any_preview_says_so() {
    let mut built = with_photos();
    let photos = built.site.photos_dir();
    let made: Vec<String> = built.site.with(|source| {
        let files = source.job.photos[0].files.iter().skip(1);
        files.map(|f| f.sha256.to_string()).collect()
    });
    for sha256 in made {
        std::fs::remove_file(find(&photos, &sha256).unwrap().unwrap()).unwrap();
    }
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    let written = built.site.write(&folder).unwrap();
    assert_eq!((written.originals, written.missing), (3, 0));
    assert!(text_of(&folder).contains("no preview here"));
    let images = run("pdfimages", &["-list", "handover.pdf"], &folder);
    assert_eq!(images.lines().skip(2).count(), 2, "{images}");
}

#[test]
fn pictures_in_the_document_are_small_and_their_originals_lie_beside_it() {
    let mut built = with_photos();
    let run_a = Subject::run(built.run_a);
    // 1600 px on its longer side, and so is its view.
    let large = fixture("../demo/photos/001-a1-base.jpg");
    let sha256 = photo(&mut built.site, &large, "A1", &run_a, Evidence::WideView);
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let images = run("pdfimages", &["-list", "handover.pdf"], &folder);
    let sides: Vec<(u32, u32)> = images
        .lines()
        .skip(2)
        .map(|line| {
            let cells: Vec<&str> = line.split_whitespace().collect();
            (cells[3].parse().unwrap(), cells[4].parse().unwrap())
        })
        .collect();
    assert_eq!(sides.len(), 4, "{images}");
    assert!(sides.iter().all(|(w, h)| *w.max(h) <= 1200), "{images}");
    // The drawn ones are 640 by 480; of the large one no thumb stands there.
    let longest = sides.iter().map(|(w, h)| *w.max(h)).max();
    assert!(longest > Some(640), "{images}");
    let kept = folder.join(format!("photos/{sha256}.jpg"));
    assert_eq!(std::fs::read(kept).unwrap(), std::fs::read(large).unwrap());
}

#[test]
fn an_attached_document_goes_along_under_its_hash() {
    let mut built = site::build("Deck and stair");
    let bytes = b"%PDF-1.4\nengineer's letter, invented for this test\n%%EOF\n";
    let object = Object {
        bytes,
        extension: "pdf",
    };
    store_batch(&built.site.photos_dir(), &[object]).unwrap();
    let file = FileRef {
        sha256: Hash::of(bytes),
        bytes: bytes.len() as u64,
        kind: "application/pdf".into(),
    };
    let id = built.site.new_item(ItemKind::Document, vec![file]);
    let letter = Subject::Item(ItemKind::Document, id);
    built
        .site
        .one(claim(DOCUMENT_NAME, &letter, &"EL-017 on the posts".into()));
    let shows = Shows {
        evidence: Evidence::EngineersLetter,
        reason: None,
    };
    let about = built.site.job_subject().to_string();
    built
        .site
        .one(told(DOCUMENT_SHOWS, &letter, &about, &true, &shows));
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    let written = built.site.write(&folder).unwrap();
    assert_eq!((written.originals, written.missing), (1, 0));
    let kept = folder.join(format!("photos/{}.pdf", Hash::of(bytes)));
    assert_eq!(std::fs::read(kept).unwrap(), bytes);
    let flat = text_of(&folder)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        flat.contains("EL-017 on the posts engineer's letter job"),
        "{flat}"
    );
    assert!(flat.contains(&Hash::of(bytes).to_string()), "{flat}");
    let verified = handover::verify(&folder, &go_on).unwrap();
    assert_eq!((verified.originals, verified.missing), (1, 0));
}

#[test]
fn entries_of_several_devices_are_handed_over_together() {
    let mut built = site::build("Deck and stair");
    let mut ben = built.site.second_device("Ben Tarrow");
    let (job, person) = (built.site.job, ben.person);
    let subject = built.site.job_subject();
    let heads: Vec<Head> = ben
        .record
        .view(job)
        .unwrap()
        .heads()
        .iter()
        .map(|(device, (n, hash))| Head {
            device: *device,
            n: *n,
            hash: *hash,
        })
        .collect();
    let with = Told {
        program: "tautbook 0.1.0".into(),
        heads,
        ..Told::default()
    };
    let said = SignOff {
        statement: "Every bay was offered the probe.".into(),
        person,
    };
    let signed = told(JOB_SIGN_OFF, &subject, "gaps", &said, &with);
    ben.record.act(job, person, vec![signed]).unwrap();
    // Both correct one value without knowing of the other.
    let mut apart = |text: &str| {
        let mut draft = claim(JOB_BELOW, &subject, &text.to_owned());
        draft
            .over
            .clone_from(&built.site.tips(&subject, "below", ""));
        draft
    };
    let (here, there) = (apart("gravel"), apart("a pond"));
    ben.record.act(job, person, vec![there]).unwrap();
    built.site.one(here);
    built.site.receive(&mut ben);

    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let verified = handover::verify(&folder, &go_on).unwrap();
    assert_eq!(verified.not_counting, Vec::<String>::new());
    let lines = std::fs::read_to_string(folder.join("book/job.jsonl")).unwrap();
    assert_eq!(verified.entries, lines.lines().count());
    let state = common::state(&folder);
    assert_eq!(state["heads"].as_array().unwrap().len(), 2);
    assert_eq!(state["members"].as_array().unwrap().len(), 2);
    let flat = flat_of(&mut built.site);
    for told in [
        "Ben Tarrow, installer",
        "Ann Dunmore up to",
        "“Every bay was offered the probe.”",
        "gravel (Ann Dunmore",
        "a pond (Ben Tarrow",
        "disputed",
    ] {
        assert!(flat.contains(told), "{told} in {flat}");
    }
    // Ben signed before the two corrections came.
    assert!(flat.contains("2 entries since"), "{flat}");
    let devices = flat.split("Devices and their last entries").nth(1).unwrap();
    assert!(
        devices.contains("Ann Dunmore") && devices.contains("Ben Tarrow"),
        "{devices}"
    );
}

#[test]
fn what_waits_changes_nothing_in_the_state_and_what_counts_does() {
    let mut built = site::build("Deck and stair");
    let mut ben = built.site.second_device("Ben Tarrow");
    let (job, person) = (built.site.job, ben.person);
    let subject = built.site.job_subject();
    for fall in [1590.0, 1595.0] {
        let mut draft = claim(JOB_FALL, &subject, &site::mm(fall));
        draft.over = built.site.tips(&subject, "fall", "");
        ben.record.act(job, person, vec![draft]).unwrap();
    }
    let crew = built.site.crew;
    let text = |built: &mut site::Built| {
        let of = |source: &handover::Source<'_>| {
            handover::state_text(source.job.reader.view, source.job.reader.crew)
        };
        built.site.with(of)
    };
    let before = text(&mut built);
    assert!(!before.contains("missing"), "no sentence of a version");
    let here = lines_of(&mut built.site.record, job);
    let mut of_ben = lines_of(&mut ben.record, job);
    of_ben.retain(|line| !here.contains(line));
    assert_eq!(of_ben.len(), 2);
    // The later one alone: what comes before it on its device is not here.
    let record = &mut built.site.record;
    record.take_in(crew, &of_ben[1..]).unwrap();
    let admitted = record.crew(crew).clone();
    let waits = record.view(job).unwrap().not_counting(&admitted);
    assert_eq!(waits.len(), 1);
    assert_eq!(text(&mut built), before);
    built.site.record.take_in(crew, &of_ben).unwrap();
    let after = text(&mut built);
    assert_ne!(after, before);
    assert!(after.contains(&ben.record.device().to_string()));
}
