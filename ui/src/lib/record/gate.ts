// A gate's gaps as they are shown: from–to where the pull may open or close it. Pure but for the call.
import { call } from '$lib/core/call';
import { length } from '$lib/core/format.svelte';
import { NM_PER_MM } from '$lib/core/length';
import type { Gates, LeafMeasured } from '$lib/generated/api';
import { words } from '$lib/words';
import { wordFor } from '$lib/words/site';

export const loadGates = (job: string, run: string): Promise<Gates> => call('gateGaps', { job, run });

/** Millimetres of the program as a length on screen, to the tenth. */
export const gap = (mm: number): string => length(Math.round(mm * 10) * (NM_PER_MM / 10));

/** After tension: both ends where the posts may close it too, else the most; nothing while it can't be told. */
export function fromTo(after: [number, number] | null, before: number): string {
  if (after === null) return '';
  const [least, most] = after;
  return least < before ? words.gate.between(gap(least), gap(most)) : words.gate.upTo(gap(most));
}

/** Where and when a gap was measured, and what the probe did. */
export function measuredText(m: LeafMeasured): string {
  return [words.postName(m.post), m.remark, wordFor(words.moment, m.moment), wordFor(words.probeResult, m.result)].filter(Boolean).join(', ');
}
