//! The worked job: deck run A, stair run B, as the scenario has them.
//!
//! One file past 400 lines, since it is read from the first post to the last recheck.

use records::ids::{Hash, ItemId};
use records::job::Job;
use records::library;
use records::model::context::{
    BayRead, CrimpRead, GapRead, LengthRead, OnPiece, OpeningRead, Said, TensionRead, Told,
};
use records::model::values::*;
use records::model::{Field, fields};
use records::record::{Draft, new_item, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{NextAct, all_acts};
use serde::Serialize;

use crate::common::Device;

pub struct Scene {
    pub device: Device,
    pub a: ItemId,
    pub b: ItemId,
    /// A1, A2, A3, A4, A5, A6, and A4a once it is added.
    pub posts: Vec<(String, ItemId)>,
    pub strand: ItemId,
    pub fitting: ItemId,
    pub gauge: ItemId,
}

pub const MM: i64 = 1_000_000;

pub fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

pub fn cut_read() -> LengthRead {
    LengthRead {
        entered: None,
        purpose: Purpose::Cut,
        posts: PostState::InsertsIn,
        faces: Faces::InsertFaces,
        proud_nm: None,
        instrument: Instrument::Tape,
        tool: None,
        spread_nm: None,
        reason: None,
    }
}

pub fn on_piece(piece: u32) -> OnPiece {
    OnPiece {
        piece,
        lost_nm: None,
        to_mn: None,
        entered: None,
        reason: None,
    }
}

impl Scene {
    /// A claim over the present tips of a single-valued field, a repeat of a many-valued one.
    pub fn say<T: Serialize, C: Serialize>(
        &mut self,
        field: Field<T, C>,
        subject: &Subject,
        place: &str,
        value: T,
        with: Option<C>,
    ) -> Hash {
        let over = if field.many {
            Vec::new()
        } else {
            self.tips(field.name, subject, place)
        };
        self.say_over(field, subject, place, Some(value), with, over)
    }

    pub fn say_over<T: Serialize, C: Serialize>(
        &mut self,
        field: Field<T, C>,
        subject: &Subject,
        place: &str,
        value: Option<T>,
        with: Option<C>,
        over: Vec<Hash>,
    ) -> Hash {
        let mut data = value_data(place, &serde_json::to_value(value).unwrap());
        if let Some(with) = with {
            data.insert("with".into(), serde_json::to_value(with).unwrap());
        }
        let draft = Draft {
            kind: field.kind(),
            subject: subject.to_string(),
            over,
            data,
            ..Draft::default()
        };
        let (job, person) = (self.device.job(), self.device.person());
        self.device.record.act(job, person, vec![draft]).unwrap()[0]
    }

    pub fn tips(&mut self, field: &str, subject: &Subject, place: &str) -> Vec<Hash> {
        let key = records::book::Key {
            subject: subject.to_string(),
            field: field.into(),
            place: place.into(),
        };
        let job = self.device.job();
        let view = self.device.record.view(job).unwrap();
        view.key(&key)
            .map(|k| k.lines.iter().flat_map(|l| l.tips.clone()).collect())
            .unwrap_or_default()
    }

    pub fn create(&mut self, kind: ItemKind, field: Field<Flag, Said>) -> ItemId {
        let id = new_item().unwrap();
        self.say(field, &Subject::Item(kind, id), "", true, None);
        id
    }

    pub fn with_job<R>(&mut self, look: impl FnOnce(&Job<'_>) -> R) -> R {
        let (job, crew) = (self.device.job(), self.device.crew);
        let crew = self.device.record.crew(crew).clone();
        let view = self.device.record.view(job).unwrap();
        look(&Job::read(view, &crew))
    }

    pub fn post(&self, name: &str) -> ItemId {
        self.posts.iter().find(|(n, _)| n == name).unwrap().1
    }

    pub fn bay(&self, left: &str, right: &str) -> Subject {
        Subject::bay(self.post(left), self.post(right))
    }

    pub fn bay_place(&self, left: &str, right: &str) -> String {
        self.bay(left, right)
            .to_string()
            .strip_prefix("bay:")
            .unwrap()
            .to_owned()
    }

    pub fn measure(&mut self, run: ItemId, wire: u32, length: f64) -> Hash {
        self.say(
            fields::WIRE_LENGTH,
            &Subject::Wire(run, wire),
            "",
            mm(length),
            Some(cut_read()),
        )
    }

    pub fn add_post(&mut self, name: &str, run: ItemId, at: f64, floor: f64, role: PostRole) {
        let id = match self.posts.iter().find(|(n, _)| n == name) {
            Some((_, id)) => *id,
            None => {
                let id = self.create(ItemKind::Post, fields::POST_CREATED);
                self.posts.push((name.into(), id));
                let subject = Subject::post(id);
                let side = if role == PostRole::Anchor { 115 } else { 90 };
                self.say(fields::POST_NAME, &subject, "", name.into(), None);
                let section = Section {
                    along_nm: side * MM,
                    across_nm: side * MM,
                    wall_nm: None,
                    solid: None,
                };
                self.say(fields::POST_SECTION, &subject, "", section, None);
                self.say(
                    fields::POST_MATERIAL,
                    &subject,
                    "",
                    Material {
                        name: "F17 hardwood".into(),
                        grade: Some("F17".into()),
                        treatment: None,
                        modulus_mpa: Some(14_000),
                        modulus_origin: Some("scenario input".into()),
                        bending_mpa: None,
                        bending_origin: None,
                        moisture_permille: None,
                    },
                    None,
                );
                self.say(
                    fields::POST_BASE,
                    &subject,
                    "",
                    BaseFixing {
                        kind: "bolted bracket".into(),
                        bolts: Some(4),
                        spacing_nm: Some(250 * MM),
                        turning_nm_per_rad: None,
                        turning_origin: None,
                        seen: true,
                    },
                    None,
                );
                self.say(fields::POST_FLOOR, &subject, "", mm(floor), None);
                id
            }
        };
        let (subject, place) = (Subject::post(id), run.to_string());
        self.say(fields::POST_POSITION, &subject, &place, mm(at), None);
        self.say(fields::POST_ROLE, &subject, &place, role, None);
    }

    pub fn end(&mut self, post: &str, run: ItemId, hand: Hand, angled_seat: bool) {
        let (subject, place) = (Subject::post(self.post(post)), run.to_string());
        let end = End {
            kind: EndKind::Insert,
            hand,
            tensioner: true,
            angled_seat,
            aside_nm: None,
            other_enters: None,
        };
        self.say(fields::POST_END, &subject, &place, end, None);
    }

    pub fn clear(&mut self, left: &str, right: &str, length: f64) {
        let bay = self.bay(left, right);
        let read = BayRead {
            entered: None,
            along: Along::Level,
            instrument: Instrument::Laser,
            tool: None,
            reason: None,
        };
        self.say(fields::BAY_CLEAR, &bay, "", mm(length), Some(read));
    }

    /// Everything that is offered, as one skips on.
    pub fn offered(&mut self) -> Vec<NextAct> {
        self.with_job(|job| all_acts(job).unwrap())
    }

    pub fn tension(&mut self, run: ItemId, wire: u32, bay: &str, n: i64, stage: Stage, piece: u32) {
        let with = TensionRead {
            entered: None,
            method: Method::Gauge,
            stage,
            pass: None,
            piece,
            gauge: Some(self.gauge),
            raw: None,
            chart: None,
            repeat: None,
            air_cdeg: Some(2400),
            wire_cdeg: None,
            sun: None,
            reason: None,
            told: None,
        };
        let wire = Subject::Wire(run, wire);
        self.say(
            fields::WIRE_TENSION,
            &wire,
            bay,
            Force::newtons(n),
            Some(with),
        );
    }

    pub fn gaps_stop(&mut self, run: ItemId, left: &str, right: &str) {
        let bay = self.bay(left, right);
        let check = GapCheck {
            result: ProbeResult::Stops,
        };
        let read = GapRead {
            probe_nm: 125 * MM,
            ..GapRead::default()
        };
        self.say(fields::BAY_GAPS, &bay, &run.to_string(), check, Some(read));
    }

    pub fn crimp(&mut self, run: ItemId, wire: u32, post: &str, result: CrimpResult, piece: u32) {
        let read = CrimpRead {
            piece,
            ..CrimpRead::default()
        };
        let crimp = Crimp {
            result,
            reason: None,
        };
        let place = self.post(post).to_string();
        let wire = Subject::Wire(run, wire);
        self.say(fields::WIRE_CRIMP, &wire, &place, crimp, Some(read));
    }

    pub fn tick(&mut self, run: ItemId, wire: u32, act: Act, piece: u32) {
        let place = records::job::wires::act_place(act, piece);
        let wire = Subject::Wire(run, wire);
        self.say(
            fields::WIRE_DONE,
            &wire,
            &place,
            true,
            Some(on_piece(piece)),
        );
    }
}

/// A job of which nobody told anything.
pub fn begun() -> Scene {
    let nothing = new_item().unwrap();
    Scene {
        device: Device::founder("ann"),
        a: nothing,
        b: nothing,
        posts: Vec::new(),
        strand: nothing,
        fitting: nothing,
        gauge: nothing,
    }
}

/// The scenario as surveyed: bays A1–A6 with A4–A5 at 1560, no wire measured, no tension decided.
pub fn surveyed() -> Scene {
    let mut s = begun();
    let job = Subject::Job(s.device.job());
    let rules = library::copy_of(&library::rule_set("au-2022").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    s.say(fields::JOB_FALL, &job, "", mm(1602.0), None);
    s.say(fields::JOB_POOL, &job, "", false, None);
    materials(&mut s);
    s.a = s.create(ItemKind::Run, fields::RUN_CREATED);
    s.b = s.create(ItemKind::Run, fields::RUN_CREATED);
    let (a, b) = (s.a, s.b);
    run(&mut s, a, "A", 12, 76, Surface::Deck);
    run(&mut s, b, "B", 8, 93, Surface::Stair);
    let (subject_a, subject_b) = (Subject::run(a), Subject::run(b));
    s.say(fields::RUN_HEIGHT, &subject_a, "", mm(1020.0), None);
    s.say(
        fields::RUN_RAIL,
        &subject_a,
        "",
        rail(985, 35, Some(1000)),
        None,
    );
    s.say(fields::RUN_TRIAL_WIRE, &subject_a, "", 6, None);
    s.say(fields::RUN_FOLLOWS_FLOOR, &subject_a, "", true, None);
    s.say(fields::RUN_SHAPE, &subject_b, "", Shape::Raked, None);
    let slope = Slope {
        rise_nm: 178 * MM,
        going_nm: 250 * MM,
        risers: Some(9),
        overhang_nm: None,
    };
    s.say(fields::RUN_SLOPE, &subject_b, "", slope, None);
    s.say(fields::RUN_RAIL, &subject_b, "", rail(836, 45, None), None);
    for (name, at, floor, role) in [
        ("A1", 0.0, 0.0, PostRole::Anchor),
        ("A2", 1482.5, -3.0, PostRole::Intermediate),
        ("A3", 2982.5, -5.0, PostRole::Intermediate),
        ("A4", 4467.5, -8.0, PostRole::Intermediate),
        ("A5", 6117.5, -10.0, PostRole::Intermediate),
        ("A6", 7415.0, -12.0, PostRole::Anchor),
    ] {
        s.add_post(name, a, at, floor, role);
    }
    for (name, at, floor, role) in [
        ("A6", 0.0, -12.0, PostRole::Anchor),
        ("B2", 1087.5, -786.0, PostRole::Intermediate),
        ("B3", 2175.0, -1561.0, PostRole::Anchor),
    ] {
        s.add_post(name, b, at, floor, role);
    }
    s.end("A1", a, Hand::Left, false);
    s.end("A6", a, Hand::Right, false);
    s.end("A6", b, Hand::Left, true);
    s.end("B3", b, Hand::Right, true);
    for (left, right, length) in [
        ("A1", "A2", 1380.0),
        ("A2", "A3", 1410.0),
        ("A3", "A4", 1395.0),
        ("A4", "A5", 1560.0),
        ("A5", "A6", 1195.0),
        ("A6", "B2", 985.0),
        ("B2", "B3", 985.0),
    ] {
        s.clear(left, right, length);
    }
    let wall = OpeningRead {
        kind: OpeningKind::EndPostToWall,
        entered: None,
        remark: None,
        probe_nm: None,
        push_mn: None,
        moment: None,
    };
    let first = Subject::post(s.post("A1"));
    let gap = Opening {
        nm: 62 * MM,
        result: None,
    };
    s.say(fields::POST_OPENING, &first, "wall", gap, Some(wall));
    s
}

/// The same with every wire cut, pressed and fitted by its ticks.
pub fn fitted() -> Scene {
    let mut s = measured();
    fit(&mut s);
    s
}

/// Ticks every wire of both runs as cut, pressed, threaded and fitted.
pub fn fit(s: &mut Scene) {
    for (run, wires) in [(s.a, 12), (s.b, 8)] {
        for wire in 1..=wires {
            fit_piece(s, run, wire, 1);
        }
    }
}

/// The same of one piece of a wire.
pub fn fit_piece(s: &mut Scene, run: ItemId, wire: u32, piece: u32) {
    for act in [
        Act::Cut,
        Act::LeftEndPressed,
        Act::Threaded,
        Act::RightEndPressed,
        Act::Fitted,
    ] {
        s.tick(run, wire, act, piece);
    }
}

/// The scenario before cutting: A4a added, tensions decided, every length measured.
pub fn measured() -> Scene {
    let mut s = surveyed();
    let (a, b) = (s.a, s.b);
    s.add_post("A4a", a, 5292.5, -9.0, PostRole::Intermediate);
    s.clear("A4", "A4a", 735.0);
    s.clear("A4a", "A5", 735.0);
    for run in [a, b] {
        decide(&mut s, run, 1330, 1800);
    }
    for (wire, length) in [(1, 7294.0), (6, 7300.0), (12, 7305.0)] {
        s.measure(a, wire, length);
    }
    for wire in 1..=8 {
        s.measure(b, wire, 2525.0 + f64::from(wire));
    }
    s
}

/// Decides the tensions of a run, set 1500 N by the scenario's passes.
pub fn decide(s: &mut Scene, run: ItemId, required: i64, upper: i64) {
    let told = Told {
        program: "test".into(),
        ..Told::default()
    };
    let tensions = Tensions {
        required_mn: required * 1000,
        set_mn: 1_500_000,
        upper_mn: upper * 1000,
        required_origin: "table".into(),
        upper_origin: "strand".into(),
        passes_mn: vec![600_000, 1_100_000, 1_500_000],
    };
    s.say(
        fields::RUN_TENSIONS,
        &Subject::run(run),
        "",
        tensions,
        Some(told),
    );
}

/// How a tension was read, on the first piece, with nothing else told.
pub fn tension_read(method: Method, stage: Stage, gauge: Option<ItemId>) -> TensionRead {
    TensionRead {
        entered: None,
        method,
        stage,
        pass: None,
        piece: 1,
        gauge,
        raw: None,
        chart: None,
        repeat: None,
        air_cdeg: None,
        wire_cdeg: None,
        sun: None,
        reason: None,
        told: None,
    }
}

fn materials(s: &mut Scene) {
    let template = &library::strands()[0];
    s.strand = s.create(ItemKind::Strand, fields::STRAND_CREATED);
    let strand = Subject::Item(ItemKind::Strand, s.strand);
    s.say(
        fields::STRAND_NAME,
        &strand,
        "",
        template.name.clone(),
        None,
    );
    s.say(
        fields::STRAND_FIGURES,
        &strand,
        "",
        template.figures.clone(),
        None,
    );
    let set = &library::fitting_sets()[0];
    s.fitting = s.create(ItemKind::FittingSet, fields::FITTING_SET_CREATED);
    let fitting = Subject::Item(ItemKind::FittingSet, s.fitting);
    s.say(fields::FITTING_NAME, &fitting, "", set.name.clone(), None);
    s.say(
        fields::FITTING_TERMINALS,
        &fitting,
        "",
        set.terminals.clone(),
        None,
    );
    s.say(
        fields::FITTING_THROUGH_HOLE,
        &fitting,
        "",
        set.through_hole,
        None,
    );
    s.say(
        fields::FITTING_EFFICIENCY,
        &fitting,
        "",
        set.efficiency,
        None,
    );
    let deduction = set.fixed_deduction.unwrap();
    s.say(
        fields::FITTING_FIXED_DEDUCTION,
        &fitting,
        "",
        deduction,
        None,
    );
    s.gauge = s.create(ItemKind::Tool, fields::TOOL_CREATED);
    let gauge = Subject::Item(ItemKind::Tool, s.gauge);
    s.say(fields::TOOL_NAME, &gauge, "", "G-02".into(), None);
    s.say(fields::TOOL_KIND, &gauge, "", ToolKind::TensionGauge, None);
    s.say(fields::TOOL_ERROR, &gauge, "", 400, None);
    let job = Subject::Job(s.device.job());
    let all = Spare {
        sample: 1,
        scrap: 1,
        over: 1,
    };
    let one_over = Spare {
        over: 1,
        ..Spare::default()
    };
    let allowances = Allowances {
        terminals: all,
        inserts: one_over,
        lock_nuts: all,
        angled_seats: one_over,
        ..Allowances::default()
    };
    s.say(fields::JOB_ALLOWANCES, &job, "", allowances, None);
}

fn run(s: &mut Scene, id: ItemId, name: &str, wires: i64, spacing: i64, surface: Surface) {
    let subject = Subject::run(id);
    s.say(fields::RUN_NAME, &subject, "", name.into(), None);
    s.say(fields::RUN_SURFACE, &subject, "", surface, None);
    s.say(fields::RUN_WIRE_COUNT, &subject, "", wires, None);
    let heights = WireHeights {
        nm: (1..=wires).map(|n| n * spacing * MM).collect(),
    };
    s.say(fields::RUN_WIRE_HEIGHTS, &subject, "", heights, None);
    let (strand, fitting) = (s.strand, s.fitting);
    s.say(fields::RUN_STRAND, &subject, "", strand, None);
    s.say(fields::RUN_FITTING_SET, &subject, "", fitting, None);
    let lining = Lining::GrommetHalves;
    s.say(fields::RUN_LINING, &subject, "", lining, None);
}

fn rail(underside: i64, thickness: i64, at: Option<i64>) -> Rail {
    Rail {
        underside_nm: underside * MM,
        thickness_nm: thickness * MM,
        stiffness_n_per_m: Some(500_000),
        stiffness_height_nm: at.map(|h| h * MM),
    }
}
