//! Bays and inside-to-inside lengths of a survey in JSON.

use super::super::facts::{BayRow, LengthRow, Survey};
use super::super::object::{Bounds, Object};
use crate::model::context::{BayRead, LengthRead};
use crate::model::values::{Along, Faces, Instrument, LowSpot, PostState, Purpose};
use crate::subject::MOST_WIRES;

pub(super) fn bays(root: &Object<'_>, survey: &mut Survey) {
    for (path, node) in root.list("bays") {
        let Some(one) = Object::open(node, path, root.log) else {
            continue;
        };
        let before = one.log.refused();
        let from = one.must("from", one.text("from"));
        let to = one.must("to", one.text("to"));
        let clear = one.must("clear", one.length("clear", Bounds::Size));
        let along = one.word("along", Along::ALL).unwrap_or(Along::Level);
        let instrument = one.must("instrument", one.word("instrument", Instrument::ALL));
        let tool = one.text("tool");
        let low_spot = low_spot(&one);
        let (path, log) = (one.path.clone(), one.log);
        one.end();
        let (Some(from), Some(to), Some(clear), Some(instrument)) = (from, to, clear, instrument)
        else {
            continue;
        };
        if log.refused() == before {
            survey.bays.push(BayRow {
                path,
                from,
                to,
                clear: clear.length,
                with: BayRead {
                    entered: Some(clear.entered),
                    along,
                    instrument,
                    tool: None,
                    reason: None,
                },
                tool,
                low_spot,
            });
        }
    }
}

fn low_spot(bay: &Object<'_>) -> Option<(LowSpot, String)> {
    let one = bay.object("lowSpot")?;
    let level = one.must("level", one.length("level", Bounds::Level));
    let from_left = one.length("fromLeft", Bounds::Gap);
    one.end();
    let level = level?;
    let entered = match &from_left {
        Some(from) => format!("{}, {} from the left post", level.entered, from.entered),
        None => level.entered,
    };
    let spot = LowSpot {
        level_nm: level.length.nm,
        from_left_nm: from_left.map(|from| from.length.nm),
    };
    Some((spot, entered))
}

pub(super) fn lengths(root: &Object<'_>, survey: &mut Survey) {
    for (path, node) in root.list("lengths") {
        if let Some(one) = Object::open(node, path, root.log) {
            survey.lengths.extend(length(&one));
            one.end();
        }
    }
}

fn length(one: &Object<'_>) -> Option<LengthRow> {
    let before = one.log.refused();
    let run = one.must("run", one.text("run"));
    let wire = one.must("wire", one.whole("wire", 1, i64::from(MOST_WIRES)));
    let length = one.must("length", one.length("length", Bounds::Size));
    let purpose = one.must("purpose", one.word("purpose", Purpose::ALL));
    let posts = one.must("posts", one.word("posts", PostState::ALL));
    let faces = one.must("faces", one.word("faces", Faces::ALL));
    let instrument = one.must("instrument", one.word("instrument", Instrument::ALL));
    let proud = one.length("proud", Bounds::Level);
    let spread = one.length("spread", Bounds::Gap);
    let tool = one.text("tool");
    let length = length?;
    (one.log.refused() == before).then_some(LengthRow {
        path: one.path.clone(),
        run: run?,
        wire: u32::try_from(wire?).ok()?,
        length: length.length,
        with: LengthRead {
            entered: Some(length.entered),
            purpose: purpose?,
            posts: posts?,
            faces: faces?,
            proud_nm: proud.map(|p| p.length.nm),
            instrument: instrument?,
            tool: None,
            spread_nm: spread.map(|s| s.length.nm),
            reason: None,
        },
        tool,
    })
}
