// Trial wires: reading how they came out, and what they teach.
import { call } from '$lib/core/call';
import type { AnotherTrial, Learning, OutWay, Recorded, Typed } from '$lib/generated/api';

export const loadLearned = (job: string, run: string): Promise<Learning> => call('learned', { job, run });

/** A fitted wire that is out by more than its thread, hand tight. */
export function readOutBy(job: string, run: string, wire: number, way: OutWay, by: Typed, confirmed = false): Promise<Recorded> {
  return call('readOutBy', { job, run, wire, way, by, confirmed });
}

/** One more trial wire, where it is offered: while it is worth its cost and a wire is left to cut. */
export function furtherTrial({ another }: Pick<Learning, 'another'>, toCut: boolean): AnotherTrial | undefined {
  return toCut && another?.worth ? another : undefined;
}

/** Where a window, its aim and one spread to either side lie between two ends, in per cent. */
export function onBar(cut: { aimMm: number; shortestMm: number; longestMm: number; spreadMm: number }, from: number, to: number) {
  const at = (mm: number) => Math.min(100, Math.max(0, ((mm - from) / (to - from)) * 100));
  return { start: at(cut.shortestMm), end: at(cut.longestMm), aim: at(cut.aimMm), low: at(cut.aimMm - cut.spreadMm), high: at(cut.aimMm + cut.spreadMm) };
}
