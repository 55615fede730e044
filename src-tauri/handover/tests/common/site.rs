//! What is recorded on the scenario's two runs.
//!
//! One file past 400 lines, since it is one job, told from its first post to its last opening.

use std::path::Path;

use records::ids::{Hash, ItemId};
use records::model::context::*;
use records::model::fields::*;
use records::model::values::*;
use records::subject::{ItemKind, Subject};

use super::acts::work;
use super::{Site, claim, placed, told};

pub struct Built {
    pub site: Site,
    pub run_a: ItemId,
    pub run_b: ItemId,
    pub posts: Vec<ItemId>,
    pub gauge: ItemId,
}

impl Built {
    /// One thing of each sort that the job has.
    pub fn things(&mut self) -> Vec<Subject> {
        let (job, run, posts) = (self.site.job_subject(), self.run_a, &self.posts);
        let mut things = vec![
            job,
            Subject::run(run),
            Subject::post(posts[0]),
            Subject::bay(posts[0], posts[1]),
            Subject::Wire(run, 1),
            Subject::Item(ItemKind::Tool, self.gauge),
        ];
        things.extend(self.site.with(|source| {
            let job = source.job;
            let items = [
                (ItemKind::Photo, job.photos.first().map(|p| p.id)),
                (ItemKind::Defect, job.defects.first().map(|d| d.id)),
                (ItemKind::Batch, job.batches.first().map(|b| b.id)),
                (ItemKind::Visit, job.visits.first().map(|v| v.id)),
                (ItemKind::Strand, job.strands.first().map(|s| s.id)),
                (ItemKind::FittingSet, job.fitting_sets.first().map(|f| f.id)),
            ];
            items
                .into_iter()
                .filter_map(|(kind, id)| Some(Subject::Item(kind, id?)))
                .collect::<Vec<_>>()
        }));
        things
    }
}

pub const PLACE: &str = "14 Quillback Rise, Port Hesper";

pub fn day(text: &str) -> Day {
    Day::try_from(text.to_owned()).unwrap()
}

pub fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

/// The whole job; `title` and `note` let a test bring texts of its own.
pub fn build(title: &str) -> Built {
    let mut site = Site::new(title, PLACE);
    let job = site.job_subject();
    let rules = std::fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../records/data/rules/au-2022.json"),
    )
    .unwrap();
    let copy = RuleSetCopy {
        name: "Australia 2022".into(),
        sha256: Hash::of(rules.as_bytes()),
        text: rules,
        origin: "the program's library".into(),
    };
    site.act(vec![
        claim(JOB_OWNER, &job, &"R. Ambrose-Finch".into()),
        claim(JOB_CERTIFIER, &job, &"D. Okellan".into()),
        claim(JOB_PERMIT, &job, &"PH-2026-0417".into()),
        claim(JOB_PERMIT_DATE, &job, &day("2026-09-02")),
        claim(JOB_BUILDING_CLASS, &job, &"1a".into()),
        claim(JOB_RULE_SET, &job, &copy),
        claim(JOB_FALL, &job, &mm(1602.0)),
        claim(JOB_BELOW, &job, &"paving".into()),
        claim(JOB_POOL, &job, &false),
        claim(JOB_CHILDREN, &job, &true),
        claim(JOB_STEEL, &job, &"316, surf at 900 m".into()),
    ]);
    let gauge = tool(&mut site, "G-02", ToolKind::TensionGauge);
    let posts = posts(&mut site);
    let run_a = run_a(&mut site, &posts);
    let run_b = run_b(&mut site, &posts);
    materials(&mut site, &[run_a, run_b]);
    work(&mut site, run_a, run_b, &posts, gauge);
    Built {
        site,
        run_a,
        run_b,
        posts,
        gauge,
    }
}

fn tool(site: &mut Site, name: &str, kind: ToolKind) -> ItemId {
    let id = site.new_item(ItemKind::Tool, Vec::new());
    let s = Subject::Item(ItemKind::Tool, id);
    site.act(vec![
        claim(TOOL_NAME, &s, &name.into()),
        claim(TOOL_KIND, &s, &kind),
        claim(TOOL_RANGE, &s, &"300–2000 N".into()),
        claim(TOOL_ERROR, &s, &400),
        claim(TOOL_COMPARED_WITH, &s, &"a weighed mass".into()),
        claim(TOOL_COMPARED_ON, &s, &day("2026-08-18")),
        claim(TOOL_DUE, &s, &day("2027-08-18")),
        claim(TOOL_CERTIFICATE, &s, &"C-118".into()),
    ]);
    id
}

/// A1, A2, A3, A4, A4a, A5, A6, B2, B3.
fn posts(site: &mut Site) -> Vec<ItemId> {
    let names = ["A1", "A2", "A3", "A4", "A4a", "A5", "A6", "B2", "B3"];
    let floors = [0.0, -3.0, -5.0, -8.0, -9.0, -10.0, -12.0];
    let mut ids = Vec::new();
    for (n, name) in names.iter().enumerate() {
        let id = site.new_item(ItemKind::Post, Vec::new());
        let s = Subject::post(id);
        let anchor = ["A1", "A6", "B3"].contains(name);
        let side = if anchor { 115_000_000 } else { 90_000_000 };
        let mut drafts = vec![
            claim(POST_NAME, &s, &(*name).into()),
            claim(
                POST_SECTION,
                &s,
                &Section {
                    along_nm: side,
                    across_nm: side,
                    wall_nm: None,
                    solid: None,
                },
            ),
            claim(
                POST_MATERIAL,
                &s,
                &Material {
                    name: "spotted gum".into(),
                    grade: Some("F27".into()),
                    treatment: None,
                    modulus_mpa: Some(14_000),
                    modulus_origin: Some("scenario input".into()),
                    bending_mpa: None,
                    bending_origin: None,
                    moisture_permille: None,
                },
            ),
            claim(
                POST_BASE,
                &s,
                &BaseFixing {
                    kind: "bolted to the joist".into(),
                    bolts: Some(2),
                    spacing_nm: Some(250_000_000),
                    turning_nm_per_rad: None,
                    turning_origin: None,
                    seen: true,
                },
            ),
            claim(POST_CONDITION, &s, &Condition::Sound),
        ];
        if let Some(floor) = floors.get(n) {
            drafts.push(claim(POST_FLOOR, &s, &mm(*floor)));
        }
        site.act(drafts);
        ids.push(id);
    }
    ids
}

fn place_posts(site: &mut Site, run: ItemId, posts: &[(ItemId, f64, PostRole)]) {
    let place = run.to_string();
    let ends = [posts[0].0, posts[posts.len() - 1].0];
    for (id, at, role) in posts {
        let s = Subject::post(*id);
        let mut drafts = vec![
            placed(POST_POSITION, &s, &place, &mm(*at)),
            placed(POST_ROLE, &s, &place, role),
        ];
        if ends.contains(id) {
            let hand = if *id == ends[0] {
                Hand::Left
            } else {
                Hand::Right
            };
            let end = End {
                kind: EndKind::Insert,
                hand,
                tensioner: true,
                angled_seat: false,
                aside_nm: None,
                other_enters: None,
            };
            drafts.push(placed(POST_END, &s, &place, &end));
        }
        site.act(drafts);
    }
}

fn tensions(site: &mut Site, run: ItemId) {
    let value = Tensions {
        required_mn: 1_330_000,
        set_mn: 1_500_000,
        upper_mn: 1_800_000,
        required_origin: "table row 1500 mm, 80 mm, 3.2 mm".into(),
        upper_origin: "terminal: 8500 N × 0.65 ÷ 3".into(),
        passes_mn: vec![600_000, 1_100_000, 1_500_000],
    };
    let number = |name: &str, value: &str, origin: &str| Number {
        name: name.into(),
        value: value.into(),
        origin: origin.into(),
    };
    let with = Told {
        program: "tautbook 0.1.0".into(),
        numbers: vec![
            number("widest bay", "1410 mm", "measured"),
            number("required", "1330 N", "table"),
            number("clear from", "1385 N", "computed"),
        ],
        ..Told::default()
    };
    site.one(told(RUN_TENSIONS, &Subject::run(run), "", &value, &with));
}

fn run_a(site: &mut Site, posts: &[ItemId]) -> ItemId {
    let run = site.new_item(ItemKind::Run, Vec::new());
    let s = Subject::run(run);
    site.act(vec![
        claim(RUN_NAME, &s, &"A".into()),
        claim(RUN_SURFACE, &s, &Surface::Deck),
        claim(RUN_SHAPE, &s, &Shape::Level),
        claim(RUN_HEIGHT, &s, &mm(1020.0)),
        claim(
            RUN_RAIL,
            &s,
            &Rail {
                underside_nm: 985_000_000,
                thickness_nm: 35_000_000,
                stiffness_n_per_m: Some(500_000),
                stiffness_height_nm: Some(1_000_000_000),
            },
        ),
        claim(RUN_WIRE_COUNT, &s, &12),
        claim(
            RUN_WIRE_HEIGHTS,
            &s,
            &WireHeights {
                nm: (1..=12).map(|n| n * 76_000_000).collect(),
            },
        ),
    ]);
    let bays = [1380.0, 1410.0, 1395.0, 735.0, 735.0, 1195.0];
    let half = |n: usize| if n == 0 || n == 6 { 57.5 } else { 45.0 };
    let mut at = 0.0;
    let mut placed_posts = Vec::new();
    for n in 0..7 {
        let role = if n == 0 || n == 6 {
            PostRole::Anchor
        } else {
            PostRole::Intermediate
        };
        placed_posts.push((posts[n], at, role));
        if n < 6 {
            at += half(n) + bays[n] + half(n + 1);
        }
    }
    place_posts(site, run, &placed_posts);
    for (n, clear) in bays.iter().enumerate() {
        let with = BayRead {
            entered: Some(format!("{clear}")),
            along: Along::Level,
            instrument: Instrument::Tape,
            tool: None,
            reason: None,
        };
        site.one(told(
            BAY_CLEAR,
            &Subject::bay(posts[n], posts[n + 1]),
            "",
            &mm(*clear),
            &with,
        ));
    }
    let wall = OpeningRead {
        kind: OpeningKind::EndPostToWall,
        entered: None,
        remark: None,
        probe_nm: None,
        push_mn: Some(40_000),
        moment: None,
    };
    site.one(told(
        POST_OPENING,
        &Subject::post(posts[0]),
        "endPostToWall",
        &Opening {
            nm: 62_000_000,
            result: None,
        },
        &wall,
    ));
    tensions(site, run);
    run
}

fn run_b(site: &mut Site, posts: &[ItemId]) -> ItemId {
    let run = site.new_item(ItemKind::Run, Vec::new());
    let s = Subject::run(run);
    site.act(vec![
        claim(RUN_NAME, &s, &"B".into()),
        claim(RUN_SURFACE, &s, &Surface::Stair),
        claim(RUN_SHAPE, &s, &Shape::Raked),
        claim(
            RUN_SLOPE,
            &s,
            &Slope {
                rise_nm: 178_000_000,
                going_nm: 250_000_000,
                risers: Some(9),
                overhang_nm: None,
            },
        ),
        claim(RUN_HEIGHT, &s, &mm(891.0)),
        claim(
            RUN_RAIL,
            &s,
            &Rail {
                underside_nm: 836_000_000,
                thickness_nm: 45_000_000,
                stiffness_n_per_m: None,
                stiffness_height_nm: None,
            },
        ),
        claim(RUN_WIRE_COUNT, &s, &8),
        claim(
            RUN_WIRE_HEIGHTS,
            &s,
            &WireHeights {
                nm: (1..=8).map(|n| n * 93_000_000).collect(),
            },
        ),
    ]);
    place_posts(
        site,
        run,
        &[
            (posts[6], 0.0, PostRole::Anchor),
            (posts[7], 1087.5, PostRole::Intermediate),
            (posts[8], 2175.0, PostRole::Anchor),
        ],
    );
    tensions(site, run);
    run
}

fn materials(site: &mut Site, runs: &[ItemId]) {
    let template = records::library::strands()
        .into_iter()
        .find(|s| s.key == "3.2-1x19")
        .unwrap();
    let strand = site.new_item(ItemKind::Strand, Vec::new());
    let s = Subject::Item(ItemKind::Strand, strand);
    site.act(vec![
        claim(STRAND_NAME, &s, &template.name),
        claim(STRAND_FIGURES, &s, &template.figures),
    ]);
    let template = records::library::fitting_sets().remove(0);
    let set = site.new_item(ItemKind::FittingSet, Vec::new());
    let s = Subject::Item(ItemKind::FittingSet, set);
    site.act(vec![
        claim(FITTING_NAME, &s, &template.name),
        claim(FITTING_TERMINALS, &s, &template.terminals),
    ]);
    for run in runs {
        let s = Subject::run(*run);
        site.act(vec![
            claim(RUN_STRAND, &s, &strand),
            claim(RUN_FITTING_SET, &s, &set),
        ]);
    }
    let id = site.new_item(ItemKind::Batch, Vec::new());
    let s = Subject::Item(ItemKind::Batch, id);
    site.act(vec![
        claim(BATCH_NAME, &s, &"Terminals M6".into()),
        claim(BATCH_KIND, &s, &BatchKind::Terminal),
        claim(BATCH_ORDERED, &s, &23),
        claim(BATCH_LEFT_MARK, &s, &"ring groove".into()),
        claim(
            BATCH_ARRIVAL,
            &s,
            &Arrival {
                counted_left: 23,
                counted_right: 23,
                tried: true,
                remark: String::new(),
                short: Some(2),
                wrong: None,
            },
        ),
    ]);
}
