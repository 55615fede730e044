//! What a person typed stays beside the figure: every command of the list that takes a figure with a
//! unit is called here, and what it wrote is read from the journal itself.

use std::collections::{BTreeMap, BTreeSet};

use crate::common::Device;
use crate::common::worked::Site;
use crate::heard::{keep, three};
use crate::own_library::{figure, fitting};
use crate::plucks::PLAIN;
use api::boundary::describe;
use serde_json::{Value, json};

/// Commands whose figures nobody types, and whose figures they are.
const NOT_TYPED: &[(&str, &str)] = &[
    ("addPhoto", "the device's own position"),
    ("takeLayout", "heights as the program proposed them"),
    ("turnWire", "the pass's own tension, or the set one"),
];

/// Whether a name says that what stands under it is a length, force, mass or position.
fn of_unit(name: &str) -> bool {
    let whole = ["nm", "mn", "mg"].contains(&name);
    whole || ["Nm", "Mn", "Mg", "E7"].iter().any(|u| name.ends_with(u))
}

/// Whether a request's schema takes a figure with a unit: typed, in the record's units, or as any
/// value of a field.
fn takes_figures(schema: &Value) -> bool {
    let Value::Object(map) = schema else {
        let mut list = schema.as_array().into_iter().flatten();
        return list.any(takes_figures);
    };
    let named = ["Typed", "SheetFigure"];
    let defs = map.get("$defs").and_then(Value::as_object);
    let typed = defs.is_some_and(|defs| named.iter().any(|name| defs.contains_key(*name)));
    let fields = map.get("properties").and_then(Value::as_object);
    let told = fields.is_some_and(|fields| fields.iter().any(|(name, of)| told_in(name, of)));
    typed || told || map.values().any(takes_figures)
}

/// Whether a field of a request is such a figure.
fn told_in(name: &str, of: &Value) -> bool {
    let any = name == "value" && of.get("type").is_none() && of.get("$ref").is_none();
    let doc = of["description"].as_str().unwrap_or_default();
    let text = of["type"].to_string().contains("string");
    let words = ["as typed", "as weighed", "newtons"];
    of_unit(name) || any || (text && words.iter().any(|word| doc.contains(word)))
}

/// The commands that record what they are told and take a figure with a unit.
fn told_figures() -> BTreeSet<String> {
    let described = describe(api::commands());
    let commands = described["commands"].as_array().unwrap().iter();
    let record = ["Recorded", "KeptHeard"];
    commands
        .filter(|c| record.contains(&c["answer"]["title"].as_str().unwrap_or_default()))
        .filter(|c| takes_figures(&c["request"]))
        .map(|c| c["name"].as_str().unwrap().to_owned())
        .collect()
}

/// Bodies of all entries in a device's journal, in order.
fn bodies(device: &Device) -> Vec<Value> {
    let folder = device.app.data().join("journal");
    let files = std::fs::read_dir(folder).unwrap();
    let mut files: Vec<_> = files.map(|file| file.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "jsonl"));
    files.sort();
    let text = files.iter().map(|p| std::fs::read_to_string(p).unwrap());
    let text: String = text.collect();
    let body = |line: &str| serde_json::from_str(line.split_once(' ').unwrap().1).unwrap();
    text.lines().map(body).collect()
}

/// The claims of an entry: field, value and how it came about.
fn claims(body: &Value) -> Vec<(String, Value, Value)> {
    let data = &body["data"];
    let kind = body["kind"].as_str().unwrap().to_owned();
    let mut all = vec![(kind, data["value"].clone(), data["with"].clone())];
    for one in data["fields"].as_array().into_iter().flatten() {
        let field = one["field"].as_str().unwrap().to_owned();
        all.push((field, one["value"].clone(), one["with"].clone()));
    }
    all
}

/// Whether a value has a figure with a unit anywhere in it.
fn has_figure(value: &Value) -> bool {
    match value {
        Value::Object(map) if map.contains_key("n") && map.contains_key("origin") => true,
        Value::Object(map) => map
            .iter()
            .any(|(name, v)| (of_unit(name) && !v.is_null()) || has_figure(v)),
        Value::Array(list) => list.iter().any(has_figure),
        _ => false,
    }
}

/// Whether the context itself, not what was told with it, has a figure with a unit.
fn figure_beside(with: &Value) -> bool {
    let own = with.as_object().into_iter().flatten();
    own.into_iter().any(|(name, v)| of_unit(name) && v.is_i64())
}

/// Every text of a request that is a figure as typed.
fn typed_texts(request: &Value, found: &mut Vec<String>) {
    let names = [
        "text",
        "newtons",
        "grams",
        "gramsPerMetre",
        "push",
        "markMoved",
        "entered",
    ];
    match request {
        Value::Object(map) => {
            for (name, value) in map {
                match value.as_str() {
                    Some(text) if names.contains(&name.as_str()) => found.push(text.to_owned()),
                    _ => typed_texts(value, found),
                }
            }
        }
        Value::Array(list) => list.iter().for_each(|one| typed_texts(one, found)),
        _ => {}
    }
}

/// Whether a text stands in another by itself, as 60 does not in 1160.
fn stands(text: &str, kept: &str) -> bool {
    let figure = |one: char| one.is_alphanumeric() || one == '.' || one == ',';
    kept.match_indices(text).any(|(at, _)| {
        let (before, found) = kept.split_at(at);
        let after = found.strip_prefix(text).unwrap_or_default();
        let mut behind = after.chars();
        let goes_on = match behind.next() {
            Some('.' | ',') => behind.next().is_some_and(|next| next.is_ascii_digit()),
            next => next.is_some_and(char::is_alphanumeric),
        };
        !before.ends_with(figure) && !goes_on
    })
}

/// Every claim that stands in the journal behind what stood there before keeps what was typed.
fn typed_is_kept(device: &Device, before: usize, command: &str, request: &Value) {
    let new = bodies(device).split_off(before);
    let mut kept = String::new();
    let mut told = 0;
    for (field, value, with) in new.iter().flat_map(claims) {
        if has_figure(&value) || figure_beside(&with) {
            let entered = with["entered"].as_str().unwrap_or_default();
            assert!(
                !entered.is_empty(),
                "{command}: {field} {value} lost what was typed: {with}"
            );
            kept.push_str(&format!("{entered}\n"));
            told += 1;
        }
    }
    assert!(told > 0, "{command} told no figure: {new:?}");
    let mut typed = Vec::new();
    typed_texts(request, &mut typed);
    assert!(!typed.is_empty(), "{command}: {request} has nothing typed");
    for text in typed {
        assert!(stands(&text, &kept), "{command}: {text:?} is not in {kept}");
    }
}

/// Calls a command, in the run that the site is of where it names one, and reads what it wrote.
fn tell(site: &Site, on_run: bool, command: &'static str, mut request: Value) -> &'static str {
    request["job"] = json!(site.job);
    if on_run {
        request["run"] = json!(site.run);
    }
    tell_bare(site, command, request)
}

fn tell_bare(site: &Site, command: &'static str, request: Value) -> &'static str {
    let before = bodies(&site.ann).len();
    site.ann.call(command, request.clone());
    typed_is_kept(&site.ann, before, command, &request);
    command
}

fn field(name: &str, value: Value, typed: &str) -> Value {
    let mut one = json!({"field": name, "value": value});
    if !typed.is_empty() {
        one["with"] = json!({"entered": typed});
    }
    one
}

#[test]
fn every_command_that_takes_a_figure_keeps_what_was_typed() {
    let site = Site::of_run(0);
    let layout = site.layout();
    let [first, _] = site.ends();
    let bay = &layout["bays"][1];
    let mut told = BTreeMap::new();
    let mut on = |name: &'static str| *told.entry(name).or_insert(0) += 1;

    // Said as plain facts, by themselves and with a creation.
    let reel = json!([
        field("name", json!("R-1"), ""),
        field("kind", json!("strand"), ""),
        field("metres", json!({"nm": 60_000_000_000_i64}), "60 m"),
    ]);
    let reel = json!({"thing": "batch", "fields": reel});
    on(tell(&site, false, "addThing", reel));
    let job = site.ann.call("readJob", json!({"job": site.job}));
    let reel = job["batches"][0]["subject"].clone();
    let fall = json!({"subject": layout["subject"], "field": "fall", "value": {"nm": 1_800_000_000},
        "with": {"entered": "1,8 m"}});
    on(tell(&site, false, "say", json!({"claims": [fall]})));

    // Read with tape, gauge, scale and probe.
    let inches = |text: &str| json!({"text": text, "unit": "in"});
    let length = json!({"wire": 2, "length": inches("287 3/16"), "purpose": "cut",
        "posts": "railOn", "faces": "postFaces", "instrument": "tape", "proud": {"text": "2,5"},
        "spread": {"text": "1.5"}, "confirmed": true});
    on(tell(&site, true, "measure", length));
    let clear = json!({"bay": bay["subject"], "length": inches("55 1/2"), "along": "level",
        "instrument": "tape", "confirmed": true});
    on(tell(&site, false, "measureBay", clear));
    let pull = json!({"post": first, "newtons": "300,5", "at": {"text": "1,0 m"},
        "moved": {"text": "3.25"}, "railOn": false, "confirmed": true});
    on(tell(&site, true, "readPull", pull));
    let aside = json!({"post": first, "off": {"text": "3/8 in"}, "otherEnters": "right", "confirmed": true});
    on(tell(&site, true, "putAside", aside));
    let round = json!({"bay": bay["place"], "stage": "final"});
    let reading = json!({"wire": 2, "newtons": "1490 N", "round": round, "confirmed": true});
    on(tell(&site, true, "readTension", reading));
    let hung = json!({"wire": 3, "deflection": {"text": "4,5"}, "grams": "1998,2", "round": round,
        "confirmed": true});
    on(tell(&site, true, "readDeflection", hung));
    let gaps = json!({"bay": bay["subject"], "probe": {"text": "4 15/16 in"}, "push": "40,5",
        "exceptions": [{"aboveWire": 3, "result": "passes"}], "confirmed": true});
    on(tell(&site, true, "checkGaps", gaps));
    let size = json!({"firstNm": 6_300_000, "secondNm": 6_320_000});
    let sample = json!({"pullMn": 3_700_000, "heldS": 60, "markMovedNm": 0, "result": "good",
        "left": size, "right": size});
    let with = json!({"entered": "pull 3700 N; moved 0 mm; 6,30 mm; 6,32 mm"});
    let sample = json!({"sample": sample, "with": with, "confirmed": true});
    on(tell(&site, false, "addSampleCrimp", sample));
    let end = json!({"wires": "2-3", "post": first, "threadLeft": inches("1/4"),
        "markMoved": "1,5", "endOut": {"text": "2.25"}, "markHidden": true, "confirmed": true});
    on(tell(&site, true, "readEnd", end));

    // Decided, cut, thrown away and kept.
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passesMn": [1_500_000]});
    let decided = json!({"tensions": tensions, "entered": "required 1330 N; set 1500,0 N",
        "confirmed": true});
    on(tell(&site, true, "setTensions", decided));
    let scrap = json!({"stock": reel, "length": {"text": "19 3/4 in"}, "reason": "Kinked"});
    on(tell(&site, false, "scrapStrand", scrap));
    site.cut("6");
    let over = json!({"wire": 6, "way": "tooLong", "by": {"text": "6,5"}, "confirmed": true});
    on(tell(&site, true, "readOutBy", over));
    site.call("remakeWire", json!({"wire": 6, "reason": "Cut too short"}));
    let offcut = json!({"wire": 6, "piece": 1, "length": {"text": "7,0 m"}});
    on(tell(&site, true, "keepOffcut", offcut));
    on(heard(&site));
    on(cut_on_site());

    // Told from a maker's sheet, for the crew.
    let sheet = json!({"construction": "1x19", "figures": {"diameterNm": figure(3_175_000, 1)}});
    let strand = json!({"name": "1/8", "sheet": sheet, "entered": "diameter 1/8 in"});
    on(tell_bare(&site, "keepStrand", strand));
    let set = json!({"name": "M6", "sheet": fitting(), "entered": "overall 70 mm"});
    on(tell_bare(&site, "keepFittingSet", set));

    let called: BTreeSet<String> = told.keys().map(|name| (*name).to_owned()).collect();
    let mut asked = told_figures();
    for (name, _) in NOT_TYPED {
        assert!(asked.remove(*name), "{name} takes no figure any more");
    }
    assert_eq!(
        asked, called,
        "commands that take a figure, and those that are tried here"
    );
}

/// A tension by sound, with the span and the weight that were typed.
fn heard(site: &Site) -> &'static str {
    let mut heard = three(site, 6, 1240.0, PLAIN, 1);
    heard["gramsPerMetre"] = json!("50,12");
    let before = bodies(&site.ann).len();
    keep(site, heard.clone(), "pass").unwrap();
    typed_is_kept(&site.ann, before, "keepHeard", &heard);
    "keepHeard"
}

/// A wire round a corner is told as cut at the length that was typed on site.
fn cut_on_site() -> &'static str {
    let site = Site::of_run(0);
    let post = site.layout()["posts"][2]["subject"].clone();
    let corner = json!({"subject": post, "field": "role", "place": site.run, "value": "corner"});
    let said = json!({"job": site.job, "claims": [corner]});
    site.ann.call("say", said);
    let cut = json!({"wires": "1", "act": "cut", "done": true, "onSite": {"text": "7230,5"},
        "confirmed": true});
    tell(&site, true, "tickWires", cut)
}

#[test]
fn history_and_state_tell_what_was_typed_of_a_first_field() {
    let site = Site::surveyed(0);
    let size = field("size", json!({"nm": 127_000_000}), "5 in");
    let fields = json!([
        field("name", json!("probe"), ""),
        field("kind", json!("probe"), ""),
        size
    ]);
    let request = json!({"job": site.job, "thing": "tool", "fields": fields, "confirmed": true});
    let tool = site.ann.call("addThing", request)["created"].clone();
    let other = json!({"subject": tool, "field": "size", "value": {"nm": 125_000_000},
        "with": {"entered": "125", "reason": "read anew"}});
    let said = json!({"job": site.job, "claims": [other], "confirmed": true});
    let state = || site.ann.call("readState", json!({"job": site.job}))["state"].to_string();
    assert!(state().contains("\"with\":{\"entered\":\"5 in\"}"));
    site.ann.call("say", said);
    let request = json!({"job": site.job, "subject": tool, "history": true});
    let view = site.ann.call("readSubject", request);
    let mut facts = view["facts"].as_array().unwrap().iter();
    let words = &facts.find(|f| f["field"] == "size").unwrap()["words"];
    assert_eq!(words[0]["with"], json!({"entered": "5 in"}));
    assert_eq!(
        (&words[0]["stands"], words.as_array().unwrap().len()),
        (&json!(false), 2)
    );
    assert_eq!(words[1]["with"]["entered"], "125");
}

#[test]
fn how_a_first_field_came_about_is_checked_as_that_of_any_value() {
    let site = Site::surveyed(0);
    let tool = |with: Value| {
        let size = json!({"field": "size", "value": {"nm": 125_000_000}, "with": with});
        let kind = field("kind", json!("probe"), "");
        let fields = json!([field("name", json!("probe"), ""), kind, size]);
        json!({"job": site.job, "thing": "tool", "fields": fields})
    };
    let before = bodies(&site.ann).len();
    for wrong in [json!({"entered": 5}), json!("5 in"), json!([1])] {
        let refused = site.ann.refused("addThing", tool(wrong));
        assert!(refused.message.contains("size"), "{}", refused.message);
    }
    assert_eq!(bodies(&site.ann).len(), before);
    // An empty one says nothing and is not written.
    site.ann.call("addThing", tool(json!({})));
    let new = bodies(&site.ann).split_off(before);
    assert!(
        new.iter()
            .flat_map(claims)
            .all(|(_, _, with)| with.is_null())
    );
}

/// Fields that a survey names from the library, or fills with nothing where it tells no length.
const NOT_WRITTEN: &[&str] = &[
    "job.ruleSet",
    "job.allowances",
    "figures",
    "terminals",
    "throughHole",
    "insertPull",
    "fixedDeduction",
    "threadLimit",
    "fittingSet.throughHole",
    "fittingSet.insertPull",
    "fittingSet.fixedDeduction",
    "fittingSet.threadLimit",
];

#[test]
fn a_survey_keeps_its_figures_as_they_were_written() {
    let site = Site::edited(0, |survey| {
        survey["allowances"]["sampleStrand"] = json!("1,5 m");
    });
    let all: Vec<_> = bodies(&site.ann).iter().flat_map(claims).collect();
    let lost = all.iter().filter(|(field, value, with)| {
        let written = !NOT_WRITTEN.contains(&field.as_str());
        written && has_figure(value) && with["entered"].is_null()
    });
    let lost: Vec<_> = lost.collect();
    assert!(lost.is_empty(), "{lost:?}");
    let typed = |field: &str| {
        let (_, _, with) = all.iter().find(|(kind, ..)| kind == field).unwrap();
        with["entered"].clone()
    };
    assert_eq!(typed("job.allowances"), "1,5 m for samples");
}
