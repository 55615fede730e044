//! Releases for cutting: what moves one after it was made, by whatever way. One file past 400 lines, since each way is
//! tried on the same released run.

use records::ids::{Hash, ItemId};
use records::job::Job;
use records::model::fields;
use records::model::values::{
    Act, Angle, CutIssue, CutMade, DeductionBy, Force, Method, Stage, Support,
};
use records::record::{Draft, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{CutLine, NextAct, NextWhat, RefusalCode, cut_sheet, progress, release};

use crate::scene::{Scene, cut_read, measured, mm, on_piece, tension_read};

/// A wire as the cut sheet tells it.
pub fn line_of(job: &Job<'_>, run: ItemId, wire: u32) -> CutLine {
    let sheet = cut_sheet(job, run).unwrap();
    sheet.lines.into_iter().find(|l| l.wire == wire).unwrap()
}

impl Scene {
    /// Releases a wire for cutting as computed, by what the cut sheet tells of it.
    pub fn release(&mut self, run: ItemId, wire: u32) {
        self.release_by(run, wire, None);
    }

    fn release_by(&mut self, run: ItemId, wire: u32, by: Option<DeductionBy>) {
        let before = self.tips("cutIssued", &Subject::Wire(run, wire), "1");
        let (subject, made) = self.with_job(|job| {
            let sheet = cut_sheet(job, run).unwrap();
            let line = sheet.lines.iter().find(|l| l.wire == wire).unwrap();
            (line.subject, release(&sheet, line, by).unwrap())
        });
        let issue: CutIssue = made.issue;
        let mut data = value_data("1", &serde_json::to_value(issue).unwrap());
        let with = serde_json::json!({"program": "test", "numbers": made.numbers});
        data.insert("with".into(), with);
        let draft = Draft {
            kind: fields::WIRE_CUT_ISSUED.kind(),
            subject: subject.to_string(),
            basis: made.basis,
            over: before,
            data,
            ..Draft::default()
        };
        let (job, person) = (self.device.job(), self.device.person());
        self.device.record.act(job, person, vec![draft]).unwrap();
    }

    /// Why a released wire is looked at before it is cut.
    fn moved(&mut self, run: ItemId, wire: u32) -> Option<String> {
        let issued = self.with_job(|job| line_of(job, run, wire).issued.unwrap());
        assert_eq!(issued.basis_stands, issued.moved.is_none());
        issued.moved
    }

    fn support(&mut self, post: &str, kind: &str, over: Vec<Hash>) -> Vec<Hash> {
        let subject = Subject::post(self.post(post));
        let told: Support = serde_json::from_value(serde_json::json!({"kind": kind})).unwrap();
        self.say_over(fields::POST_SUPPORT, &subject, "", Some(told), None, over);
        self.tips("support", &subject, "")
    }

    /// Cuts the trial wire and reads it: its tension, then the thread left at both ends.
    fn trial(&mut self, tension: i64, left: [f64; 2]) {
        let (wire, with) = (Subject::Wire(self.a, 6), Some(on_piece(1)));
        let nm = mm(7235.0).nm;
        let cut = CutMade {
            nm,
            batch: None,
            offcut: None,
        };
        self.say(fields::WIRE_CUT, &wire, "1", cut, with);
        let bay = self.bay_place("A2", "A3");
        self.tension(self.a, 6, &bay, tension, Stage::Pass, 1);
        self.thread(left);
    }

    fn thread(&mut self, left: [f64; 2]) {
        let wire = Subject::Wire(self.a, 6);
        for (post, left) in ["A1", "A6"].into_iter().zip(left) {
            let place = self.post(post).to_string();
            let with = Some(on_piece(1));
            self.say(fields::WIRE_THREAD_LEFT, &wire, &place, mm(left), with);
        }
    }
}

#[test]
fn what_the_run_ends_at_refuses_a_released_wire_and_a_dispute_on_it_is_told_as_one() {
    let mut s = measured();
    let a = s.a;
    s.release(a, 12);
    assert_eq!(s.moved(a, 12), None);
    let glass = s.support("A6", "glassEdge", Vec::new());
    assert_eq!(s.moved(a, 12).unwrap(), super_basis());
    s.support("A6", "post", Vec::new());
    let why = s.with_job(|job| line_of(job, a, 12).refused.unwrap());
    assert_eq!(why.code, RefusalCode::Disputed, "{}", why.sentence);
    assert!(
        why.sentence.contains("support of post A6 is disputed"),
        "{}",
        why.sentence
    );
    assert_eq!(glass.len(), 1);
}

#[test]
fn a_release_that_moved_leads_to_the_sheet_and_to_no_shears() {
    let mut s = measured();
    let a = s.a;
    for wire in [3, 6, 12] {
        s.release(a, wire);
    }
    let to_cut = |s: &mut Scene| -> Vec<(Subject, Option<String>)> {
        let mut acts = s.offered();
        acts.retain(|act| act.what == NextWhat::CutWire);
        let told = acts.into_iter().map(|act| (act.subject, act.figure));
        told.collect()
    };
    let wire = |number| Subject::Wire(a, number);
    let wires = |acts: &[(Subject, Option<String>)]| -> Vec<Subject> {
        acts.iter().map(|(subject, _)| *subject).collect()
    };
    assert_eq!(wires(&to_cut(&mut s)), [wire(6), wire(3), wire(12)]);
    let moved = |s: &mut Scene| -> Vec<u32> {
        let progress = s.with_job(|job| progress(job, a).unwrap());
        let moved = progress.wires.iter().filter(|w| w.release_moved.is_some());
        moved.map(|w| w.wire).collect()
    };
    assert!(moved(&mut s).is_empty());
    let twelve = s.tips("length", &wire(12), "");
    s.say_over(
        fields::WIRE_LENGTH,
        &wire(12),
        "",
        Some(mm(7311.0)),
        Some(cut_read()),
        twelve,
    );
    let why = s.moved(a, 12).unwrap();
    // Interpolated between the others the third rests on it too.
    assert_eq!(moved(&mut s), [3, 12]);
    let told = s.with_job(|job| progress(job, a).unwrap().wires[11].release_moved.clone());
    assert_eq!(told, Some(why));
    assert_eq!(wires(&to_cut(&mut s)), [wire(6)]);
    let acts = s.offered();
    let look: Vec<&NextAct> = acts
        .iter()
        .filter(|act| act.key.contains("/look/"))
        .collect();
    let told: Vec<(NextWhat, Subject, &str)> = look
        .iter()
        .map(|act| (act.what, act.subject, act.sentence.as_str()))
        .collect();
    let sentence = "Look at the release of wire A12 before it is cut: something moved since";
    assert_eq!(told.len(), 2, "{told:?}");
    assert_eq!(told[1], (NextWhat::IssueCuts, wire(12), sentence));
    assert_eq!((&look[0].wires[..], look[0].left), (&[3, 12][..], 2));
    let at = |what, subject| {
        acts.iter()
            .position(|act| act.what == what && act.subject == subject)
    };
    assert!(at(NextWhat::CutWire, wire(6)) < at(NextWhat::IssueCuts, wire(12)));
    // Released anew it is to be cut, at the new length, and once it is cut nothing of it is looked at.
    s.release(a, 12);
    let aim = s.with_job(|job| line_of(job, a, 12).aim_mm.unwrap());
    let cut = to_cut(&mut s);
    assert_eq!(cut.last(), Some(&(wire(12), Some(format!("{aim:.0} mm")))));
    assert_eq!(moved(&mut s), [3]);
    s.tick(a, 3, Act::Cut, 1);
    assert!(moved(&mut s).is_empty());
}

/// Said where an entry of the basis moved.
fn super_basis() -> String {
    "something that its length was worked out from was changed, added or disputed since it was released".into()
}

#[test]
fn a_set_that_is_taken_out_and_a_fourth_length_move_a_release_that_names_neither() {
    let mut s = measured();
    let a = s.a;
    let (six, known) = (
        Subject::Wire(a, 6),
        s.tips("length", &Subject::Wire(a, 6), ""),
    );
    s.say_over(
        fields::WIRE_LENGTH,
        &six,
        "",
        Some(mm(7310.0)),
        Some(cut_read()),
        known,
    );
    s.release(a, 3);
    // A fourth length takes the bow out of the curve: the third wire no longer rests on the far one.
    s.measure(a, 9, 7312.0);
    let told = s.moved(a, 3).unwrap();
    assert!(told.starts_with("the sheet gives 72"), "{told}");
    s.release(a, 12);
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let made = s.tips("created", &set, "");
    s.say_over(fields::FITTING_SET_CREATED, &set, "", None, None, made);
    let told = s.moved(a, 12).unwrap();
    assert!(
        told.starts_with("it can't be cut as things stand now: "),
        "{told}"
    );
}

#[test]
fn where_another_run_stands_on_the_post_is_a_ground_of_the_cut() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let (six, place) = (
        Subject::post(s.post("A6")),
        records::job::things::angle_place(a, b),
    );
    let angle = Angle { cdeg: 18_000 };
    s.say(fields::POST_ANGLE, &six, &place, angle, None);
    s.release(a, 12);
    assert_eq!(s.moved(a, 12), None);
    let at = s.tips("position", &six, &b.to_string());
    s.say_over(
        fields::POST_POSITION,
        &six,
        &b.to_string(),
        Some(mm(1500.0)),
        None,
        at,
    );
    assert_eq!(s.moved(a, 12).unwrap(), super_basis());
    s.say_over(
        fields::POST_POSITION,
        &six,
        &b.to_string(),
        Some(mm(0.0)),
        None,
        Vec::new(),
    );
    let why = s.with_job(|job| line_of(job, a, 12).refused.unwrap());
    assert_eq!(why.code, RefusalCode::Disputed, "{}", why.sentence);
}

#[test]
fn what_was_read_of_the_trial_wire_is_a_ground_of_what_was_cut_by_it() {
    let learned = Some(DeductionBy::Learned);
    let trained = || {
        let mut s = measured();
        s.trial(1400, [14.0, 14.5]);
        let a = s.a;
        s.release_by(a, 12, learned);
        assert_eq!(s.moved(a, 12), None);
        (s, a)
    };
    // Its tension, corrected.
    let (mut s, a) = trained();
    let (six, bay) = (Subject::Wire(a, 6), s.bay_place("A2", "A3"));
    let read = s.tips("tension", &six, &bay);
    assert_eq!(read.len(), 1);
    let force = |n: i64| Some(Force { mn: n * 1000 });
    let with = || Some(tension_read(Method::Gauge, Stage::Pass, None));
    s.say_over(
        fields::WIRE_TENSION,
        &six,
        &bay,
        force(400),
        with(),
        read.clone(),
    );
    assert_eq!(s.moved(a, 12).unwrap(), super_basis());
    // Corrected by another to something else: nothing is taught while they differ.
    s.say_over(fields::WIRE_TENSION, &six, &bay, force(1100), with(), read);
    let (line, notes) = s.with_job(|job| (line_of(job, a, 3), cut_sheet(job, a).unwrap().notes));
    assert_eq!(line.learned, None);
    let told = "People differ on a tension of wire A6, by which it is worked out what A6 teaches.";
    assert!(notes.iter().any(|n| n.starts_with(told)), "{notes:?}");

    // Its thread, read again by six millimetres more at each end.
    let (mut s, a) = trained();
    s.thread([20.0, 20.5]);
    let told = s.moved(a, 12).unwrap();
    assert!(told.starts_with("the sheet gives 72"), "{told}");
}

#[test]
fn a_wire_released_before_the_trial_is_looked_at_where_the_trial_teaches_another_cut() {
    let mut s = measured();
    let a = s.a;
    s.release(a, 12);
    // As expected: off by less than one fitted wire's spread.
    s.trial(1500, [14.0, 14.5]);
    let aim = |s: &mut Scene| s.with_job(|job| line_of(job, a, 12).learned.unwrap().aim_mm);
    assert!((aim(&mut s) - 7237.0).abs() < 1.5);
    assert_eq!(s.moved(a, 12), None);
    // By a wire whose own length is rough the learned spread is wide, and excuses nothing.
    s.thread([20.0, 20.5]);
    let line = s.with_job(|job| line_of(job, a, 12));
    let learned = line.learned.unwrap();
    assert!(learned.aim_mm - 7237.0 > 1.6, "{learned:?}");
    assert!(s.moved(a, 12).is_some());
    s.thread([22.0, 22.5]);
    let told = s.moved(a, 12).unwrap();
    let teaches = format!(
        "it was released before the trial wire was read, by which it would be {:.0} mm",
        aim(&mut s)
    );
    assert_eq!(told, teaches);
    assert!(aim(&mut s) > 7240.0);
}

impl Scene {
    /// The length of wire 12 with what it may be off.
    fn rough(&mut self, spread: f64) {
        let twelve = Subject::Wire(self.a, 12);
        let mut read = cut_read();
        read.spread_nm = Some(mm(spread).nm);
        let over = self.tips("length", &twelve, "");
        let length = Some(mm(7305.0));
        self.say_over(fields::WIRE_LENGTH, &twelve, "", length, Some(read), over);
    }
}

#[test]
fn a_rough_length_excuses_no_cut_outside_what_the_trial_wire_teaches() {
    for (spread, left) in [(6.0, [8.0, 8.5]), (4.0, [10.0, 10.5])] {
        let mut s = measured();
        let a = s.a;
        s.rough(spread);
        s.release(a, 12);
        s.trial(1500, left);
        let line = s.with_job(|job| line_of(job, a, 12));
        let learned = line.learned.unwrap();
        // It lies outside, and within the spread of what is learned of this wire.
        let released = line.issued.unwrap().cut_mm;
        assert!(released > learned.longest_mm, "{learned:?}");
        assert!(released - learned.aim_mm < learned.spread_mm, "{learned:?}");
        let told = s.moved(a, 12).unwrap();
        assert!(
            told.starts_with("it was released before the trial"),
            "{told}"
        );
    }
}

#[test]
fn a_release_as_learned_is_looked_at_where_what_was_computed_beside_it_moved() {
    let mut s = measured();
    let a = s.a;
    let six = Subject::Wire(a, 6);
    let known = s.tips("length", &six, "");
    let length = Some(mm(7303.5));
    let read = Some(cut_read());
    s.say_over(fields::WIRE_LENGTH, &six, "", length, read, known);
    s.trial(1500, [14.0, 14.5]);
    let aims = |s: &mut Scene| -> Vec<f64> {
        let aim = |wire| s.with_job(|job| line_of(job, a, wire).aim_mm.unwrap());
        (2..=5).map(aim).collect()
    };
    let then = aims(&mut s);
    for wire in 2..=5 {
        s.release_by(a, wire, Some(DeductionBy::Learned));
        assert_eq!(s.moved(a, wire), None);
    }
    // By a fourth length they no longer rest on the far one, by an entry that none of them names.
    s.measure(a, 9, 7306.0);
    let now = aims(&mut s);
    assert_ne!(then, now);
    for ((wire, then), now) in (2..=5).zip(&then).zip(&now) {
        let told = s.moved(a, wire);
        let told = told
            .as_deref()
            .map(|t| t.starts_with("the cut as computed, on which"));
        assert_eq!(told, (then != now).then_some(true), "{wire}: {then} {now}");
    }
}

#[test]
fn a_bay_that_moves_is_asked_of_every_released_length_that_contradicts_it() {
    let mut s = measured();
    let a = s.a;
    for wire in [1, 3, 6, 12] {
        s.release(a, wire);
        assert_eq!(s.moved(a, wire), None);
    }
    s.clear("A1", "A2", 1430.0);
    for wire in [1, 3, 6, 12] {
        let told = s.moved(a, wire).unwrap();
        assert!(
            told.starts_with("this was not asked when it was released: Bays"),
            "{wire}: {told}"
        );
    }
}

#[test]
fn a_release_as_computed_is_looked_at_where_what_is_taught_since_leaves_no_cut() {
    let mut s = measured();
    let a = s.a;
    s.trial(1500, [14.0, 14.5]);
    s.release_by(a, 12, Some(DeductionBy::Computed));
    assert_eq!(s.moved(a, 12), None);
    s.thread([0.5, 0.5]);
    let line = s.with_job(|job| line_of(job, a, 12));
    assert_eq!((line.learned, line.refused), (None, None));
    let told = s.moved(a, 12).unwrap();
    assert!(told.contains("as learned no cut works for it"), "{told}");
}

#[test]
fn a_release_as_learned_is_looked_at_where_nothing_teaches_any_more() {
    let mut s = measured();
    let a = s.a;
    s.trial(1500, [14.0, 14.5]);
    s.release_by(a, 12, Some(DeductionBy::Learned));
    let six = Subject::Wire(a, 6);
    for post in ["A1", "A6"] {
        let place = s.post(post).to_string();
        let read = s.tips("threadLeft", &six, &place);
        s.say_over(
            fields::WIRE_THREAD_LEFT,
            &six,
            &place,
            None,
            Some(on_piece(1)),
            read,
        );
    }
    assert_eq!(s.with_job(|job| cut_sheet(job, a).unwrap().taught), None);
    assert!(s.moved(a, 12).is_some());
}
