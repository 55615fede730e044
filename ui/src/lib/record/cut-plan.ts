// The cut plan: reading it, ticking off by batch, what was thrown away or kept, labels.
import { call } from '$lib/core/call';
import { NM_PER_MM, type LengthUnit } from '$lib/core/length';
import { distance, length, NBSP, windowOf } from '$lib/core/format.svelte';
import type { CutGroup, CutOne, CutPlan, PaperSize, PlannedCut, Recorded, StockItem, Typed, Unlabelled } from '$lib/generated/api';
import { words } from '$lib/words';

export const loadPlan = (job: string): Promise<CutPlan> => call('cutPlan', { job });

export function cutBatch(job: string, cuts: CutOne[], confirmed: boolean): Promise<Recorded> {
  return call('cutBatch', { job, cuts, confirmed });
}

export function scrapStrand(job: string, stock: string, reason: string, much: Typed | undefined): Promise<Recorded> {
  return call('scrapStrand', { job, stock, reason, ...(much ? { length: much } : {}) });
}

export function keepOffcut(job: string, of: { run: string; wire: number; piece: number }, kept: Typed, confirmed = false): Promise<Recorded> {
  return call('keepOffcut', { job, run: of.run, wire: of.wire, piece: of.piece, length: kept, confirmed });
}

export interface Labelled {
  file: string;
  labels: number;
  /** Released wires that have none, with the reason. */
  leftOut: Unlabelled[];
  bytes: number;
}

export async function startLabels(job: string, ask: { cut: boolean; paper: PaperSize; unit: LengthUnit }): Promise<string> {
  return (await call('startLabels', { job, ...ask })).task;
}

/** A wire's length, told as on the tape. */
export const told = (mm: number): string => length(Math.round(mm * NM_PER_MM));
/** Between what a cut works, as it was told with its release: never wider than it is. */
export const between = (cut: PlannedCut): string =>
  words.plan.fromTo(...(windowOf(cut.shortestMm * NM_PER_MM, cut.longestMm * NM_PER_MM).map((end) => end.replaceAll(' ', NBSP)) as [string, string]));
/** What is left of a reel: in metres where it is long. */
export const far = (mm: number): string => distance(Math.round(mm * NM_PER_MM));

/** The cuts as they are on the glass, to be ticked off; none from a reel that has still to be ordered. */
export function seen(group: CutGroup, cuts: PlannedCut[]): CutOne[] {
  const { stock } = group;
  if (stock === null) return [];
  return cuts.map(({ run, wire, piece, cutMm }) => ({ run, wire, piece, cutMm, stock }));
}

/** What stands above a batch. */
export function titleOf(group: CutGroup): string {
  if (group.stock === null) return words.plan.toOrder(group.name);
  return group.trial ? words.plan.trialFrom(group.name) : words.plan.from(group.name);
}

/** The end to fit first, and what the reel has left then. */
export const noteOf = (cut: PlannedCut): string => [cut.end && words.plan.end(cut.end), words.plan.left(far(cut.leftMm))].filter(Boolean).join(' · ');

/** Names of a few wires: `A1, A2, A3 …`. */
export function namesOf(cuts: PlannedCut[]): string {
  const few = cuts.slice(0, 3).map((c) => c.name);
  return few.join(', ') + (cuts.length > few.length ? ' …' : '');
}

/** What became of a reel or offcut, part by part. */
export function partsOf(item: StockItem): string[] {
  const w = words.stock;
  const part = (mm: number, say: (v: string) => string) => (mm > 0 ? [say(far(mm))] : []);
  return [
    ...(item.lengthMm === null ? [] : [(item.state === 'notCome' ? w.toCome : w.came)(far(item.lengthMm))]),
    ...part(item.cutMm, w.cut),
    ...part(item.lostMm, w.lost),
    ...part(item.scrappedMm, w.scrapped)
  ];
}

/** What stands beside its name: what it has left, or why there is nothing to cut from. */
export function figureOf(item: StockItem): string {
  if (item.state === 'notKnown') return '?';
  return item.state === 'notCome' || item.state === 'wrong' ? (words.stock.states[item.state] ?? '') : far(item.leftMm);
}

/** Whether it is of any use still: the others stand at the end of the list. */
export const usable = (item: StockItem): boolean => item.state === 'whole' || item.state === 'started';

/** Usable ones first, each part in its own order. */
export const inOrder = (items: StockItem[]): StockItem[] => [...items.filter(usable), ...items.filter((i) => !usable(i))];
