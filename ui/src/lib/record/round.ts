// A round of tension readings: what was set once, which wire comes next, what a reading says. Pure.
import { parseNumber } from '$lib/core/length';
import type { NewClaim } from './backend';
import { readings, type Reading } from './wires';
import type { Run, Wire } from './view';

export interface Round {
  stage: 'pass' | 'final' | 'recheck';
  pass: number;
  method: string;
  gauge: string;
  /** The bay's place, `<post>:<post>`. */
  bay: string;
  airC: string;
  wireC: string;
  sun: string;
}

/** Readings of this round: same stage, same pass, same bay. */
export function inRound(wire: Wire, round: Round): Reading[] {
  return readings(wire).filter((r) => r.stage === round.stage && r.place === round.bay && (round.stage !== 'pass' || r.pass === round.pass));
}

/** The next wire without a reading in this round, upwards from `from` and then round. */
export function nextWire(run: Run, round: Round, from = 0): Wire | undefined {
  const open = run.wires.filter((w) => inRound(w, round).length === 0);
  return open.find((w) => w.number > from) ?? open.find((w) => w.number !== from);
}

export function readingClaim(wire: Wire, round: Round, newtons: number, entered: string): NewClaim {
  const hundredths = (text: string) => {
    const c = parseNumber(text);
    return c === undefined ? undefined : Math.round(c * 100);
  };
  const context: Record<string, unknown> = { method: round.method, stage: round.stage, piece: wire.piece, entered: `${entered} N` };
  if (round.stage === 'pass') context.pass = round.pass;
  if (round.gauge) context.gauge = round.gauge;
  if (round.sun) context.sun = round.sun;
  const [air, own] = [hundredths(round.airC), hundredths(round.wireC)];
  if (air !== undefined) context.airCdeg = air;
  if (own !== undefined) context.wireCdeg = own;
  const repeat = inRound(wire, round).length;
  if (repeat > 0) context.repeat = repeat + 1;
  return { subject: wire.subject, field: 'tension', place: round.bay, value: { mn: Math.round(newtons * 1000) }, context };
}

/** What is missing before the round can begin, by the name of the field. */
export function missingOf(round: Round): string[] {
  const lacks: string[] = [];
  if (!round.bay) lacks.push('bay');
  if (round.method === 'gauge' && !round.gauge) lacks.push('gauge');
  if (parseNumber(round.airC) === undefined && parseNumber(round.wireC) === undefined) lacks.push('temperature');
  return lacks;
}
