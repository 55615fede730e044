// Odd values are questioned once, in words, before they are kept. Pure: it decides nothing else.
import { APART_NM, APART_SHARE, BAY_FROM_NM, BAY_TO_NM, INCHES_FROM, INCHES_TO, LONGEST_NM, LONG_NM, UNITS, WIDTH_FROM_NM, WIDTH_TO_NM } from './odd-limits';
import { words } from '$lib/words';
import { length } from './format.svelte';

export interface Neighbour {
  name: string;
  nm: number;
}

export type Doubt = { kind: 'fine' } | { kind: 'ask'; question: string } | { kind: 'refuse'; reason: string };

/** What is odd about a length beside the nearest one of its kind. */
export function doubtLength(nm: number | undefined, near?: Neighbour): Doubt {
  if (nm === undefined || !Number.isFinite(nm)) return { kind: 'refuse', reason: words.odd.notALength };
  if (nm <= 0) return { kind: 'refuse', reason: words.odd.notPositive };
  if (nm > LONGEST_NM) return { kind: 'refuse', reason: words.odd.overKilometre };
  const question = near && near.nm > 0 ? besideNeighbour(nm, near) : undefined;
  if (question) return { kind: 'ask', question };
  return nm > LONG_NM ? { kind: 'ask', question: words.odd.overHundred } : { kind: 'fine' };
}

function mixedUp(nm: number, near: Neighbour): string | undefined {
  const inches = (ratio: number) => ratio >= INCHES_FROM && ratio <= INCHES_TO;
  if (inches(nm / near.nm)) return words.odd.timesMore(Math.round(nm / near.nm), near.name);
  if (inches(near.nm / nm)) return words.odd.timesLess(Math.round(near.nm / nm), near.name);
  const times = near.nm / nm;
  const unit = UNITS.find((u) => times >= u.from && times <= u.to);
  return unit && words.odd.otherUnit(length(nm), Math.round(times), near.name, unit.name, length(nm * unit.per));
}

function besideNeighbour(nm: number, near: Neighbour): string | undefined {
  const mixed = mixedUp(nm, near);
  if (mixed) return mixed;
  const apart = Math.abs(nm - near.nm) > Math.max(near.nm * APART_SHARE, APART_NM);
  return apart ? words.odd.farOff(near.name, length(near.nm)) : undefined;
}

/**
 * The first question about bays that are typed together: another unit among millimetres, a very long one, or one that no bay is
 * like. `known` stands before them and is asked about no more.
 */
export function oddBay(baysNm: number[], names: string[], known?: Neighbour): string | undefined {
  const all = [...(known ? [known] : []), ...baysNm.map((nm, i) => ({ name: names[i] ?? '', nm }))];
  for (const [i, bay] of all.entries()) {
    const before = all[i - 1];
    const mixed = before && before.nm > 0 && bay.nm > 0 ? (mixedUp(bay.nm, before) ?? lessUnit(before, bay)) : undefined;
    if (mixed) return mixed;
    if (bay.nm > LONG_NM) return words.odd.overHundred;
  }
  const unusual = all.find((bay) => bay !== known && (bay.nm < BAY_FROM_NM || bay.nm > BAY_TO_NM));
  return unusual && words.odd.bay(unusual.name, length(unusual.nm), length(BAY_FROM_NM), length(BAY_TO_NM));
}

/** The one before was typed in metres or centimetres. */
function lessUnit(before: Neighbour, bay: Neighbour): string | undefined {
  return UNITS.some((u) => bay.nm / before.nm >= u.from && bay.nm / before.nm <= u.to) ? mixedUp(before.nm, bay) : undefined;
}

/** The question about posts that are typed together: their widths, and how far along the run the last one stands. */
export function oddPost(widthsNm: number[], lastNm: number): string | undefined {
  const odd = widthsNm.find((nm) => nm < WIDTH_FROM_NM || nm > WIDTH_TO_NM);
  if (odd !== undefined) return words.odd.width(length(odd));
  return lastNm > LONG_NM ? words.odd.overHundred : undefined;
}

/** What is odd about a tension reading. */
export function doubtTension(newtons: number | undefined, upper: number | undefined): Doubt {
  if (newtons === undefined || !Number.isFinite(newtons) || newtons < 0) {
    return { kind: 'refuse', reason: words.odd.notATension };
  }
  if (upper !== undefined && newtons > upper * 2) return { kind: 'ask', question: words.odd.twiceUpper };
  return { kind: 'fine' };
}
