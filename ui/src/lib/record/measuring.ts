// The order in which a run is measured: its bays, then bottom, top and middle wire. Pure.
import type { Neighbour } from '$lib/core/odd';
import { within } from '$lib/core/within';
import { words } from '$lib/words';
import { cutOf, lengthOf } from './wires';
import { latest, repeatsOf, type Bay, type Run, type Thing, type Wire } from './view';

export type Step = { kind: 'bay'; key: string; bay: Bay } | { kind: 'wire'; key: string; wire: Wire; where: 'bottom' | 'middle' | 'top' | 'other' };

/** The middle wire: half way between bottom and top, the lower of two. */
export function middleOf(count: number): number {
  return Math.max(1, Math.ceil(count / 2));
}

export function whereOf(number: number, count: number): 'bottom' | 'middle' | 'top' | 'other' {
  if (number === 1) return 'bottom';
  if (number === count) return 'top';
  return number === middleOf(count) ? 'middle' : 'other';
}

/** All steps that are worth doing, whether done or not. */
export function steps(run: Run): Step[] {
  const count = run.wires.length;
  const few = [...new Set([1, middleOf(count), count])].filter((n) => n >= 1 && n <= count);
  const wires = run.wires.filter((w) => few.includes(w.number));
  return [
    ...run.bays.map((bay): Step => ({ kind: 'bay', key: bay.subject, bay })),
    ...wires.map((wire): Step => ({ kind: 'wire', key: wire.subject, wire, where: whereOf(wire.number, count) }))
  ];
}

export function isDone(step: Step): boolean {
  return step.kind === 'bay' ? bayClear(step.bay) !== undefined : lengthOf(step.wire) !== undefined;
}

export function bayClear(bay: Bay): number | undefined {
  return bay.clearNm ?? (latest(repeatsOf(bay, 'clear'))?.value as { nm: number } | undefined)?.nm;
}

/** Whether a wire has a length that it may be cut from, or is cut already; a bay has none to cut. */
const cuttable = (step: Step) => step.kind === 'bay' || step.wire.counted !== undefined || cutOf(step.wire) !== undefined;

/** Wires that were read, and not so that they may be cut from: for a quote, before all was final, or people differ. */
export const readForNoCut = (all: Step[]): Step[] => all.filter((s) => isDone(s) && !cuttable(s));

/** The next step that is neither done nor skipped, after `from` where there is one; `forCut` asks for lengths to cut from. */
export function nextStep(all: Step[], skipped: string[], from?: string, forCut = false): Step | undefined {
  const done = (s: Step) => isDone(s) && (!forCut || cuttable(s));
  const open = (s: Step) => !done(s) && !skipped.includes(s.key) && s.key !== from;
  const start = all.findIndex((s) => s.key === from);
  return all.slice(start + 1).find(open) ?? all.find(open);
}

/** The words that a correction or a settlement of this field replaces. */
export function standing(thing: Thing, field: string): string[] {
  return (thing.repeats[field] ?? []).flatMap((k) => k.tips.map((t) => t.claim));
}

/** What a bay is held against: what is known of it, else the first other one that is. */
export function besideBay(run: Run, bay: Bay): Neighbour | undefined {
  const known = [bay, ...run.bays.filter((b) => b !== bay)].find((b) => (bayClear(b) ?? 0) > 0);
  return known && { name: within(words.bayName(known.name)), nm: bayClear(known) ?? 0, differs: true };
}
