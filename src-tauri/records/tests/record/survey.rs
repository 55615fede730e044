//! Survey files through reading, planning and the record, up to the cut sheet.
//! One file past 400 lines, since each case is a line or two beside the file it reads.

use std::collections::BTreeMap;
use std::path::Path;

use crate::common::Device;
use records::job::Job;
use records::model::values::{LowSpot, Tensions};
use records::model::{context, fields};
use records::record::{Draft, new_item, value_data};
use records::subject::Subject;
use records::survey::{
    self, Counts, LARGEST_FILE, Outcome, Plan, SurveyError, SurveyProblem, plan,
};
use records::work::cut_sheet;

pub(crate) fn fixture(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures")
        .join(name);
    std::fs::read(path).unwrap()
}

pub(crate) fn with_job<R>(device: &mut Device, look: impl FnOnce(&Job<'_>) -> R) -> R {
    let job = device.job();
    look(&device.record.job(job).unwrap())
}

pub(crate) fn import(device: &mut Device, bytes: &[u8], confirmed: bool) -> (Plan, Counts) {
    let survey = survey::read(bytes).unwrap();
    let planned = with_job(device, |job| {
        plan(&survey, job, confirmed, &mut new_item).unwrap()
    });
    let (job, person) = (device.job(), device.person());
    let mut counts = Counts::default();
    for act in &planned.acts {
        let drafts = act.drafts.clone();
        device.record.act(job, person, drafts).unwrap();
        counts.add(act.part, act.count);
    }
    (planned, counts)
}

/// The parts of the job that the scenario names, all new.
const WHOLE: Counts = Counts {
    // Title and place differ from the untitled job's and were confirmed.
    job: 22,
    tools: 1,
    strands: 1,
    fitting_sets: 1,
    runs: 2,
    posts: 8,
    posts_in_runs: 9,
    bays: 7,
    lengths: 11,
    tensions: 0,
};

/// What the job says, without the ids that differ between two imports.
pub(crate) fn told(device: &mut Device) -> BTreeMap<String, Vec<String>> {
    with_job(device, |job| {
        let mut names: Vec<(String, String)> = vec![(job.id.to_string(), "JOB".into())];
        let things = [
            job.runs
                .iter()
                .map(|r| (r.id.to_string(), r.name.clone()))
                .collect::<Vec<_>>(),
            job.posts
                .iter()
                .map(|p| (p.id.to_string(), p.name.clone()))
                .collect(),
            job.tools
                .iter()
                .map(|t| (t.id.to_string(), t.name.clone()))
                .collect(),
            job.strands
                .iter()
                .map(|s| (s.id.to_string(), s.name.clone()))
                .collect(),
            job.fitting_sets
                .iter()
                .map(|s| (s.id.to_string(), s.name.clone()))
                .collect(),
        ];
        names.extend(things.into_iter().flatten());
        let named = |text: &str| {
            names
                .iter()
                .fold(text.to_owned(), |t, (id, name)| t.replace(id, name))
        };
        let view = job.reader.view;
        let mut told = BTreeMap::new();
        for (key, state) in view.keys() {
            // A bay names the smaller id first, which is chance.
            let mut subject: Vec<String> =
                named(&key.subject).split(':').map(str::to_owned).collect();
            subject[1..].sort();
            let lines: Vec<String> = state
                .lines
                .iter()
                .map(|line| {
                    let entry = view.entry(&line.tips[0]).unwrap();
                    let (value, with) = records::job::reader::said(entry, key);
                    named(&format!("{:?} {value:?} {with:?}", line.standing))
                })
                .collect();
            let key = format!("{subject:?} {} {}", key.field, named(&key.place));
            told.insert(key, lines);
        }
        told
    })
}

pub(crate) fn without_lengths() -> Vec<u8> {
    let mut json: serde_json::Value = serde_json::from_slice(&fixture("demo/survey.json")).unwrap();
    json.as_object_mut().unwrap().remove("lengths");
    serde_json::to_vec(&json).unwrap()
}

fn shape(problems: &[SurveyProblem]) -> Vec<(&str, Outcome)> {
    let mut shape: Vec<(&str, Outcome)> = problems
        .iter()
        .map(|p| (p.path.as_str(), p.outcome))
        .collect();
    shape.sort();
    shape
}

#[test]
fn the_worked_survey_gives_the_worked_cut_lengths() {
    let mut ann = Device::founder("ann");
    let (planned, counts) = import(&mut ann, &fixture("demo/survey.json"), true);
    assert_eq!(planned.problems, []);
    assert_eq!(counts, WHOLE);
    let runs: Vec<_> = planned.runs.iter().map(|(_, id)| *id).collect();
    for run in &runs {
        let tensions = Tensions {
            required_mn: 1_330_000,
            set_mn: 1_500_000,
            upper_mn: 1_800_000,
            required_origin: "table".into(),
            upper_origin: "strand".into(),
            passes_mn: vec![1_500_000],
        };
        let mut data = value_data("", &serde_json::to_value(tensions).unwrap());
        let with = context::Told::default();
        data.insert("with".into(), serde_json::to_value(with).unwrap());
        let draft = Draft {
            kind: fields::RUN_TENSIONS.kind(),
            subject: Subject::run(*run).to_string(),
            data,
            ..Draft::default()
        };
        let (job, person) = (ann.job(), ann.person());
        ann.record.act(job, person, vec![draft]).unwrap();
    }
    // scenario: "Cut A1–A12", "B1–B8", a consistency check of the whole chain
    let expected: [&[f64]; 2] = [
        &[
            7231.0, 7232.0, 7233.0, 7234.0, 7234.0, 7235.0, 7235.0, 7236.0, 7236.0, 7236.0, 7236.0,
            7237.0,
        ],
        &[
            2471.0, 2472.0, 2473.0, 2473.0, 2474.0, 2474.0, 2475.0, 2475.0,
        ],
    ];
    for (run, expected) in runs.iter().zip(expected) {
        let sheet = with_job(&mut ann, |job| cut_sheet(job, *run).unwrap());
        let mut aims: Vec<(u32, f64)> = sheet
            .lines
            .iter()
            .map(|l| (l.wire, l.aim_mm.unwrap()))
            .collect();
        aims.sort_by_key(|(wire, _)| *wire);
        let aims: Vec<f64> = aims.into_iter().map(|(_, aim)| aim).collect();
        assert_eq!(aims, expected);
    }
}

#[test]
fn the_same_file_again_adds_nothing() {
    let mut ann = Device::founder("ann");
    import(&mut ann, &fixture("demo/survey.json"), true);
    let before = told(&mut ann);
    for confirmed in [false, true] {
        let (planned, counts) = import(&mut ann, &fixture("demo/survey.json"), confirmed);
        assert_eq!(counts, Counts::default());
        assert_eq!(planned.problems, []);
        assert!(planned.already > 100, "{}", planned.already);
    }
    assert_eq!(told(&mut ann), before);
}

#[test]
fn a_quote_that_is_not_closed_takes_no_other_line_with_it() {
    let table = String::from_utf8(fixture("demo/lengths.csv")).unwrap();
    let mut lines: Vec<String> = table.lines().map(str::to_owned).collect();
    let whole = lines.len() - 1;
    lines.insert(2, lines[2].replacen(',', ",\"", 1));
    let mut ann = Device::founder("ann");
    import(&mut ann, &without_lengths(), true);
    let (planned, counts) = import(&mut ann, lines.join("\n").as_bytes(), false);
    assert_eq!(counts.lengths as usize, whole);
    let [problem] = planned.problems.as_slice() else {
        panic!("{:?}", planned.problems);
    };
    assert_eq!(problem.path, "line 3");
    assert!(problem.message.contains("quote"), "{problem:?}");
}

#[test]
fn lengths_as_json_and_as_a_table_give_the_same_state() {
    let mut json = Device::founder("ann");
    import(&mut json, &fixture("demo/survey.json"), true);
    let json = told(&mut json);
    let comma = String::from_utf8(fixture("demo/lengths.csv")).unwrap();
    let tables = [
        comma.clone(),
        comma.replace(',', "\t"),
        format!("\u{feff}{}", comma.replace(',', ";").replace('\n', "\r\n")),
        // Columns in another order, blanks, quotes, capitals, no last line break.
        comma
            .lines()
            .map(|line| {
                let mut cells: Vec<String> =
                    line.split(',').map(|c| format!("\" {c} \"")).collect();
                cells.reverse();
                cells.join(" ;")
            })
            .collect::<Vec<_>>()
            .join("\n")
            .replace("insertsIn", "Inserts in"),
    ];
    for (at, table) in tables.iter().enumerate() {
        let mut device = Device::founder("ann");
        import(&mut device, &without_lengths(), true);
        let (planned, counts) = import(&mut device, table.as_bytes(), false);
        assert_eq!(planned.problems, [], "table {at}");
        assert_eq!(counts.lengths, 11, "table {at}");
        assert_eq!(told(&mut device), json, "table {at}");
    }
}

#[test]
fn a_row_that_does_not_fit_is_named_by_its_line_whatever_ends_the_lines() {
    let table = String::from_utf8(fixture("demo/lengths.csv")).unwrap();
    let mut lines: Vec<&str> = table.lines().collect();
    let bad = lines[1].replacen(',', ",zero", 1);
    lines[1] = &bad;
    for end in ["\n", "\r\n", "\r"] {
        let mut device = Device::founder("ann");
        import(&mut device, &without_lengths(), true);
        let (planned, _) = import(&mut device, lines.join(end).as_bytes(), false);
        let told: Vec<&str> = planned.problems.iter().map(|p| p.path.as_str()).collect();
        assert_eq!(told, ["line 2, wire"], "{end:?}");
    }
}

#[test]
fn odd_lengths_of_every_field_wait_for_a_yes_and_positions_are_held_to_the_bays() {
    let text = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let mut file: serde_json::Value = serde_json::from_str(&text).unwrap();
    file["lengths"] = serde_json::json!([]);
    file["runs"][0]["height"] = "1020 in".into();
    file["runs"][0]["fall"] = 150_000.into();
    file["posts"][0]["floor"] = (-300_000).into();
    file["posts"][0]["section"] = serde_json::json!({"along": 150_000, "across": 115});
    file["posts"][1]["openings"] =
        serde_json::json!([{"kind": "floorToBottomWire", "size": 150_000}]);
    let odd = [
        "posts[0].floor",
        "posts[0].section",
        "posts[1].openings[0]",
        "runs[0].fall",
        "runs[0].height",
    ];
    let paths = |planned: &Plan, outcome| -> Vec<String> {
        let problems = planned.problems.iter().filter(|p| p.outcome == outcome);
        let mut paths: Vec<String> = problems.map(|p| p.path.clone()).collect();
        paths.sort();
        paths
    };
    let mut device = Device::founder("ann");
    // The untitled job says another title and place.
    let (planned, _) = import(&mut device, file.to_string().as_bytes(), false);
    let mut asked = paths(&planned, Outcome::Questioned);
    asked.retain(|path| !path.starts_with("job"));
    assert_eq!(asked, odd);
    let (planned, counts) = import(&mut device, file.to_string().as_bytes(), true);
    assert_eq!(paths(&planned, Outcome::Questioned), Vec::<String>::new());
    assert!(counts.runs == 1 && counts.posts == 2, "{counts:?}");
    let (planned, _) = import(&mut device, file.to_string().as_bytes(), false);
    assert_eq!(
        paths(&planned, Outcome::Questioned),
        Vec::<String>::new(),
        "it is there"
    );

    let mut moved: serde_json::Value = serde_json::from_str(&text).unwrap();
    moved["lengths"] = serde_json::json!([]);
    moved["runs"][0]["posts"][1]["position"] = "58.4".into();
    let mut device = Device::founder("ann");
    let (planned, _) = import(&mut device, moved.to_string().as_bytes(), true);
    let noted: Vec<&SurveyProblem> = planned
        .problems
        .iter()
        .filter(|p| p.outcome == Outcome::Noted)
        .collect();
    assert_eq!(noted.len(), 2, "the bays on both sides: {noted:?}");
    assert!(noted[0].message.contains("58.4") || noted[1].message.contains("58.4"));
    // One beyond the run waits, and what rests on it is told.
    moved["runs"][0]["posts"][1]["position"] = 150_000.into();
    let last = moved["runs"][0]["posts"].as_array().unwrap().len() - 1;
    moved["runs"][0]["posts"][last]["position"] = 151_000.into();
    let mut device = Device::founder("ann");
    let (planned, _) = import(&mut device, moved.to_string().as_bytes(), false);
    let asked = paths(&planned, Outcome::Questioned);
    let path = format!("runs[0].posts[{last}].position");
    assert!(asked.contains(&path), "{asked:?}");
}

#[test]
fn files_that_can_not_be_read_are_refused_whole() {
    let large = vec![b' '; usize::try_from(LARGEST_FILE).unwrap() + 1];
    assert_eq!(survey::read(&large), Err(SurveyError::TooLarge));
    assert_eq!(
        survey::read(&fixture("survey-bad/empty.json")),
        Err(SurveyError::Empty)
    );
    assert_eq!(survey::read(b"\xef\xbb\xbf \n"), Err(SurveyError::Empty));
    let read = |name: &str| survey::read(&fixture(name)).unwrap_err();
    assert!(matches!(
        read("survey-bad/cut.json"),
        SurveyError::Cut { .. }
    ));
    assert_eq!(
        read("survey-bad/not-utf8.json"),
        SurveyError::NotText { at: 34 }
    );
    assert_eq!(read("survey-bad/newer-format.json"), SurveyError::Newer(2));
    assert!(matches!(
        read("survey-bad/no-format.json"),
        SurveyError::NotASurvey(_)
    ));
    assert_eq!(read("survey-bad/nested.json"), SurveyError::TooDeep);
    assert_eq!(read("survey-bad/no-header.csv"), SurveyError::NoHeader);
    let twice = b"run,wire,length,Wire\nA,1,7294,1\n";
    assert_eq!(
        survey::read(twice),
        Err(SurveyError::ColumnTwice("wire".into()))
    );
    for text in [
        "[1]",
        "{\"format\": 0}",
        "{\"format\": \"1\"}",
        "{\"format\": 1.5}",
        "{} x",
    ] {
        assert!(survey::read(text.as_bytes()).is_err(), "{text}");
    }
    // Cut anywhere, a survey is never taken.
    let whole = fixture("demo/survey.json");
    for end in (1..whole.len() - 2).step_by(97) {
        assert!(survey::read(&whole[..end]).is_err(), "{end}");
    }
}

#[test]
fn every_problem_is_named_by_its_path_and_the_rest_is_recorded() {
    use Outcome::{Ignored, Noted, Questioned, Refused};
    let mut ann = Device::founder("ann");
    let (planned, counts) = import(&mut ann, &fixture("survey-bad/many-problems.json"), false);
    assert_eq!(
        shape(&planned.problems),
        [
            ("bays[0].clear", Questioned),
            ("bays[1]", Refused),
            ("bays[2]", Refused),
            ("bays[7]", Refused),
            ("job.place", Questioned),
            ("job.title", Questioned),
            ("lengths[10].run", Refused),
            ("lengths[1].length", Refused),
            ("lengths[2].length", Refused),
            ("lengths[3].length", Refused),
            ("lengths[4].length", Questioned),
            ("lengths[6].length", Questioned),
            ("lengths[7].length", Refused),
            ("lengths[9].wire", Refused),
            ("posts[8].section.along", Refused),
            ("runs[0].colour", Ignored),
            ("runs[0].posts[2].position", Refused),
            ("runs[2]", Noted),
            ("runs[2].posts[0].post", Refused),
            ("runs[2].tensions.set", Refused),
            ("weather", Ignored),
        ]
    );
    let expected = Counts {
        job: 12,
        runs: 3,
        posts: 8,
        posts_in_runs: 8,
        bays: 4,
        lengths: 4,
        ..WHOLE
    };
    assert_eq!(counts, expected);
    assert!(planned.tensions.is_empty());
    // The two odd lengths, the bay and the title are there once a person confirmed them.
    let (_, counts) = import(&mut ann, &fixture("survey-bad/many-problems.json"), true);
    let expected = Counts {
        job: 2,
        bays: 1,
        lengths: 2,
        ..Counts::default()
    };
    assert_eq!(counts, expected);
}

#[test]
fn a_table_that_ends_with_its_first_line_is_refused() {
    for text in ["run,wire,length", "run;wire;length;unit\n"] {
        let error = survey::read(text.as_bytes()).unwrap_err();
        assert_eq!(error, SurveyError::NoRows, "{text}");
        assert!(error.to_string().contains("was it cut?"));
    }
}

#[test]
fn a_file_with_a_format_number_alone_is_refused() {
    let error = survey::read(br#"{"format": 1}"#).unwrap_err();
    assert_eq!(error, SurveyError::Nothing);
}

#[test]
fn rows_of_a_table_stand_alone() {
    use Outcome::{Ignored, Questioned, Refused};
    let mut ann = Device::founder("ann");
    import(&mut ann, &without_lengths(), true);
    let (planned, counts) = import(&mut ann, &fixture("survey-bad/many-problems.csv"), false);
    assert_eq!(
        shape(&planned.problems),
        [
            ("line 1, mood", Ignored),
            ("line 11, wire", Refused),
            ("line 3, length", Refused),
            ("line 4, length", Refused),
            ("line 5, length", Refused),
            ("line 6, length", Questioned),
            ("line 8, unit", Refused),
            ("line 9", Refused),
        ]
    );
    assert_eq!(counts.lengths, 3);
    let comma = b"run,wire,length,unit,purpose,posts,faces,instrument\n\
                  A,2,7295,5,mm,cut,insertsIn,insertFaces,tape\n";
    let (planned, counts) = import(&mut ann, comma, false);
    assert_eq!(shape(&planned.problems), [("line 2", Refused)]);
    assert!(planned.problems[0].message.contains("semicolons"));
    assert_eq!(counts, Counts::default());
}

#[test]
fn what_was_corrected_since_is_left_alone() {
    let mut ann = Device::founder("ann");
    let (planned, _) = import(&mut ann, &fixture("demo/survey.json"), true);
    let run = Subject::run(planned.runs[0].1);
    let over = with_job(&mut ann, |job| {
        let fact = job.reader.one(fields::RUN_TRIAL_WIRE, &run.to_string(), "");
        fact.tip_ids()
    });
    let corrected = Draft {
        kind: fields::RUN_TRIAL_WIRE.kind(),
        subject: run.to_string(),
        over,
        data: value_data("", &serde_json::json!(7)),
        ..Draft::default()
    };
    let (job, person) = (ann.job(), ann.person());
    ann.record.act(job, person, vec![corrected]).unwrap();
    let before = told(&mut ann);
    let (planned, counts) = import(&mut ann, &fixture("demo/survey.json"), true);
    assert_eq!((planned.problems, counts), (Vec::new(), Counts::default()));
    assert_eq!(told(&mut ann), before);
    // A new value is a correction, and asked about.
    let trial = |n: u32| {
        format!(r#"{{"format": 1, "runs": [{{"name": "A", "trialWire": {n}}}]}}"#).into_bytes()
    };
    let (planned, counts) = import(&mut ann, &trial(8), false);
    assert_eq!(
        shape(&planned.problems),
        [("runs[0].trialWire", Outcome::Questioned)]
    );
    assert_eq!(counts, Counts::default());
    let (_, counts) = import(&mut ann, &trial(8), true);
    assert_eq!(counts.runs, 1);
    let stands = with_job(&mut ann, |job| job.runs[0].trial_wire);
    assert_eq!(stands, 8);
}

#[test]
fn a_low_spot_comes_with_its_bay() {
    let text = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let told = r#""clear": 1410, "lowSpot": {"level": -20, "fromLeft": "705 mm"},"#;
    let text = text.replace(r#""clear": 1410,"#, told);
    let mut device = Device::founder("ann");
    let (planned, _) = import(&mut device, text.as_bytes(), true);
    assert_eq!(planned.problems, Vec::new());
    let spots = with_job(&mut device, |job| {
        let bays = job.runs.iter().flat_map(|run| &run.bays);
        bays.filter_map(|bay| bay.low_spot.value().copied())
            .collect::<Vec<_>>()
    });
    let spot = LowSpot {
        level_nm: -20_000_000,
        from_left_nm: Some(705_000_000),
    };
    assert_eq!(spots, [spot]);
}

#[test]
fn a_bay_comes_with_its_tool_and_a_wall_end_with_its_figures() {
    let text = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let bay = r#""clear": 1410, "along": "level", "instrument": "tape""#;
    let wall = r#""name": "A6","#;
    assert!(text.contains(bay) && text.contains(wall));
    let text = text.replace(bay, &format!(r#"{bay}, "tool": "G-02""#));
    let text = text.replace(r#""support": {"kind": "post"},"#, "");
    let support = r#""support": {"kind": "wallEnd", "substrate": "brick", "embedment": "90 mm", "edge": 120},"#;
    let text = text.replace(wall, &format!("{wall} {support}"));
    let mut device = Device::founder("ann");
    let (planned, _) = import(&mut device, text.as_bytes(), true);
    assert_eq!(planned.problems, Vec::new());
    with_job(&mut device, |job| {
        let bays = job.runs.iter().flat_map(|run| &run.bays);
        let read = bays.flat_map(|bay| &bay.readings).flat_map(|f| &f.tips);
        let tools: Vec<_> = read.filter_map(|t| t.with.as_ref()?.tool).collect();
        assert_eq!(tools, [job.tools[0].id]);
        let mut supports = job.posts.iter().filter_map(|post| post.support.as_ref());
        let wall = supports.next_back().unwrap();
        assert_eq!(
            (wall.embedment_nm, wall.edge_nm),
            (Some(90_000_000), Some(120_000_000))
        );
    });
    // A tool that the job does not have is named, and the bay waits for it.
    let unknown = text.replace(r#""tool": "G-02""#, r#""tool": "G-99""#);
    let (planned, _) = import(&mut Device::founder("ben"), unknown.as_bytes(), true);
    assert_eq!(planned.problems.len(), 1, "{:?}", planned.problems);
    assert!(
        planned.problems[0].path.ends_with(".tool"),
        "{:?}",
        planned.problems
    );
}

#[test]
fn odd_figures_of_every_kind_wait_for_a_yes_in_an_import_too() {
    let text = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let mut file: serde_json::Value = serde_json::from_str(&text).unwrap();
    file["job"]["permitDate"] = "2999-01-01".into();
    file["tools"][0]["errorPercent"] = 0.04.into();
    file["tools"][0]["rangeFromN"] = 2_500.into();
    file["tools"][0]["rangeToN"] = 300.into();
    file["tools"][0]["due"] = "2020-01-01".into();
    file["runs"][0]["rail"]["stiffness"] = 500_000.into();
    file["runs"][1]["height"] = 1_200.into();
    file["posts"][0]["material"]["modulusMpa"] = 140_000.into();
    file["posts"][1]["base"]["spacing"] = 2_500.into();
    let mut device = Device::founder("ann");
    let (planned, _) = import(&mut device, file.to_string().as_bytes(), false);
    let mut asked: Vec<&str> = planned
        .problems
        .iter()
        .filter(|p| p.outcome == Outcome::Questioned)
        .map(|p| p.path.as_str())
        .filter(|path| !["job.title", "job.place"].contains(path))
        .collect();
    asked.sort_unstable();
    assert_eq!(
        asked,
        [
            "job.permitDate",
            "posts[0].material",
            "posts[1].base",
            "runs[0].rail",
            "runs[1].height",
            "tools[0].due",
            "tools[0].errorPercent",
            "tools[0].rangeToN",
        ]
    );
}
