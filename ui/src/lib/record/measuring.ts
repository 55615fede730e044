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

/** All steps that are worth doing, whether done or not: any other wire that was read, and not to cut from, is one too. */
export function steps(run: Run): Step[] {
  const count = run.wires.length;
  const few = [...new Set([1, middleOf(count), count])].filter((n) => n >= 1 && n <= count);
  const wires = run.wires.map((wire): Step => ({ kind: 'wire', key: wire.subject, wire, where: whereOf(wire.number, count) }));
  return [
    ...run.bays.map((bay): Step => ({ kind: 'bay', key: bay.subject, bay })),
    ...wires.filter((s) => (s.kind === 'wire' && few.includes(s.wire.number)) || (isDone(s) && !cuttable(s)))
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

/** Wires that were read, and not so that they may be cut from: for a quote, or before all was final. */
export const readForNoCut = (all: Step[]): Step[] => all.filter((s) => isDone(s) && !cuttable(s));

/** What was read since a round of measuring began. */
export interface Round {
  /** What was read last, whatever came of it. */
  last?: string;
  /** What was read for cutting, so that it is not asked for again where it still can't be cut from. */
  forCut: string[];
}

/** A round after one more reading; one that is not to cut from takes the place of one that is. */
export function readOne(round: Round, key: string, forCut: boolean): Round {
  const others = round.forCut.filter((k) => k !== key);
  return { last: key, forCut: forCut ? [...others, key] : others };
}

/** What is still to be asked, in its order; `forCut` asks for lengths to cut from. */
function open(all: Step[], round: Round, skipped: string[], forCut: boolean): Step[] {
  const enough = (s: Step) => isDone(s) && (!forCut || cuttable(s) || round.forCut.includes(s.key));
  return all.filter((s) => !enough(s) && !skipped.includes(s.key));
}

/** The step a round goes on with: behind the one that was read last, or that one again where nothing of it stands any more. */
export function nextStep(all: Step[], round: Round, skipped: string[], forCut = false): Step | undefined {
  const last = all.find((s) => s.key === round.last);
  return last && isDone(last) ? stepAfter(all, round, skipped, forCut, last) : inTurn(all, open(all, round, skipped, forCut), last);
}

/** The step that follows this one once it is read. */
export function stepAfter(all: Step[], round: Round, skipped: string[], forCut: boolean, step: Step): Step | undefined {
  return inTurn(all, open(all, round, skipped, forCut).filter((s) => s.key !== step.key), step);
}

/** The first of these from here on, else the first of all. */
function inTurn(all: Step[], of: Step[], from?: Step): Step | undefined {
  const place = (s: Step) => all.findIndex((one) => one.key === s.key);
  const start = from ? place(from) : 0;
  return of.find((s) => place(s) >= start) ?? of[0];
}

/** What was skipped and is still not there. */
export const skippedOf = (all: Step[], skipped: string[]): Step[] => all.filter((s) => skipped.includes(s.key) && !isDone(s));

/** The words that a correction or a settlement of this field replaces. */
export function standing(thing: Thing, field: string): string[] {
  return (thing.repeats[field] ?? []).flatMap((k) => k.tips.map((t) => t.claim));
}

/** What a bay is held against: what is known of it, else the first other one that is. */
export function besideBay(run: Run, bay: Bay): Neighbour | undefined {
  const known = [bay, ...run.bays.filter((b) => b !== bay)].find((b) => (bayClear(b) ?? 0) > 0);
  return known && { name: within(words.bayName(known.name)), nm: bayClear(known) ?? 0, differs: true };
}
