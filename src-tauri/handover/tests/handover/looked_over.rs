//! A folder that was changed after it was written: what is found, and how it is told apart.

use std::path::{Path, PathBuf};

use handover::FaultKind;

use crate::common::{go_on, run};
use crate::written;

#[test]
fn a_flipped_byte_in_any_file_is_named() {
    let (_dir, folder, _) = written();
    let sums = std::fs::read_to_string(folder.join("SHA256SUMS")).unwrap();
    let mut seen = 0;
    for line in sums.lines() {
        let name = line.split_once("  ").unwrap().1;
        let path = folder.join(name);
        let whole = std::fs::read(&path).unwrap();
        let mut bytes = whole.clone();
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        std::fs::write(&path, &bytes).unwrap();
        let fault = handover::verify(&folder, &go_on).unwrap_err();
        assert_eq!((fault.kind, fault.file.as_str()), (FaultKind::Sum, name));
        assert!(
            fault.to_string().contains("copy the folder again"),
            "{fault}"
        );
        std::fs::write(&path, &whole).unwrap();
        seen += 1;
    }
    assert!(seen > 12, "{seen}");
    handover::verify(&folder, &go_on).unwrap();
}

/// Writes the sums anew, as someone would who wants a change to go unnoticed.
fn sum_again(folder: &Path) {
    run(
        "sh",
        &[
            "-c",
            "find . -type f ! -name 'SHA256SUMS*' | sed 's|^./||' | LC_ALL=C sort | xargs sha256sum > SHA256SUMS",
        ],
        folder,
    );
}

#[test]
fn changes_with_fitting_sums_are_found_and_told_apart() {
    let (dir, folder, _) = written();
    let case = |name: &str, change: &dyn Fn(&Path)| {
        let copy = dir.path().join(name);
        run(
            "cp",
            &["-r", folder.to_str().unwrap(), copy.to_str().unwrap()],
            dir.path(),
        );
        change(&copy);
        sum_again(&copy);
        handover::verify(&copy, &go_on).unwrap_err()
    };
    let edit = |path: PathBuf, from: &str, to: &str| {
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(from));
        std::fs::write(path, text.replacen(from, to, 1)).unwrap();
    };
    let job = "book/job.jsonl";
    let fault = case("entry", &|f| edit(f.join(job), "1310000", "1410000"));
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Entry, job),
        "{fault}"
    );
    let fault = case("signature", &|f| {
        let text = std::fs::read_to_string(f.join(job)).unwrap();
        let last = text.lines().next_back().unwrap();
        // Another first digit: still hex, no longer the device's signature.
        let (first, rest) = last.split_at(1);
        let forged = format!("{}{rest}", if first == "0" { "1" } else { "0" });
        std::fs::write(f.join(job), text.replace(last, &forged)).unwrap();
    });
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Entry, job),
        "{fault}"
    );
    let fault = case("cut", &|f| {
        let text = std::fs::read_to_string(f.join(job)).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let without: String = lines[..40]
            .iter()
            .chain(&lines[41..])
            .map(|l| format!("{l}\n"))
            .collect();
        std::fs::write(f.join(job), without).unwrap();
    });
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Chain, job),
        "{fault}"
    );
    let fault = case("shortened", &|f| {
        // The last whole act left off: the chain holds, the data do not fit.
        let text = std::fs::read_to_string(f.join(job)).unwrap();
        let mut lines: Vec<&str> = text.lines().collect();
        lines.pop();
        std::fs::write(
            f.join(job),
            lines.iter().map(|l| format!("{l}\n")).collect::<String>(),
        )
        .unwrap();
    });
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::State, "data/state.json"),
        "{fault}"
    );
    let fault = case("crew", &|f| {
        edit(f.join("book/crew.jsonl"), "Ann Dunmore", "Eve Dunmore")
    });
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Entry, "book/crew.jsonl"),
        "{fault}"
    );
    let fault = case("state", &|f| {
        edit(f.join("data/state.json"), "1310000", "1410000")
    });
    assert_eq!(fault.kind, FaultKind::State, "{fault}");
    let as_form = |name: &str, form: &str| {
        let named = format!("\"{}\"", handover::STATE_FORMAT);
        case(name, &|f| {
            edit(f.join("data/state.json"), &named, &format!("\"{form}\""))
        })
    };
    let fault = as_form("unknown form", "tautbook-state-9");
    assert_eq!(fault.kind, FaultKind::State, "{fault}");
    assert!(fault.to_string().contains("does not know"), "{fault}");
    // The form of an earlier version is not made anew; whoever only writes it there is found all the same.
    let fault = as_form("earlier form", "tautbook-state-1");
    assert_eq!(fault.kind, FaultKind::Document, "{fault}");
    let fault = case("table", &|f| {
        edit(f.join("data/tension-readings.csv"), "1310", "1410")
    });
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Document, "handover.pdf"),
        "{fault}"
    );
    let fault = case("picture", &|f| {
        let photo = std::fs::read_dir(f.join("photos"))
            .unwrap()
            .next()
            .unwrap()
            .unwrap()
            .path();
        std::fs::remove_file(photo).unwrap();
    });
    assert_eq!(fault.kind, FaultKind::Picture, "{fault}");
    let fault = case("foreign picture", &|f| {
        let bytes = b"not one of ours";
        std::fs::write(
            f.join(format!("photos/{}.jpg", records::ids::Hash::of(bytes))),
            bytes,
        )
        .unwrap();
    });
    assert_eq!(fault.kind, FaultKind::Picture, "{fault}");
    let fault = case("no document", &|f| {
        std::fs::remove_file(f.join("handover.pdf")).unwrap()
    });
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Missing, "handover.pdf"),
        "{fault}"
    );
}

#[test]
fn a_change_that_shows_in_no_entry_is_found_by_the_signature() {
    let (dir, folder, _) = written();
    let copy = |name: &str| {
        let copy = dir.path().join(name);
        let (from, to) = (folder.to_str().unwrap(), copy.to_str().unwrap());
        run("cp", &["-r", from, to], dir.path());
        copy
    };
    let append = |path: PathBuf| {
        let mut bytes = std::fs::read(&path).unwrap();
        bytes.extend_from_slice(b"junk");
        std::fs::write(path, bytes).unwrap();
    };
    for name in ["README.txt", "data/tables.xlsx"] {
        let changed = copy(&name.replace('/', "-"));
        append(changed.join(name));
        sum_again(&changed);
        let fault = handover::verify(&changed, &go_on).unwrap_err();
        assert_eq!(
            (fault.kind, fault.file.as_str()),
            (FaultKind::Signature, "SHA256SUMS.sig"),
            "{fault}"
        );
    }
    // A page taken out: the attached data stay as they were.
    let changed = copy("pages");
    let document = changed.join("handover.pdf");
    let whole = dir.path().join("whole.pdf");
    std::fs::rename(&document, &whole).unwrap();
    let (from, to) = (whole.to_str().unwrap(), document.to_str().unwrap());
    run(
        "qpdf",
        &[from, "--pages", from, "2-z", "--", to],
        dir.path(),
    );
    sum_again(&changed);
    let fault = handover::verify(&changed, &go_on).unwrap_err();
    assert!(
        matches!(fault.kind, FaultKind::Signature | FaultKind::Document),
        "{fault}"
    );

    let unsigned = copy("unsigned");
    std::fs::remove_file(unsigned.join("SHA256SUMS.sig")).unwrap();
    let fault = handover::verify(&unsigned, &go_on).unwrap_err();
    assert_eq!(fault.kind, FaultKind::NotSigned, "{fault}");
    // Whoever took it off may have changed the document and summed it again.
    let cleared = copy("cleared");
    std::fs::remove_file(cleared.join("SHA256SUMS.sig")).unwrap();
    let mut readme = std::fs::read(cleared.join("README.txt")).unwrap();
    readme.extend(b"All is well.\n");
    std::fs::write(cleared.join("README.txt"), readme).unwrap();
    sum_again(&cleared);
    let fault = handover::verify(&cleared, &go_on).unwrap_err();
    assert_eq!(fault.kind, FaultKind::NotSigned, "{fault}");

    // By a key that the crew never admitted, and by another line than the sums.
    let sums = std::fs::read(folder.join("SHA256SUMS")).unwrap();
    let stranger = records::keys::FileKey::from_secret(&[7; 32]).unwrap();
    use records::keys::Signer as _;
    let signature = stranger.sign("tautbook-handover-1\n", &sums);
    let own = std::fs::read_to_string(folder.join("SHA256SUMS.sig")).unwrap();
    let own: serde_json::Value = serde_json::from_str(&own).unwrap();
    for device in [
        stranger.public().device().to_string(),
        own["device"].as_str().unwrap().to_owned(),
    ] {
        let forged = serde_json::json!({"device": device, "signature": signature});
        std::fs::write(unsigned.join("SHA256SUMS.sig"), forged.to_string()).unwrap();
        let fault = handover::verify(&unsigned, &go_on).unwrap_err();
        assert_eq!(fault.kind, FaultKind::Signature, "{fault}");
    }
}

#[test]
fn a_handover_of_a_device_that_does_not_count_says_that_it_is_not_signed() {
    let mut built = crate::with_photos();
    built.site.signs = false;
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("handover");
    built.site.write(&folder).unwrap();
    let readme = std::fs::read_to_string(folder.join("README.txt")).unwrap();
    assert!(readme.contains("not signed"), "{readme}");
    assert!(!folder.join("SHA256SUMS.sig").exists());
    let fault = handover::verify(&folder, &go_on).unwrap_err();
    assert_eq!(fault.kind, FaultKind::NotSigned, "{fault}");
    assert!(fault.what.contains("are in order"), "{fault}");
}

#[test]
fn a_whole_handover_of_another_crew_is_told_by_the_hash_that_no_name_changes() {
    let (_dir, folder, _) = written();
    let found = handover::verify(&folder, &go_on).unwrap();
    found.of_crew(&found.crew).unwrap();
    // A stranger may call crew and person alike, and everything in it is sound.
    let (_other, forged, _) = written();
    let forged = handover::verify(&forged, &go_on).unwrap();
    let fault = forged
        .of_crew(&records::ids::Hash::of(b"the crew"))
        .unwrap_err();
    assert_eq!(fault.kind, FaultKind::OtherCrew, "{fault}");
    assert!(fault.what.contains(&forged.crew.to_string()), "{fault}");
}

#[test]
fn a_document_of_another_job_is_not_taken_for_this_one() {
    let (_dir, folder, _) = written();
    let (_other, foreign, _) = written();
    std::fs::copy(foreign.join("handover.pdf"), folder.join("handover.pdf")).unwrap();
    sum_again(&folder);
    let fault = handover::verify(&folder, &go_on).unwrap_err();
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Document, "handover.pdf"),
        "{fault}"
    );
}

#[test]
fn names_that_leave_the_folder_and_files_without_sums_are_refused() {
    let (_dir, folder, _) = written();
    let sums = folder.join("SHA256SUMS");
    let good = std::fs::read_to_string(&sums).unwrap();
    let zero = "0".repeat(64);
    for name in [
        "../device.key",
        "/etc/passwd",
        "data/../../x",
        "a//b",
        "./x",
        "data/x\u{202e}y",
        "SHA256SUMS",
        "",
    ] {
        std::fs::write(&sums, format!("{good}{zero}  {name}\n")).unwrap();
        let fault = handover::verify(&folder, &go_on).unwrap_err();
        assert_eq!(
            (fault.kind, fault.file.as_str()),
            (FaultKind::Name, "SHA256SUMS"),
            "{name}"
        );
    }
    std::fs::write(&sums, format!("{good}{zero}  data/absent.csv\n")).unwrap();
    assert_eq!(
        handover::verify(&folder, &go_on).unwrap_err().kind,
        FaultKind::Missing
    );
    std::fs::write(&sums, &good).unwrap();
    std::fs::write(folder.join("photos/extra.jpg"), b"x").unwrap();
    let fault = handover::verify(&folder, &go_on).unwrap_err();
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Unlisted, "photos/extra.jpg")
    );
    std::fs::remove_file(folder.join("photos/extra.jpg")).unwrap();
    handover::verify(&folder, &go_on).unwrap();
}

#[cfg(unix)]
#[test]
fn a_link_is_no_file() {
    let (_dir, folder, _) = written();
    let readme = folder.join("README.txt");
    let outside = folder.parent().unwrap().join("moved.txt");
    std::fs::rename(&readme, &outside).unwrap();
    std::os::unix::fs::symlink(&outside, &readme).unwrap();
    let fault = handover::verify(&folder, &go_on).unwrap_err();
    assert_eq!(
        (fault.kind, fault.file.as_str()),
        (FaultKind::Missing, "README.txt")
    );
}

#[test]
fn every_fault_says_what_to_do() {
    use FaultKind as K;
    for kind in [
        K::Missing,
        K::Unlisted,
        K::Sum,
        K::Name,
        K::Entry,
        K::Chain,
        K::Picture,
        K::State,
        K::Document,
    ] {
        let fault = handover::Fault {
            kind,
            file: "data/state.json".into(),
            what: "it is wrong".into(),
        };
        let told = fault.to_string();
        let advice = told.strip_prefix("data/state.json: it is wrong. ").unwrap();
        assert!(advice.len() > 30, "{kind:?}: {told}");
    }
}
