//! A whole handover of a small job: written, looked at with other people's tools, verified.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::indexing_slicing, clippy::panic)]

mod common;

use common::site::{self, fixture};
use common::{go_on, run};
use records::model::values::Evidence;
use records::subject::Subject;

#[test]
fn a_handover_is_whole_and_readable_by_other_tools() {
    let mut built = site::build("Deck and stair");
    let a3 = Subject::post(built.posts[2]);
    let run_a = Subject::run(built.run_a);
    let shows = [
        ("orientation-1.jpg", "A3 before", a3, Evidence::DefectBefore),
        ("orientation-6.jpg", "A3 after", a3, Evidence::DefectAfter),
        (
            "orientation-3.jpg",
            "Run A from the garden",
            run_a,
            Evidence::WideView,
        ),
    ];
    for (name, caption, about, evidence) in shows {
        site::photo(&mut built.site, &fixture(name), caption, &about, evidence);
    }
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("handover");
    let written = built.site.write(&folder).unwrap();
    if let Ok(keep) = std::env::var("HANDOVER_KEEP") {
        run("cp", &["-r", folder.to_str().unwrap(), &keep], dir.path());
    }
    assert_eq!((written.originals, written.missing), (3, 0));
    let sums = run("sha256sum", &["-c", "SHA256SUMS"], &folder);
    assert_eq!(sums.lines().count() + 1, written.files);
    assert!(sums.lines().all(|l| l.ends_with(": OK")), "{sums}");
    run("qpdf", &["--check", "handover.pdf"], &folder);
    let verified = handover::verify(&folder, &go_on).unwrap();
    assert_eq!(verified.originals, 3);
    assert!(verified.not_counting.is_empty());
}
