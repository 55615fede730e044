// Odd values are questioned once, in words, before they are kept. Pure: it decides nothing else.
import { APART_NM, APART_SHARE, BAY_FROM_NM, BAY_TO_NM, INCHES_FROM, INCHES_TO, LONGEST_NM, LONGEST_TEXT, LONG_NM, METRES_AS_INCHES, METRES_PLACES, UNITS, WALL_FROM_NM, WALL_TO_NM, WIDTH_FROM_NM, WIDTH_TO_NM } from './odd-limits';
import { words } from '$lib/words';
import { exactLength, length, shortened } from './format.svelte';
import { NM_PER_INCH, NM_PER_MM, parseLength, saysUnit, type LengthUnit } from './length';

export interface Neighbour {
  name: string;
  nm: number;
  /** Bays differ by nature: of them only another unit is asked about. */
  differs?: boolean;
}

/** Units in which a number may have been meant: one that the field is switched to, or one that is said with the number. */
export type OtherUnit = LengthUnit | 'm' | 'cm';

/** `instead` is the unit in which the number would fit: it is offered beside keeping it as it was typed. */
export type Doubt = { kind: 'fine' } | { kind: 'ask'; question: string; instead?: OtherUnit } | { kind: 'refuse'; reason: string };

/** What is odd about a length, typed in `unit`, beside the nearest one of its kind. */
export function doubtLength(nm: number | undefined, near?: Neighbour, unit: LengthUnit = 'mm'): Doubt {
  if (nm === undefined || !Number.isFinite(nm)) return { kind: 'refuse', reason: words.odd.notALength };
  if (nm <= 0) return { kind: 'refuse', reason: words.odd.notPositive };
  if (nm > LONGEST_NM) return { kind: 'refuse', reason: words.odd.overKilometre };
  const found = near && near.nm > 0 ? besideNeighbour(nm, near, unit) : undefined;
  if (found) return { kind: 'ask', ...found };
  return nm > LONG_NM ? { kind: 'ask', question: words.odd.overHundred } : { kind: 'fine' };
}

interface Asked {
  question: string;
  instead?: OtherUnit;
}

/**
 * What is odd about a length as it was typed: what can't be read is told in words, and a number of metres without its unit, as a
 * laser may send it, is asked about. A unit that is typed with it leaves no other to offer.
 */
export function doubtTyped(text: string, unit: LengthUnit, near?: Neighbour): Doubt {
  const nm = text.length > LONGEST_TEXT ? undefined : parseLength(text, unit);
  if (text !== '' && nm === undefined) return { kind: 'refuse', reason: words.odd.unreadable(shortened(text, LONGEST_TEXT)) };
  const said = saysUnit(text);
  const found = doubtLength(nm, near, said ? 'mm' : unit);
  if (nm === undefined || found.kind === 'refuse') return found;
  if (said) return found.kind === 'ask' ? { kind: 'ask', question: found.question } : found;
  if (found.kind === 'ask' && found.instead) return found;
  return inMetres(text, nm, unit) ?? found;
}

function inMetres(text: string, nm: number, unit: LengthUnit): Doubt | undefined {
  const metres = parseLength(`${text} m`, 'mm');
  const places = /[.,](\d*)$/.exec(text)?.[1]?.length ?? 0;
  if (unit !== 'mm' || places < METRES_PLACES || metres === undefined || metres > LONG_NM) return undefined;
  return { kind: 'ask', question: words.odd.metres(exactLength(nm, unit), exactLength(metres, unit)), instead: 'm' };
}

function mixedUp(nm: number, near: Neighbour, unit: LengthUnit): Asked | undefined {
  const inches = (ratio: number) => ratio >= INCHES_FROM && ratio <= INCHES_TO;
  const [more, less] = [nm / near.nm, near.nm / nm];
  // Millimetres can't have been meant for inches where millimetres were typed: then it is the other one that was.
  if (inches(more)) {
    const n = Math.round(more);
    return unit === 'in' ? { question: words.odd.timesMore(n, near.name), instead: 'mm' } : { question: words.odd.moreThan(n, near.name, length(near.nm)) };
  }
  if (inches(less)) {
    const n = Math.round(less);
    return unit === 'mm' ? { question: words.odd.timesLess(n, near.name), instead: 'in' } : { question: words.odd.lessThan(n, near.name, length(near.nm)) };
  }
  const asked = (name: string, nmPer: number) => words.odd.otherUnit(exactLength(nm, unit), Math.round(less), near.name, name, exactLength(nmPer, unit));
  const other = UNITS.find((u) => less >= u.from && less <= u.to);
  if (other) return { question: asked(other.name, nm * other.per), ...(unit === 'mm' ? { instead: other.said } : {}) };
  if (unit === 'in' && less >= METRES_AS_INCHES.from && less <= METRES_AS_INCHES.to) return { question: asked(UNITS[0].name, (nm / NM_PER_INCH) * 1000 * NM_PER_MM), instead: 'm' };
  return undefined;
}

function besideNeighbour(nm: number, near: Neighbour, unit: LengthUnit): Asked | undefined {
  const mixed = mixedUp(nm, near, unit);
  if (mixed || near.differs) return mixed;
  const apart = Math.abs(nm - near.nm) > Math.max(near.nm * APART_SHARE, APART_NM);
  return apart ? { question: words.odd.farOff(near.name, length(near.nm)) } : undefined;
}

/**
 * The first question about bays that are typed together: another unit among millimetres, a very long one, or one that no bay is
 * like. `known` stands before them and is asked about no more.
 */
export function oddBay(baysNm: number[], names: string[], known?: Neighbour, unit: LengthUnit = 'mm'): string | undefined {
  const all = [...(known ? [known] : []), ...baysNm.map((nm, i) => ({ name: names[i] ?? '', nm }))];
  for (const [i, bay] of all.entries()) {
    const before = all[i - 1];
    const mixed = before && before.nm > 0 && bay.nm > 0 ? (mixedUp(bay.nm, before, unit) ?? lessUnit(before, bay, unit)) : undefined;
    if (mixed) return mixed.question;
    if (bay.nm > LONG_NM) return words.odd.overHundred;
  }
  const unusual = all.find((bay) => bay !== known && (bay.nm < BAY_FROM_NM || bay.nm > BAY_TO_NM));
  if (!unusual) return undefined;
  const [told, from, to] = [exactLength(unusual.nm, unit), length(BAY_FROM_NM), length(BAY_TO_NM)];
  const inches = (unusual.nm / NM_PER_MM) * NM_PER_INCH;
  const fits = unit === 'mm' && inches >= BAY_FROM_NM && inches <= BAY_TO_NM;
  return fits ? words.odd.bayInches(unusual.name, told, from, to, length(inches)) : words.odd.bay(unusual.name, told, from, to);
}

/** The one before was typed in metres or centimetres. */
function lessUnit(before: Neighbour, bay: Neighbour, unit: LengthUnit): Asked | undefined {
  return UNITS.some((u) => bay.nm / before.nm >= u.from && bay.nm / before.nm <= u.to) ? mixedUp(before.nm, bay, unit) : undefined;
}

/** The question about posts that are typed together: their widths, and how far along the run the last one stands. */
export function oddPost(widthsNm: number[], lastNm: number, wallsNm: (number | undefined)[] = []): string | undefined {
  const odd = widthsNm.find((nm) => nm < WIDTH_FROM_NM || nm > WIDTH_TO_NM);
  if (odd !== undefined) return words.odd.width(exactLength(odd));
  const wall = wallsNm.find((nm) => nm !== undefined && (nm < WALL_FROM_NM || nm > WALL_TO_NM));
  if (wall !== undefined) return words.odd.wall(exactLength(wall));
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
