//! Drilling templates as PDF: size of the sheets, the bars by the pixel, what the pages say. One file past 400
//! lines, since every page is read by the same means.

use handover::{DrillingTemplate, HandoverError, PaperSize, TemplateAsk, drilling_template};
use records::ids::ItemId;
use records::model::fields;
use records::model::values::{End, FaceSide, Length, Section, WireHeights};
use records::subject::{ItemKind, Subject};
use records::work::{end_at, hole_schedule};

use crate::common::{self, MADE, run, site};

/// Pixels of a 254 dpi page: ten a millimetre (25.4 mm to the inch, exact by definition).
const DPI: &str = "254";

struct Page {
    wide: usize,
    grey: Vec<u8>,
}

impl Page {
    /// Reads a binary grey map (P5).
    fn read(bytes: &[u8]) -> Page {
        let mut at = 0;
        let mut word = || {
            while bytes[at].is_ascii_whitespace() {
                at += 1;
            }
            let from = at;
            while !bytes[at].is_ascii_whitespace() {
                at += 1;
            }
            std::str::from_utf8(&bytes[from..at]).unwrap().to_owned()
        };
        assert_eq!(word(), "P5");
        let wide = word().parse().unwrap();
        let _high = word();
        assert_eq!(word(), "255");
        Page {
            wide,
            grey: bytes[at + 1..].to_vec(),
        }
    }

    fn dark(&self, x: usize, y: usize) -> bool {
        self.grey[y * self.wide + x] < 140
    }

    fn high(&self) -> usize {
        self.grey.len() / self.wide
    }

    /// First and last dark pixel of the longest dark stretch in a row.
    fn longest_in_row(&self, y: usize) -> (usize, usize) {
        longest((0..self.wide).map(|x| self.dark(x, y)))
    }

    /// The same down a column.
    fn longest_in_column(&self, x: usize) -> (usize, usize) {
        longest((0..self.high()).map(|y| self.dark(x, y)))
    }
}

fn longest(dark: impl Iterator<Item = bool>) -> (usize, usize) {
    let (mut best, mut from) = ((0, 0), None);
    let ended: Vec<bool> = dark.chain([false]).collect();
    for (at, is) in ended.into_iter().enumerate() {
        match (is, from) {
            (true, None) => from = Some(at),
            (false, Some(start)) => {
                if at - start > best.1 - best.0 {
                    best = (start, at);
                }
                from = None;
            }
            _ => {}
        }
    }
    best
}

/// A folder with a template in it, to be read by other programs.
fn kept(template: &DrillingTemplate) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("t.pdf"), &template.pdf).unwrap();
    dir
}

fn made(paper: PaperSize, inches: bool) -> (tempfile::TempDir, usize) {
    let mut built = site::build("Deck and stair");
    let run_a = built.run_a;
    let set = built.site.with(|source| source.job.fitting_sets[0].id);
    let set = Subject::Item(ItemKind::FittingSet, set);
    let hole = Length::mm(9);
    built
        .site
        .one(common::claim(fields::FITTING_THROUGH_HOLE, &set, &hole));
    let ask = TemplateAsk {
        post: None,
        paper,
        inches,
    };
    let template = built
        .site
        .with(|source| drilling_template(source.job, run_a, &ask, MADE))
        .unwrap();
    let dir = kept(&template);
    (dir, template.pages)
}

#[test]
fn a_hole_off_square_says_which_way_it_goes_where_that_is_told() {
    let mut built = site::build("Deck and stair");
    let run_b = built.run_b;
    let text_of = |built: &mut site::Built| {
        let ask = TemplateAsk {
            post: None,
            paper: PaperSize::A4,
            inches: false,
        };
        let template = built
            .site
            .with(|source| drilling_template(source.job, run_b, &ask, MADE))
            .unwrap();
        let dir = kept(&template);
        // Where a line breaks says nothing.
        flat(&run("pdftotext", &["t.pdf", "-"], dir.path()))
    };
    let ends = built.site.with(|source| {
        let found = source.job.run(run_b).unwrap();
        let (first, last) = (found.posts.first().unwrap(), found.posts.last().unwrap());
        [first.id, last.id]
    });
    // The stair's step of 178 in 250 is 35.5°; which end is the lower its floors tell.
    let says = |text: &str, way: &str| {
        assert!(
            text.contains(&format!("drill 35.5° off square, {way}")),
            "{way}: {text}"
        );
        for other in ["falling", "rising", "which way is not told"] {
            let told = text.contains(&format!("square, {other}"));
            assert_eq!(told, way.starts_with(other), "{other}");
        }
    };
    let text = text_of(&mut built);
    says(&text, "which way is not told: tell the floors of both ends");
    for (last, way) in [
        (-1602, "falling towards the run's end"),
        (1602, "rising towards the run's end"),
    ] {
        for (post, floor) in ends.iter().zip([0, last]) {
            let post = Subject::post(*post);
            let mut draft = common::claim(fields::POST_FLOOR, &post, &Length::mm(floor));
            draft.over = built.site.tips(&post, "floor", "");
            built.site.one(draft);
        }
        let text = text_of(&mut built);
        says(&text, way);
    }
}

/// Run A with the holes of its last post so far off the middle of their face, right of who looks at it.
fn with_aside(aside_nm: i64) -> (site::Built, ItemId) {
    let mut built = site::build("Deck and stair");
    let run_a = built.run_a;
    let (post, end) = built.site.with(|source| {
        let found = source.job.run(run_a).unwrap();
        let last = found.posts.last().unwrap().id;
        (last, end_at(source.job, found, last).unwrap())
    });
    let aside = End {
        aside_nm: Some(aside_nm),
        other_enters: Some(FaceSide::Right),
        ..end
    };
    let (subject, place) = (Subject::post(post), run_a.to_string());
    let mut draft = common::placed(fields::POST_END, &subject, &place, &aside);
    draft.over = built.site.tips(&subject, "end", &place);
    built.site.one(draft);
    (built, post)
}

/// The template of that post.
fn put_aside(aside_nm: i64) -> tempfile::TempDir {
    let (mut built, post) = with_aside(aside_nm);
    let run_a = built.run_a;
    let ask = TemplateAsk {
        post: Some(post),
        ..TemplateAsk::default()
    };
    let template = built
        .site
        .with(|source| drilling_template(source.job, run_a, &ask, MADE))
        .unwrap();
    kept(&template)
}

#[test]
fn words_beside_a_hole_far_off_the_middle_stay_on_the_paper() {
    for (aside, told) in [
        (30_000_000, "30 mm right"),
        (69_000_000, "69 mm right"),
        (-69_000_000, "69 mm left"),
    ] {
        let dir = put_aside(aside);
        let text = flat(&run("pdftotext", &["t.pdf", "-"], dir.path()));
        assert!(text.contains(told), "{text}");
        words_stay_on_the_paper(&dir);
    }
}

fn words_stay_on_the_paper(dir: &tempfile::TempDir) {
    let boxes = run("pdftotext", &["-bbox", "t.pdf", "-"], dir.path());
    let ends: Vec<f64> = boxes
        .split("xMax=\"")
        .skip(1)
        .map(|after| after.split('"').next().unwrap().parse().unwrap())
        .collect();
    assert!(ends.len() > 20, "{boxes}");
    // A4 is 595.3 pt wide, its margin 10 mm: 28.3 pt.
    for end in ends {
        assert!(end < 595.3 - 28.3 + 0.5, "{end}: {boxes}");
    }
}

#[test]
fn holes_off_the_middle_of_their_face_are_drawn_and_told_there() {
    let dir = put_aside(-9_000_000);
    let text = run("pdftotext", &["-layout", "t.pdf", "-"], dir.path());
    assert!(text.contains("9 mm left of the middle"), "{text}");
    let of_first = ["-gray", "-r", DPI, "-l", "1", "-singlefile", "t.pdf", "p"];
    run("pdftoppm", &of_first, dir.path());
    let page = Page::read(&std::fs::read(dir.path().join("p.pgm")).unwrap());
    // The middle of A4 lies 105 mm from the left: the crosses 96, upright 4 mm beyond a hole on both sides.
    let cross = page.longest_in_column(960);
    assert!(cross.1 - cross.0 > 120, "{cross:?}");
    let middle = page.longest_in_column(1050);
    assert!(
        middle.1 - middle.0 < 120,
        "no cross on the middle: {middle:?}"
    );
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The paper holds 69.5 mm of a hole of 9: 105 less margin, bar, cross and half a hole.
#[test]
fn a_post_that_the_paper_does_not_hold_is_left_out_and_the_others_are_printed() {
    let (mut built, post) = with_aside(70_000_000);
    let run_a = built.run_a;
    let mut asked = |post| {
        let ask = TemplateAsk {
            post,
            ..TemplateAsk::default()
        };
        built
            .site
            .with(|source| drilling_template(source.job, run_a, &ask, MADE))
    };
    let why = "Post A6 is on no sheet: its holes stand 70 mm off the middle of their face, and this paper \
               holds 69.5 mm on either side. Mark them by hand from the hole schedule.";
    let made = asked(None).unwrap();
    assert_eq!(made.left_out, [why]);
    assert!(!made.faces.is_empty() && !made.faces.iter().any(|f| f.contains("A6 towards")));
    let dir = kept(&made);
    let text = flat(&run("pdftotext", &["t.pdf", "-"], dir.path()));
    assert_eq!(text.matches(why).count(), made.pages, "{text}");
    match asked(Some(post)) {
        Err(HandoverError::NoTemplate(told)) => assert_eq!(told, why),
        other => panic!("{:?}", other.map(|made| made.pages)),
    }
}

#[test]
fn holes_of_two_runs_that_come_close_are_told_on_the_sheets_of_their_post() {
    let mut built = site::build("Deck and stair");
    let run_a = built.run_a;
    let (close, posts) = built.site.with(|source| {
        let found = hole_schedule(source.job, run_a).unwrap();
        assert!(
            found
                .close
                .iter()
                .all(|c| found.notes.contains(&c.sentence))
        );
        let posts = &source.job.run(run_a).unwrap().posts;
        let ends = [posts.first().unwrap().id, posts.last().unwrap().id];
        (found.close, ends)
    });
    let [(at, sentence)] = close
        .iter()
        .map(|c| (c.post, &c.sentence))
        .collect::<Vec<_>>()[..]
    else {
        panic!("{close:?}");
    };
    assert_eq!(at, posts[1]);
    assert!(
        sentence.contains("pairs of holes come too close"),
        "{sentence}"
    );
    for post in posts {
        let ask = TemplateAsk {
            post: Some(post),
            ..TemplateAsk::default()
        };
        let made = built
            .site
            .with(|source| drilling_template(source.job, run_a, &ask, MADE))
            .unwrap();
        let dir = kept(&made);
        let text = flat(&run("pdftotext", &["t.pdf", "-"], dir.path()));
        let sheets = if post == at { made.pages } else { 0 };
        assert_eq!(text.matches(sentence.as_str()).count(), sheets, "{text}");
    }
}

#[test]
fn the_bars_are_a_hundred_millimetres_on_the_paper() {
    for (paper, size) in [
        (PaperSize::A4, "595.276 x 841.89 pts (A4)"),
        (PaperSize::Letter, "612 x 792 pts (letter)"),
    ] {
        let (dir, pages) = made(paper, false);
        let info = run("pdfinfo", &["t.pdf"], dir.path());
        assert!(info.contains(size), "{info}");
        assert!(
            info.contains(&format!("Pages:           {pages}")),
            "{info}"
        );
        run("qpdf", &["--check", "t.pdf"], dir.path());
        run(
            "pdftoppm",
            &[
                "-gray",
                "-r",
                DPI,
                "-f",
                "1",
                "-l",
                "1",
                "-singlefile",
                "t.pdf",
                "p",
            ],
            dir.path(),
        );
        let page = Page::read(&std::fs::read(dir.path().join("p.pgm")).unwrap());
        // The level bar lies 30 mm from above and the upright one 20 mm from the left: 283.46 pt
        // each (100 / 25.4 × 72), a thousand pixels here.
        let level = page.longest_in_row(300);
        assert!((level.1 - level.0).abs_diff(1_000) <= 3, "{level:?}");
        assert!(level.0.abs_diff(200) <= 2, "{level:?}");
        let upright = page.longest_in_column(200);
        assert!((upright.1 - upright.0).abs_diff(1_000) <= 3, "{upright:?}");
        assert!(upright.0.abs_diff(400) <= 2, "{upright:?}");
        // The floor line lies 10 mm from the lower edge, over the whole width between the margins.
        let floor = page.longest_in_row(page.high() - 100);
        assert!(
            (floor.1 - floor.0).abs_diff(page.wide - 200) <= 3,
            "{floor:?}"
        );
    }
}

#[test]
fn every_page_says_to_measure_first_and_marks_where_it_joins() {
    let (dir, pages) = made(PaperSize::A4, false);
    for page in 1..=pages {
        let n = page.to_string();
        let text = run(
            "pdftotext",
            &["-f", &n, "-l", &n, "-layout", "t.pdf", "-"],
            dir.path(),
        );
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            flat.contains("Measure both bars before drilling."),
            "{flat}"
        );
        assert!(
            flat.contains("100 mm") && flat.contains("Drilling template, run A"),
            "{flat}"
        );
        assert!(flat.contains(&format!("sheet {page} of {pages}")), "{flat}");
    }
    let text = run("pdftotext", &["-layout", "t.pdf", "-"], dir.path());
    // Each join stands on two pages, with its label on the left: twice a face.
    let faces = text.matches("0: floor. Cut here.").count();
    assert!(faces >= 2);
    assert_eq!(text.matches("a1 · ").count(), faces * 2, "{text}");
    assert!(text.contains("Wire 1 LH · "), "{text}");
    assert!(text.contains("through, from both faces"), "{text}");
    let (inches, _) = made(PaperSize::Letter, true);
    let text = run("pdftotext", &["-layout", "t.pdf", "-"], inches.path());
    assert!(
        text.contains("100 mm = 3 15/16 in") && text.contains(" in"),
        "{text}"
    );
}

#[test]
fn a_template_of_disputed_heights_is_not_made() {
    let mut built = site::build("Deck and stair");
    let run_a = Subject::run(built.run_a);
    let tips = built.site.tips(&run_a, fields::RUN_WIRE_HEIGHTS.name, "");
    for nm in [80_000_000, 90_000_000] {
        let mut draft = common::claim(
            fields::RUN_WIRE_HEIGHTS,
            &run_a,
            &WireHeights { nm: vec![nm] },
        );
        draft.over.clone_from(&tips);
        built.site.one(draft);
    }
    let id = built.run_a;
    let refused = built
        .site
        .with(|source| drilling_template(source.job, id, &TemplateAsk::default(), MADE));
    match refused {
        Err(HandoverError::NoTemplate(why)) => {
            assert!(why.contains("wire heights of run"), "{why}")
        }
        other => panic!("{:?}", other.map(|made| made.pages)),
    }
}

#[test]
fn hostile_names_stay_text_on_a_template() {
    let mut built = site::build("#read(\"/etc/passwd\") *x* \u{202e}");
    let id = built.run_a;
    let made = built
        .site
        .with(|source| drilling_template(source.job, id, &TemplateAsk::default(), MADE))
        .unwrap();
    let dir = kept(&made);
    let text = run("pdftotext", &["-layout", "t.pdf", "-"], dir.path());
    assert!(
        text.contains("#read(\"/etc/passwd\") *x*") && !text.contains("root:"),
        "{text}"
    );
}

#[test]
fn a_template_of_a_disputed_section_is_not_made_and_names_it() {
    let mut built = site::build("Deck and stair");
    let post = Subject::post(built.posts[0]);
    let tips = built.site.tips(&post, fields::POST_SECTION.name, "");
    for along_nm in [80_000_000, 90_000_000] {
        let section = Section {
            along_nm,
            across_nm: 90_000_000,
            wall_nm: None,
            solid: None,
        };
        let mut draft = common::claim(fields::POST_SECTION, &post, &section);
        draft.over.clone_from(&tips);
        built.site.one(draft);
    }
    let id = built.run_a;
    let refused = built
        .site
        .with(|source| drilling_template(source.job, id, &TemplateAsk::default(), MADE));
    match refused {
        Err(HandoverError::NoTemplate(why)) => {
            assert!(
                why.contains("differ on the cross section of post") && why.contains("settle it"),
                "{why}"
            );
        }
        other => panic!("{:?}", other.map(|made| made.pages)),
    }
}
