// Repeats of a reading: who read what, what counts of them, and how far they lie apart. Pure; the program counts.
import { bareLength, length, NBSP, span } from '$lib/core/format.svelte';
import { look } from '$lib/core/look.svelte';
import { words } from '$lib/words';
import type { Known } from './view';

const w = words.repeats;
export const nmOfKnown = (known: Known): number => Number((known.value as { nm?: number } | null)?.nm ?? 0);

/** Readings on which people agree, the last one first. */
export const inTime = (list: Known[]): Known[] =>
  list.filter((k) => k.standing === 'agreed').sort((a, b) => (b.tips[0]?.at.ms ?? 0) - (a.tips[0]?.at.ms ?? 0));

/** How far apart the readings lie, in words; nothing of a single one. */
export function apart(list: Known[]): string {
  const nm = list.map(nmOfKnown);
  if (nm.length < 2) return '';
  const range = Math.max(...nm) - Math.min(...nm);
  return range === 0 ? w.alike(nm.length) : w.apart(nm.length, span(nm), length(range));
}

/** `mean of 3, ± 1.5 mm`; nothing where a single reading counts. */
export function meanOf(count: number, spreadNm: number): string {
  return count < 2 ? '' : w.mean(count, `±${NBSP}${bareLength(spreadNm)}${NBSP}${look.unit}`);
}
