// How lengths of a run are read: asked once, then remembered for that run. Nothing is taken for granted, since every
// permissive guess would let a quote reading pass for one to cut by. Pure.
import type { Along, Faces, Instrument, PostState, Purpose, Typed } from '$lib/generated/api';
import type { BayConditions, LengthConditions } from './acts';

/** What was said so far; what is undefined is still to be asked. */
export interface Conditions {
  purpose?: Purpose;
  posts?: PostState;
  faces?: Faces;
  instrument?: Instrument;
  along?: Along;
  proud?: Typed;
  tool?: string;
  /** A second number stands beside the first instead of correcting it. */
  repeat: boolean;
  /** Every wire is measured; else bottom, middle and top, and the others are interpolated. */
  every?: boolean;
  skipped: string[];
}

export const UNASKED: Conditions = { repeat: false, skipped: [] };

export type Condition = 'purpose' | 'posts' | 'faces' | 'along' | 'instrument';

/** What must be said before a number can be typed. On a level run level and slope are one. */
export function lacking(kind: 'bay' | 'wire', raked: boolean, c: Conditions): Condition[] {
  const asked: Condition[] = kind === 'wire' ? ['purpose', 'posts', 'faces', 'instrument'] : raked ? ['along', 'instrument'] : ['instrument'];
  return asked.filter((name) => c[name] === undefined);
}

/** Whole conditions of a wire's length; nothing while one is not said. */
export function forWire(c: Conditions): LengthConditions | undefined {
  const { purpose, posts, faces, instrument, proud, tool } = c;
  if (!purpose || !posts || !faces || !instrument) return undefined;
  return { purpose, posts, faces, instrument, ...(proud ? { proud } : {}), ...(tool ? { tool } : {}) };
}

/** Whole conditions of a bay's clear distance; nothing while one is not said. */
export function forBay(c: Conditions, raked: boolean): BayConditions | undefined {
  const along = raked ? c.along : 'level';
  return along && c.instrument ? { along, instrument: c.instrument, ...(c.tool ? { tool: c.tool } : {}) } : undefined;
}
