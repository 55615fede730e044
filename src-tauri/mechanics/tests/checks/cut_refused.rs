//! Cut plans that are refused, each with the name of what is wrong.

use mechanics::cut_plan::{CutPlanInput, DoneCut, StockKind, cut_plan};
use mechanics::{MechanicsError, Millimetres};

use crate::cut_plan::{asked, piece, reel, stock};

#[test]
fn what_cannot_be_planned_is_refused_with_its_name() {
    let refused = |input: &CutPlanInput| cut_plan(input).unwrap_err();
    let base = || asked(vec![piece("A1", 7000.0)], vec![reel("R", 60_000.0)]);
    let with = |change: &dyn Fn(&mut CutPlanInput)| {
        let mut input = base();
        change(&mut input);
        refused(&input)
    };
    assert_eq!(with(&|i| i.pieces.clear()), MechanicsError::NothingToCut);
    let too_long = with(&|i| i.pieces.push(piece("A9", 60_000.5)));
    let words = too_long.to_string();
    assert!(words.contains("piece A9 is 60000.5 mm long"), "{words}");
    assert!(
        words.contains("the longest stock gives 60000 mm"),
        "{words}"
    );
    let nothing = with(&|i| i.stock.clear());
    assert!(matches!(nothing, MechanicsError::PieceTooLong { .. }));
    let twice = with(&|i| i.pieces.push(piece("A1", 7000.0)));
    assert_eq!(
        twice.to_string(),
        "the piece A1 is given twice; name the second one apart"
    );
    assert!(matches!(
        with(&|i| i.stock.push(reel("R", 1e3))),
        MechanicsError::NamedTwice { .. }
    ));
    assert!(matches!(
        with(&|i| i.pieces.push(piece(" ", 1e3))),
        MechanicsError::NoName { .. }
    ));
    for kerf in [-1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(
            cut_plan(&CutPlanInput {
                kerf: Millimetres(kerf),
                ..base()
            })
            .is_err()
        );
        let trim = Millimetres(kerf * 10.0);
        assert!(
            cut_plan(&CutPlanInput {
                end_trim: trim,
                ..base()
            })
            .is_err()
        );
    }
    let negative = with(&|i| i.kerf = Millimetres(-1.0));
    assert_eq!(
        negative.to_string(),
        "the kerf must not be below zero, and is -1 mm; enter it again"
    );
    let usable = with(&|i| i.least_usable = Millimetres(-0.1));
    assert!(matches!(usable, MechanicsError::Negative { .. }));
    for length in [0.0, -5.0, f64::NAN, f64::INFINITY, 1e300] {
        let cannot = with(&|i| i.pieces.push(piece("A2", length)));
        assert!(
            matches!(cannot, MechanicsError::LengthCannotBe { .. }),
            "{cannot}"
        );
        let cannot = with(&|i| i.stock.push(reel("R2", length)));
        assert!(
            matches!(cannot, MechanicsError::LengthCannotBe { .. }),
            "{cannot}"
        );
        assert!(
            cut_plan(&CutPlanInput {
                new_reel: Some(Millimetres(length)),
                ..base()
            })
            .is_err()
        );
    }
    let ordered = with(&|i| i.stock.push(stock("R2", StockKind::ToOrder, 9e3)));
    assert!(matches!(ordered, MechanicsError::NotInStock { .. }));
    let many = with(&|i| i.pieces = (0..2001).map(|n| piece(&n.to_string(), 9e2)).collect());
    assert!(matches!(many, MechanicsError::TooMany { .. }));
    let cut = |stock: &str, length| DoneCut {
        piece: "A0".to_owned(),
        stock: stock.to_owned(),
        length: Millimetres(length),
    };
    let unknown = with(&|i| i.done.push(cut("S", 1e3)));
    assert!(
        unknown
            .to_string()
            .contains("A0 was cut from S, which is not in stock")
    );
    let beyond = with(&|i| i.done.push(cut("R", 60_002.0)));
    assert!(
        beyond.to_string().contains("come to 2 mm more than it had"),
        "{beyond}"
    );
    let all_done = with(&|i| {
        i.pieces = vec![piece("A0", 1e3)];
        i.done.push(cut("R", 1e3));
    });
    assert_eq!(all_done, MechanicsError::NothingToCut);
}
