// How a run is brought to its tension, and what it loses later: by the program. Pure but for the calls.
import { call } from '$lib/core/call';
import { words } from '$lib/words';
import type { Corners, OneStep, Recheck, Recorded, Tensioning, ToPass, TurnIn, Turns, WireNow } from '$lib/generated/api';
import { nextWire, notThere, type Round } from './round';
import type { Run, Wire } from './view';

export const loadTensioning = (job: string, run: string): Promise<Tensioning> => call('tensioning', { job, run });
export const loadRecheck = (job: string, run: string): Promise<Recheck> => call('recheck', { job, run });

export const loadCorners = (job: string, run: string): Promise<Corners> => call('corners', { job, run });

const alike = (first: Turns, last: Turns): boolean => first.turns === last.turns && first.flats === last.flats;

/** Logs one turning at both ends, in one act; alike where `last` is as `first`. */
export function turnWire(job: string, run: string, wire: number, toN: number, first: Turns, last: Turns): Promise<Recorded> {
  return call('turnWire', { job, run, wire, toMn: Math.round(toN * 1000), turns: first, ...(alike(first, last) ? {} : { last }) });
}

/** What is turned at the run's first and last end: the same at both, or all of it at the one that is turned. */
export function atEnds(plan: Pick<Tensioning, 'turnedAt'>, turn: Turns): [first: Turns, last: Turns] {
  const none = { turns: 0, flats: 0 };
  if (!plan.turnedAt) return [turn, turn];
  return plan.turnedAt.last ? [none, turn] : [turn, none];
}

/** A nut has six flats to its turn. */
const FLATS = 6;

/** A turn-in with so many flats more, or less; never less than none. */
export function byFlats(of: Turns, more: number): Turns {
  const flats = Math.max(0, of.turns * FLATS + of.flats + more);
  return { turns: Math.floor(flats / FLATS), flats: flats % FLATS };
}

export const isNone = (of: Turns): boolean => of.turns + of.flats === 0;

export const countText = (of: Turns): string => words.turning.count(of.turns, of.flats);

/** What was turned, told once where both ends are alike. */
export function turnedText([a, b]: readonly [string, string], first: Turns, last: Turns): string {
  return alike(first, last) ? words.turning.turned(countText(first)) : words.turning.turnedApart(a, countText(first), b, countText(last));
}

/** What is to be logged, told once where both ends are alike. */
export function endsText([a, b]: readonly [string, string], first: Turns, last: Turns): string {
  return alike(first, last) ? countText(first) : words.turning.apart(a, countText(first), b, countText(last));
}

export const turnText = (turn: TurnIn): string => words.turning.turn(turn.back, turn.turns, turn.flats);

/** The trial wire that is brought to its own tension, where its thread is read, whatever pass the others are in. */
export interface OfTrial {
  trial?: number;
}
type At = Pick<Round, 'stage' | 'pass' | 'inOne'> & OfTrial;

/** What is left of one pass, where the round goes by it and no wire has to show too much from where all stand. */
export function leftInOne(plan: Tensioning | undefined, round: At): OneStep[] {
  return round.stage === 'pass' && round.inOne && plan?.onePass?.possible ? plan.onePass.steps : [];
}

/** Whether the round goes by one pass and that does not work from where the wires stand: then nothing is turned before even passes are chosen. */
export function oneIsGone(plan: Tensioning | undefined, round: At): boolean {
  return round.stage === 'pass' && round.inOne === true && plan?.onePass?.possible === false;
}

/** Whether the round goes by one pass and every wire is at its tension, or as near as the gauge can tell. */
export function inOneIsDone(plan: Tensioning, round: At): boolean {
  return round.stage === 'pass' && round.inOne === true && !plan.missing && plan.onePass === null;
}

/**
 * The round in one pass, or in even passes from the first. Readings of one pass are on the way, since a wire falls when others
 * are turned: they are those of the pass before the last, in which every wire is read at its tension.
 */
export function inOnePass<R extends At>(round: R, one: boolean, passes: number): R {
  return { ...round, inOne: one, pass: one ? Math.max(1, passes - 1) : 1 };
}

/** Wires in the order in which the round goes over them; none where no plan says one. */
export function orderOf(plan: Tensioning | undefined, round: At): number[] {
  if (round.stage !== 'pass') return [];
  const one = leftInOne(plan, round);
  if (one.length > 0) return one.map((step) => step.wire);
  const pass = plan?.passes.find((p) => p.pass === round.pass) ?? plan?.passes.at(-1);
  return pass?.wires.map((w) => w.wire) ?? [];
}

/** The wire that comes after this one in the round, or first where none is named. In one pass that is the next of what is left, read before or not. */
export function following(plan: Tensioning | undefined, run: Run, round: Round, from = 0): Wire | undefined {
  const away = notThere(run).map((w) => w.number);
  const order = orderOf(plan, round).filter((wire) => !away.includes(wire));
  // Nothing is left of one pass: all are read once more at their tension, in the round that comes then.
  if (plan && inOneIsDone(plan, round)) return undefined;
  if (leftInOne(plan, round).length === 0) return nextWire(run, round, from, order);
  const next = order[order.indexOf(from) + 1] ?? order[0];
  return run.wires.find((w) => w.number === next);
}

/** What a wire is turned to, and the wire that is turned before it: where it would have to show too much now, or where that one is let out first. */
export interface Turning {
  now: WireNow;
  to: ToPass;
  after?: number;
  /** The wire before it is over the upper tension. */
  letOut?: boolean;
}

/** A wire as it is, and what brings it to the tension of the round: that of one pass or of its pass, else the set tension. */
export function toTurn(plan: Tensioning, wire: number, round: At): Turning | undefined {
  const now = plan.wires.find((w) => w.wire === wire);
  const one = leftInOne(plan, round);
  const last = now?.to.at(-1);
  if (!now || !last) return undefined;
  const [over] = plan.over;
  if (over !== undefined) return plan.over.includes(wire) ? { now, to: last } : { now, to: { ...last, turn: null }, after: over, letOut: true };
  if (oneIsGone(plan, round)) return undefined;
  if (round.trial === wire) return { now, to: last };
  if (one.length > 0) {
    const step = one.find((s) => s.wire === wire);
    // What is near its tension stays where it is.
    if (!step) return { now, to: { ...last, turn: null } };
    if (!step.next) return { now, to: { ...last, tensionN: step.showsN, turn: null }, after: one[0]?.wire };
    return { now, to: { ...last, ...step.next, turn: step.turn } };
  }
  // After one pass a wire that is looked at again is held against its own tension.
  if (round.stage === 'pass' && round.inOne) return { now, to: { ...last, turn: null } };
  return { now, to: (round.stage === 'pass' ? now.to.find((t) => t.pass === round.pass) : undefined) ?? last };
}

/** What stands in the place of turns where none are told: that it is there, or that a flat is more than it lacks. */
export function untold(found: Turning): string {
  return found.now.nowN < Math.round(found.to.fromN) ? words.turning.part : words.turning.there;
}

/** Steps of flats as they were kept on the device: of what they are, and by how many at each end; nothing of anything else. */
export function keptSteps(found: unknown): { of: string; by: [first: number, last: number] } | undefined {
  if (found === null || typeof found !== 'object' || !('of' in found) || !('by' in found)) return undefined;
  const { of, by } = found;
  if (typeof of !== 'string' || !Array.isArray(by)) return undefined;
  const [first, last] = by as unknown[];
  return typeof first === 'number' && typeof last === 'number' ? { of, by: [first, last] } : undefined;
}
