//! Labels of the plan's wires, and which released wires have none.

use serde_json::json;

use crate::common::worked::Site;
use crate::{list, plan, reel, release};

#[test]
fn labels_are_written_for_what_is_planned() {
    let site = Site::of_run(0);
    let none = site.ann.refused("startLabels", json!({"job": site.job}));
    assert!(
        none.message.contains("nothing to label"),
        "{}",
        none.message
    );
    reel(&site, "R-1", 60);
    release(&site, "5-6");
    let ended = site.ann.run_task("startLabels", json!({"job": site.job}));
    assert_eq!(ended["state"], "done", "{ended}");
    assert_eq!(ended["result"]["labels"], 2);
    assert_eq!(ended["result"]["leftOut"], json!([]));
    let file = ended["result"]["file"].as_str().unwrap();
    let out = std::process::Command::new("pdftotext")
        .args(["-layout", file, "-"])
        .output()
        .unwrap();
    let text = String::from_utf8_lossy(&out.stdout);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("A6 7235 A1:LH") && flat.contains("A5 7234 A1:LH"),
        "{flat}"
    );
    let of = format!("{file}.in.pdf");
    let ask = json!({"job": site.job, "file": of, "paper": "letter", "unit": "in"});
    assert_eq!(site.ann.run_task("startLabels", ask)["state"], "done");
    let run = |program: &str, arguments: &[&str]| {
        let out = std::process::Command::new(program).args(arguments).output();
        String::from_utf8_lossy(&out.unwrap().stdout).into_owned()
    };
    let inches = run("pdftotext", &["-layout", &of, "-"]);
    assert!(inches.contains("A6 284 13/16 in A1:LH"), "{inches}");
    assert!(run("pdfinfo", &[&of]).contains("pts (letter)"));
    assert!(run("pdfinfo", &[file]).contains("pts (A4)"));
    let again = site
        .ann
        .run_task("startLabels", json!({"job": site.job, "file": file}));
    assert_eq!(again["state"], "failed");
    assert!(
        again["error"]["message"]
            .as_str()
            .unwrap()
            .contains("is there already")
    );
}

#[test]
fn released_wires_without_a_label_are_named_with_the_reason() {
    let site = Site::of_run(0);
    release(&site, "5-7");
    // Released, and no strand in stock: what there is to do is what the plan says.
    let none = site.ann.refused("startLabels", json!({"job": site.job}));
    assert!(
        none.message
            .contains("nothing to label. A5–7: There is no strand in stock."),
        "{}",
        none.message
    );
    // One wire of some 7.2 m from a reel of 8 m.
    reel(&site, "R-1", 8);
    let ended = site.ann.run_task("startLabels", json!({"job": site.job}));
    assert_eq!(ended["result"]["labels"], 1, "{ended}");
    let left = list(&ended["result"], "/leftOut");
    assert_eq!(left.len(), 1, "{ended}");
    assert_eq!(left[0]["names"], "A5, 7");
    let plan = plan(&site);
    let no_stock = list(&plan, "/strands/0/noStock");
    assert_eq!(no_stock.len(), 2);
    assert_eq!(left[0]["reason"], no_stock[0]["reason"]);
    // Written and named on the command line's paper as well, whatever is asked with.
    let ask = json!({"job": site.job, "cut": true, "paper": "letter"});
    assert_eq!(
        list(&site.ann.run_task("startLabels", ask)["result"], "/leftOut").len(),
        1
    );
}
