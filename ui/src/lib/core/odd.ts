// Odd values are questioned once, in words, before they are kept. Pure: it decides nothing else.
import { NM_PER_MM } from './length';
import { words } from '$lib/words';
import { length } from './format.svelte';

export interface Neighbour {
  name: string;
  nm: number;
}

export type Doubt = { kind: 'fine' } | { kind: 'ask'; question: string } | { kind: 'refuse'; reason: string };

const HUNDRED_METRES = 100_000 * NM_PER_MM;
/** Wires of one run differ by more than this only when a post leans badly or a digit is wrong. */
export const RUN_SPREAD_NM = 40 * NM_PER_MM;
const KILOMETRE = 1_000_000 * NM_PER_MM;

/**
 * What is odd about a length beside its neighbours. `signed` lengths may be zero or below;
 * `within` is how far wires of one run may differ before the person is asked.
 */
export function doubtLength(nm: number | undefined, near: Neighbour[], signed = false, within?: number): Doubt {
  if (nm === undefined || !Number.isFinite(nm)) return { kind: 'refuse', reason: words.odd.notALength };
  if (!signed && nm <= 0) return { kind: 'refuse', reason: words.odd.notPositive };
  if (Math.abs(nm) > KILOMETRE) return { kind: 'refuse', reason: words.odd.overKilometre };
  if (Math.abs(nm) > HUNDRED_METRES) return { kind: 'ask', question: words.odd.overHundred };
  if (signed) return { kind: 'fine' };
  for (const n of near) {
    if (n.nm <= 0) continue;
    const ratio = nm / n.nm;
    if (ratio > 20 && ratio < 31) return { kind: 'ask', question: words.odd.timesMore(Math.round(ratio), n.name) };
    if (ratio > 1 / 31 && ratio < 1 / 20) {
      return { kind: 'ask', question: words.odd.timesLess(Math.round(1 / ratio), n.name) };
    }
    if (ratio > 1.25 || ratio < 0.8 || (within !== undefined && Math.abs(nm - n.nm) > within)) return { kind: 'ask', question: words.odd.farOff(n.name, length(n.nm)) };
  }
  return { kind: 'fine' };
}

/** What is odd about a tension reading. */
export function doubtTension(newtons: number | undefined, upper: number | undefined): Doubt {
  if (newtons === undefined || !Number.isFinite(newtons) || newtons < 0) {
    return { kind: 'refuse', reason: words.odd.notATension };
  }
  if (upper !== undefined && newtons > upper * 2) return { kind: 'ask', question: words.odd.twiceUpper };
  return { kind: 'fine' };
}
