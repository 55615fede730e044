//! Where chains end that were whole here, and what was torn from them since.
//!
//! An entry is whole that hangs together with its device's first one and is proven. Once whole it stays so
//! while nothing is damaged, since the journal only grows: an end that was noted and is not whole any more
//! tells of damage or loss, whoever recorded it and whatever was changed.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::held::Held;
use super::{BookView, Why};
use crate::crew::Crew;
use crate::entry::Body;
use crate::ids::{DeviceId, Hash};
use crate::keys::PublicKey;

/// The last whole entries of one device: one, and one more for each branch.
pub type DeviceTails = BTreeSet<(u64, Hash)>;

/// The same of every device of a book, kept as entries come.
#[derive(Clone, Debug, Default)]
pub(super) struct Tails {
    of: BTreeMap<DeviceId, DeviceTails>,
    /// Entries of which something became known that may make them whole.
    pub(super) fresh: Vec<Hash>,
    changed: bool,
}

impl BookView {
    /// Last whole entries of each device.
    #[must_use]
    pub fn tails(&self) -> &BTreeMap<DeviceId, DeviceTails> {
        &self.tails.of
    }

    /// Whether they changed since [`BookView::tails_noted`].
    pub(crate) fn tails_changed(&self) -> bool {
        self.tails.changed
    }

    /// They are noted as they stand.
    pub(crate) fn tails_noted(&mut self) {
        self.tails.changed = false;
    }

    /// Whether an entry is here, hangs together with its device's first one and is proven.
    #[must_use]
    pub fn is_whole(&self, id: &Hash) -> bool {
        self.held.get(id).is_some_and(whole)
    }

    /// Brings the tails up to date with the entries that came.
    pub(super) fn settle_tails(&mut self) {
        for id in std::mem::take(&mut self.tails.fresh) {
            let Some(held) = self.held.get(&id).filter(|held| whole(held)) else {
                continue;
            };
            let body = &held.entry.body;
            let followers = self.followers.get(&id).into_iter().flatten();
            let followed = followers.into_iter().any(|next| self.is_whole(next));
            let tails = self.tails.of.entry(body.device).or_default();
            let before = body.n.checked_sub(1).map(|n| (n, body.prev));
            self.tails.changed |= before.is_some_and(|before| tails.remove(&before));
            self.tails.changed |= !followed && tails.insert((body.n, id));
        }
    }

    /// Entries that are here and can't count since something was damaged or lost here, and those that are
    /// lost themselves. `noted` tells the ends that were whole here; without one for a device, what is left
    /// of it tells: of this device nothing is on its way, and what no signature proves was changed here, since
    /// nothing else is taken in.
    #[must_use]
    pub fn broken_off(
        &self,
        (me, key): (DeviceId, Option<&PublicKey>),
        noted: &[(DeviceId, u64, Hash)],
        crew: &Crew,
    ) -> usize {
        let nothing_by = |key| self.nothing_by(key);
        if self.tails.of.is_empty() && noted.is_empty() && key.is_none_or(nothing_by) {
            return 0;
        }
        let torn: Vec<_> = noted.iter().filter(|(.., id)| !self.is_whole(id)).collect();
        let (mut left, mut missing) = (HashSet::new(), HashMap::new());
        for (device, n, id) in &torn {
            if let Some((lost, at)) = self.back_to_a_gap(*id, *n, &mut left) {
                let known = self.whole_before(device, at);
                missing.insert(lost, at.saturating_sub(known).max(1));
            }
        }
        let waiting = self.not_counting(crew);
        let of = |id: &Hash| self.held.get(id).map(|held| held.entry.body.device);
        let told = |device: DeviceId| torn.iter().any(|(of, ..)| *of == device);
        let changed: HashSet<DeviceId> = waiting
            .iter()
            .filter(|(id, why)| *why == Why::NotProven && !self.superseded(id, crew))
            .filter_map(|(id, _)| of(id))
            .chain([me])
            .collect();
        let damaged =
            |why: &Why| matches!(why, Why::EarlierMissing | Why::NotProven | Why::ActOpen);
        let broken = |(id, why): &&(Hash, Why)| {
            let of_changed = of(id).is_some_and(|d| changed.contains(&d) && !told(d));
            damaged(why) && of_changed && !self.superseded(id, crew)
        };
        let broken = waiting.iter().filter(broken).count();
        let lost: u64 = missing.values().sum();
        let all = left.len() + broken + usize::try_from(lost).unwrap_or(usize::MAX);
        // What rests on them is missing with them.
        let resting = waiting.iter().filter(|(_, why)| *why == Why::BasisMissing);
        match all {
            0 => 0,
            all => all + resting.count(),
        }
    }

    /// The first entry that is here behind a gap in a chain whose end was whole here; none where the end itself is
    /// gone, or nothing is.
    #[must_use]
    pub(crate) fn behind_a_gap(&self, noted: &[(DeviceId, u64, Hash)]) -> Option<Hash> {
        let mut torn = noted.iter().filter(|(.., id)| !self.is_whole(id));
        torn.find_map(|(.., end)| {
            let (mut at, mut last) = (*end, None);
            while let Some(held) = self.held.get(&at).filter(|held| !whole(held)) {
                last = Some(at);
                at = held.entry.body.prev;
            }
            last
        })
    }

    /// Whether nothing here is signed with a key: a line whose book was changed stands alone in another, and its
    /// signature no longer holds.
    #[must_use]
    pub(crate) fn nothing_by(&self, key: &PublicKey) -> bool {
        let of = key.device();
        let by = |held: &Held| held.entry.body.device == of && held.signed_by(key);
        !self.held.values().any(by)
    }

    /// Follows a chain back from an end to the first entry that is not here as it was, collecting those on the
    /// way: its hash and number; none where all are here and only a proof is lost.
    fn back_to_a_gap(&self, end: Hash, n: u64, left: &mut HashSet<Hash>) -> Option<(Hash, u64)> {
        let (mut id, mut n) = (end, n);
        while let Some(held) = self.held.get(&id) {
            left.insert(id);
            (id, n) = (held.entry.body.prev, held.entry.body.n.saturating_sub(1));
            if n == 0 || self.is_whole(&id) {
                return None;
            }
        }
        Some((id, n))
    }

    /// Number of the last whole entry of a device up to number `n`; 0 where there is none.
    fn whole_before(&self, device: &DeviceId, n: u64) -> u64 {
        let of = |held: &&Held| held.entry.body.device == *device && held.entry.body.n <= n;
        let found = self.held.values().filter(of).filter(|held| whole(held));
        found.map(|held| held.entry.body.n).max().unwrap_or(0)
    }

    /// Whether an entry is what damage left of one that is here whole: nothing is missing for it.
    #[must_use]
    pub fn superseded(&self, id: &Hash, crew: &Crew) -> bool {
        let Some(left) = self.held.get(id).filter(|held| !held.proven) else {
            return false;
        };
        let damaged = &left.entry.body;
        // A genuine one that only hangs nowhere is signed, or one after it is.
        let key = crew.key(&damaged.device);
        if key.is_some_and(|key| left.signed_by(&key) || self.proves(id, &key)) {
            return false;
        }
        // Whatever was changed, the rest still says which it was: another branch's differs in more.
        let genuine = |held: &Held| {
            let body = &held.entry.body;
            let device = held.proven && body.device == damaged.device;
            device && parts_apart(body, damaged) <= 1
        };
        self.held.values().any(genuine)
    }
}

/// So many entries that were saved here and do not count any more, as a sentence begins; none of none.
pub(crate) fn broken_off_words(entries: usize) -> Option<String> {
    let which = match entries {
        0 => return None,
        1 => "1 entry that was saved here does".to_owned(),
        more => format!("{more} entries that were saved here do"),
    };
    Some(format!("{which} not count any more"))
}

/// In how many of its parts an entry is another one: number, what it follows, moment, and what it says.
fn parts_apart(one: &Body, other: &Body) -> usize {
    let about = one.kind == other.kind && one.subject == other.subject;
    let by = one.person == other.person && one.data == other.data;
    let rests = one.over == other.over && one.basis == other.basis && one.files == other.files;
    let apart = [
        one.n != other.n,
        one.prev != other.prev,
        one.at != other.at,
        !(about && by && rests),
    ];
    apart.into_iter().filter(|apart| *apart).count()
}

fn whole(held: &Held) -> bool {
    held.first.is_some() && held.proven
}
