// The order in which a run is measured: its bays, then its wires from the bottom, all of them or bottom, middle and top. Pure.
import { mmOf } from '$lib/core/length';
import type { Neighbour } from '$lib/core/odd';
import { leadOf } from '$lib/core/pad';
import { within } from '$lib/core/within';
import { words } from '$lib/words';
import { cutOf, lengthOf } from './wires';
import { latest, repeatsOf, type Bay, type Run, type Thing, type Wire } from './view';

/** One thing to measure; `place` is where it comes in the run, bays first. */
export type Step = { key: string; place: number } & ({ kind: 'bay'; bay: Bay } | { kind: 'wire'; wire: Wire; where: 'bottom' | 'middle' | 'top' | 'other' });

/** The middle wire: half way between bottom and top, the lower of two. */
export function middleOf(count: number): number {
  return Math.max(1, Math.ceil(count / 2));
}

export function whereOf(number: number, count: number): 'bottom' | 'middle' | 'top' | 'other' {
  if (number === 1) return 'bottom';
  if (number === count) return 'top';
  return number === middleOf(count) ? 'middle' : 'other';
}

/** Everything of a run that can be measured. */
export function allOf(run: Run): Step[] {
  const [bays, count] = [run.bays.length, run.wires.length];
  return [
    ...run.bays.map((bay, at): Step => ({ kind: 'bay', key: bay.subject, place: at, bay })),
    ...run.wires.map((wire): Step => ({ kind: 'wire', key: wire.subject, place: bays + wire.number, wire, where: whereOf(wire.number, count) }))
  ];
}

/**
 * All steps that are worth doing, whether done or not: `every` wire, or bottom, middle and top, and any other that was read, and not
 * to cut from.
 */
export function steps(run: Run, every = false): Step[] {
  const count = run.wires.length;
  const few = [1, middleOf(count), count];
  return allOf(run).filter((s) => s.kind === 'bay' || every || few.includes(s.wire.number) || (isDone(s) && !cuttable(s)));
}

/** The wires that are no step of their own and are measured where a person asks for it, such as those that are interpolated. */
export const otherWires = (run: Run, all: Step[]): Wire[] => run.wires.filter((w) => !all.some((s) => s.kind === 'wire' && s.wire.number === w.number));

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
  /** What was read last, and its place, whatever came of it. */
  last?: { key: string; place: number };
  /** What was read for cutting, so that it is not asked for again where it still can't be cut from. */
  forCut: string[];
}

/** A round after one more reading; one that is not to cut from takes the place of one that is. */
export function readOne(round: Round, { key, place }: Pick<Step, 'key' | 'place'>, forCut: boolean): Round {
  const others = round.forCut.filter((k) => k !== key);
  return { last: { key, place }, forCut: forCut ? [...others, key] : others };
}

/** What is still to be asked, in its order; `forCut` asks for lengths to cut from. */
function open(all: Step[], round: Round, skipped: string[], forCut: boolean): Step[] {
  const enough = (s: Step) => isDone(s) && (!forCut || cuttable(s) || round.forCut.includes(s.key));
  return all.filter((s) => !enough(s) && !skipped.includes(s.key));
}

/** The step a round goes on with: behind the one that was read last, or that one again where nothing of it stands any more. */
export function nextStep(all: Step[], round: Round, skipped: string[], forCut = false): Step | undefined {
  const { last } = round;
  const left = open(all, round, skipped, forCut);
  if (!last) return left[0];
  // One that is worth no step any more is read; else it is asked again where nothing of it stands.
  const read = all.find((s) => s.key === last.key);
  return read && !isDone(read) ? inTurn(left, last.place) : stepAfter(all, round, skipped, forCut, last);
}

/** The step that follows this one once it is read. */
export function stepAfter(all: Step[], round: Round, skipped: string[], forCut: boolean, step: Pick<Step, 'key' | 'place'>): Step | undefined {
  return inTurn(open(all, round, skipped, forCut).filter((s) => s.key !== step.key), step.place);
}

/** The first of these from this place in the run on, else the first of all. */
const inTurn = (of: Step[], from: number): Step | undefined => of.find((s) => s.place >= from) ?? of[0];

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

/** The two nearest of its kind that are known, the nearest first: they stand beside the pad. */
export function neighbours(run: Run, step: Step): Neighbour[] {
  const others = step.kind === 'bay' ? run.bays.map((bay, at) => ({ at, of: bay.subject, name: words.bayName(bay.name), nm: bayClear(bay), differs: true }))
    : run.wires.map((wire) => ({ at: wire.number, of: wire.subject, name: words.wireName(wire.number), nm: lengthOf(wire)?.nm }));
  const here = step.kind === 'bay' ? step.place : step.wire.number;
  return others
    .filter((o) => o.of !== step.key)
    .flatMap(({ at, of: _, name, nm, ...more }) => (nm !== undefined && nm > 0 ? [{ away: Math.abs(at - here), is: { name: within(name), nm, ...more } }] : []))
    .sort((a, b) => a.away - b.away)
    .slice(0, 2)
    .map((o) => o.is);
}

/** Digits that a bay's last two are typed behind. */
const FREE = 2;

/** Whole millimetres whose leading digits the pad may keep: bays differ, so that only all but the last two digits are taken over. */
export function leadsFrom(kind: Step['kind'], near: Neighbour[]): number[] {
  const mm = near.map((n) => mmOf(n.nm));
  return kind === 'wire' || leadOf(mm, FREE) !== '' ? mm : [];
}

/** What a wire is held against: the nearest that is known, else, in its unit alone, the bays together. */
export function besideWire(run: Run, wire: Wire): Neighbour | undefined {
  const [near] = neighbours(run, { kind: 'wire', key: wire.subject, place: 0, wire, where: 'other' });
  const between = run.betweenNm ?? 0;
  return near ?? (between > 0 ? { name: words.measure.baysTogether, nm: between, differs: true } : undefined);
}

/** What a step is held against. */
export const besideStep = (run: Run, step: Step): Neighbour | undefined => (step.kind === 'bay' ? besideBay(run, step.bay) : besideWire(run, step.wire));
