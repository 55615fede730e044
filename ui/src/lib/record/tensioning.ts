// How a run is brought to its tension, and what it loses later: by the program. Pure but for the calls.
import { call } from '$lib/core/call';
import { words } from '$lib/words';
import type { Corners, Recheck, Recorded, Tensioning, ToPass, TurnIn, Turns, WireNow } from '$lib/generated/api';
import type { Round } from './round';

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

/** Wires in the order in which the round goes over them; none where no plan says one. */
export function orderOf(plan: Tensioning | undefined, round: Pick<Round, 'stage' | 'pass'>): number[] {
  if (round.stage !== 'pass') return [];
  const pass = plan?.passes.find((p) => p.pass === round.pass) ?? plan?.passes.at(-1);
  return pass?.wires.map((w) => w.wire) ?? [];
}

/** A wire as it is, and what brings it to the tension of the round: that of its pass, else the set tension. */
export function toTurn(plan: Tensioning, wire: number, round: Pick<Round, 'stage' | 'pass'>): { now: WireNow; to: ToPass } | undefined {
  const now = plan.wires.find((w) => w.wire === wire);
  const to = (round.stage === 'pass' ? now?.to.find((t) => t.pass === round.pass) : undefined) ?? now?.to.at(-1);
  return now && to ? { now, to } : undefined;
}

/** Steps of flats as they were kept on the device: of what they are, and by how many at each end; nothing of anything else. */
export function keptSteps(found: unknown): { of: string; by: [first: number, last: number] } | undefined {
  if (found === null || typeof found !== 'object' || !('of' in found) || !('by' in found)) return undefined;
  const { of, by } = found;
  if (typeof of !== 'string' || !Array.isArray(by)) return undefined;
  const [first, last] = by as unknown[];
  return typeof first === 'number' && typeof last === 'number' ? { of, by: [first, last] } : undefined;
}
