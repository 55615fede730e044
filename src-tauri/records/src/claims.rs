//! How claims on one key join into lines, and which of them stand.
//!
//! Pure, and a function of the set of claims alone: the order in which they came plays no part.
//! Which claims count is decided in `book`.

use std::collections::{BTreeMap, BTreeSet};

use crate::ids::Hash;

/// One counted claim on a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// The entry that makes it.
    pub id: Hash,
    /// Entries that it names as replaced; those that are no claims of this key are without effect.
    pub over: Vec<Hash>,
    /// Hash of its value; none when it withdraws.
    pub value: Option<Hash>,
    /// Hash of what two claims are compared by: the value without wording that stands in it, which
    /// never makes a dispute. The value's own hash where it holds none.
    pub compared: Option<Hash>,
}

/// Whether the people agree on a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// All tips give the same value.
    Agreed,
    /// All tips withdraw: there is no value.
    Withdrawn,
    /// Tips differ.
    Disputed,
}

impl Standing {
    /// The word in tables and JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Standing::Agreed => "agreed",
            Standing::Withdrawn => "withdrawn",
            Standing::Disputed => "disputed",
        }
    }
}

/// Claims joined by `over`, directly or through others; for a single-valued key all of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Smallest id among its claims; names the line within its key.
    pub root: Hash,
    /// All claims, sorted by id.
    pub claims: Vec<Hash>,
    /// Claims that no counted claim of the key names, sorted by id.
    pub tips: Vec<Hash>,
    /// Whether the tips agree.
    pub standing: Standing,
}

/// Joins the claims of one key into lines, sorted by root.
///
/// With `many` unset, all claims are one line.
#[must_use]
pub fn lines(claims: &[Claim], many: bool) -> Vec<Line> {
    let by_id: BTreeMap<Hash, &Claim> = claims.iter().map(|c| (c.id, c)).collect();
    let mut named = BTreeSet::new();
    let mut neighbours: BTreeMap<Hash, Vec<Hash>> = BTreeMap::new();
    for claim in by_id.values() {
        for over in claim.over.iter().filter(|o| by_id.contains_key(*o)) {
            named.insert(*over);
            neighbours.entry(claim.id).or_default().push(*over);
            neighbours.entry(*over).or_default().push(claim.id);
        }
    }
    let mut groups: Vec<Vec<Hash>> = Vec::new();
    if many {
        let mut seen = BTreeSet::new();
        for id in by_id.keys() {
            if seen.insert(*id) {
                groups.push(component(*id, &neighbours, &mut seen));
            }
        }
    } else if !by_id.is_empty() {
        groups.push(by_id.keys().copied().collect());
    }
    let mut lines: Vec<Line> = groups
        .into_iter()
        .filter_map(|ids| {
            let tips: Vec<Hash> = ids.iter().copied().filter(|i| !named.contains(i)).collect();
            let values: BTreeSet<Option<Hash>> = tips
                .iter()
                .filter_map(|tip| by_id.get(tip).map(|c| c.compared))
                .collect();
            let standing = match values.first() {
                Some(None) if values.len() == 1 => Standing::Withdrawn,
                _ if values.len() == 1 => Standing::Agreed,
                _ => Standing::Disputed,
            };
            Some(Line {
                root: ids.first().copied()?,
                claims: ids,
                tips,
                standing,
            })
        })
        .collect();
    lines.sort_by_key(|line| line.root);
    lines
}

fn component(
    start: Hash,
    neighbours: &BTreeMap<Hash, Vec<Hash>>,
    seen: &mut BTreeSet<Hash>,
) -> Vec<Hash> {
    let mut ids = vec![start];
    let mut open = vec![start];
    while let Some(id) = open.pop() {
        for next in neighbours.get(&id).into_iter().flatten() {
            if seen.insert(*next) {
                ids.push(*next);
                open.push(*next);
            }
        }
    }
    ids.sort_unstable();
    ids
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn h(seed: u8) -> Hash {
        Hash::of(&[seed])
    }

    fn claim(id: u8, over: &[u8], value: Option<u8>) -> Claim {
        Claim {
            id: h(id),
            over: over.iter().map(|o| h(*o)).collect(),
            value: value.map(h),
            compared: value.map(h),
        }
    }

    fn worded(id: u8, over: &[u8], value: u8, compared: u8) -> Claim {
        Claim {
            compared: Some(h(compared)),
            ..claim(id, over, Some(value))
        }
    }

    fn standings(claims: &[Claim], many: bool) -> Vec<Standing> {
        lines(claims, many).iter().map(|l| l.standing).collect()
    }

    #[test]
    fn corrections_apart_dispute_and_a_claim_over_both_settles() {
        let first = claim(1, &[], Some(100));
        let ann = claim(2, &[1], Some(101));
        let ben = claim(3, &[1], Some(102));
        let settled = claim(4, &[2, 3], Some(103));
        use Standing::{Agreed, Disputed, Withdrawn};
        let table: &[(&[Claim], bool, &[Standing])] = &[
            (std::slice::from_ref(&first), false, &[Agreed]),
            (&[first.clone(), ann.clone()], false, &[Agreed]),
            (
                &[first.clone(), ann.clone(), ben.clone()],
                false,
                &[Disputed],
            ),
            (
                &[first.clone(), ann.clone(), ben.clone()],
                true,
                &[Disputed],
            ),
            (
                &[first.clone(), ann.clone(), ben.clone(), settled],
                true,
                &[Agreed],
            ),
            // the same value said apart is no dispute
            (
                &[first.clone(), ann.clone(), claim(5, &[1], Some(101))],
                false,
                &[Agreed],
            ),
            // two first claims on a single-valued key are one line
            (
                &[claim(6, &[], Some(1)), claim(7, &[], Some(2))],
                false,
                &[Disputed],
            ),
            (
                &[claim(6, &[], Some(1)), claim(7, &[], Some(2))],
                true,
                &[Agreed, Agreed],
            ),
            (&[first.clone(), claim(8, &[1], None)], false, &[Withdrawn]),
            (
                &[first.clone(), claim(8, &[1], None), ann.clone()],
                false,
                &[Disputed],
            ),
            // other words around the same value are no dispute, though the values' hashes differ
            (
                &[first.clone(), ann.clone(), worded(5, &[1], 77, 101)],
                false,
                &[Agreed],
            ),
            (
                &[first.clone(), ann.clone(), worded(5, &[1], 101, 77)],
                false,
                &[Disputed],
            ),
            // what is not a claim of this key is without effect
            (&[claim(9, &[200], Some(1))], true, &[Agreed]),
        ];
        for (claims, many, expected) in table {
            assert_eq!(&standings(claims, *many), expected, "{claims:?}");
        }
    }

    fn histories() -> impl Strategy<Value = Vec<Claim>> {
        prop::collection::vec(
            (
                prop::collection::vec(any::<prop::sample::Index>(), 0..3),
                prop::option::of(0u8..3),
            ),
            1..12,
        )
        .prop_map(|specs| {
            let mut claims: Vec<Claim> = Vec::new();
            for (n, (over, value)) in specs.into_iter().enumerate() {
                let over = if claims.is_empty() {
                    Vec::new()
                } else {
                    over.iter().map(|i| i.get(&claims).id).collect()
                };
                claims.push(Claim {
                    id: h(n as u8),
                    over,
                    value: value.map(h),
                    compared: value.map(h),
                });
            }
            claims
        })
    }

    proptest! {
        #[test]
        fn order_plays_no_part(claims in histories(), many: bool, seed: u64) {
            let mut shuffled = claims.clone();
            let len = shuffled.len();
            let mut s = seed;
            for i in (1..len).rev() {
                s = s.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
                shuffled.swap(i, (s >> 33) as usize % (i + 1));
            }
            prop_assert_eq!(lines(&claims, many), lines(&shuffled, many));
        }

        #[test]
        fn a_claim_over_all_tips_ends_every_dispute(claims in histories(), many: bool) {
            let mut all = claims.clone();
            for (n, line) in lines(&claims, many).into_iter().enumerate() {
                all.push(Claim { id: h(100 + n as u8), over: line.tips, value: Some(h(9)), compared: Some(h(9)) });
            }
            prop_assert!(lines(&all, many).iter().all(|l| l.standing == Standing::Agreed));
        }
    }
}
