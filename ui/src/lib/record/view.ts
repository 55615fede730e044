// What the screens read: the record as things with facts. Made by `load.ts` from the program's answers; never kept.

import type { BayGaps, EndKind, Flag as WireFlag, NoLonger, RunTensions, Shape, TensionLine, WireStage } from '$lib/generated/api';

export interface At {
  ms: number;
  offsetMin: number;
  suspect: boolean;
}

/** One person's word on a value. */
export interface Tip {
  claim: string;
  value: unknown;
  who: string;
  at: At;
  context: Record<string, unknown>;
}

export type Standing = 'agreed' | 'disputed' | 'withdrawn' | 'newer';

/** What stands on one key, and by whose word. */
export interface Known {
  subject: string;
  field: string;
  place: string;
  standing: Standing;
  value: unknown;
  tips: Tip[];
  /** A later reading of the same opening took its place. */
  readAgain?: true;
}

/** Anything with facts. Single values by `field` or `field@place`; repeats by field. */
export interface Thing {
  subject: string;
  id: string;
  name: string;
  facts: Record<string, Known>;
  repeats: Record<string, Known[]>;
}

export interface Post extends Thing {
  role: string;
}

export interface Bay extends Thing {
  /** The bay's place in readings: `<post>:<post>`. */
  place: string;
  posts: [string, string];
  /** Gap checks as the program counts them, and the lower wires of openings where the probe passes. */
  gaps: BayGaps;
  passesAbove: number[];
  /** Why the probe is to be offered again, by the program. */
  gapsWhy?: string;
  /** The clear distance that the program counts: of several readings the longest along the wire. */
  clearNm?: number;
}

export interface Wire extends Thing {
  number: number;
  /** What stands out most, or how far it has come where nothing does: the drawing's own mark. */
  state: string;
  /** All that stands out, most urgent first. */
  flags: WireFlag[];
  stage: WireStage;
  /** The look before the second ends that stands was at this piece. */
  looked: boolean;
  /** Its length for cutting comes from its neighbours. */
  interpolated: boolean;
  /** Its length for cutting, where it was measured for that: the mean of the repeats and half their range. */
  counted?: { nm: number; spreadNm: number };
  piece: number;
  /** Why its release is looked at on the cut sheet before it is cut; nothing where it stands, or is cut. */
  releaseMoved?: string;
}

export interface Run extends Thing {
  shape: Shape;
  /** The wire that is cut and fitted before the others. */
  trialWire?: number;
  /** Kinds of its first and last end as they are counted: told, else as the fitting set has them. */
  endKinds?: [EndKind, EndKind];
  /** Its readings against its tensions, by the program; none before anything is decided or read. */
  read?: RunTensions;
  posts: Post[];
  bays: Bay[];
  /** What bays and posts between the ends add up to along the wires. */
  betweenNm?: number;
  wires: Wire[];
}

export interface Job extends Thing {
  runs: Run[];
  tools: Thing[];
  batches: Thing[];
  visits: Thing[];
  photos: Thing[];
  documents: Thing[];
  defects: Thing[];
  strands: Thing[];
  fittingSets: Thing[];
  /** Keys that people dispute or a newer version changed. */
  unsettled: Unsettled[];
  /** What is said of wires and bays that the layout no longer has. */
  noLonger: NoLonger[];
  signOffs: SignOff[];
}

/** A person's statement on a stage, and how many entries came after what it covers. */
export interface SignOff {
  stage: string;
  statement: string;
  who: string;
  atMs: number;
  offsetMin: number;
  since: number;
  /** What it was signed on was replaced or is disputed since. */
  moved: boolean;
  outsideRole: string | null;
}

export interface Unsettled {
  subject: string;
  name: string;
  field: string;
  newer: boolean;
  known: Known;
}

/** What the program says of a wire's readings. */
export function lineOf(run: Run, wire: Wire): TensionLine | undefined {
  return run.read?.lines.find((l) => l.wire === wire.number);
}

export function known(thing: Thing | undefined, field: string, place = ''): Known | undefined {
  return thing?.facts[place ? `${field}@${place}` : field];
}

/** The value that stands; nothing while it is withdrawn or disputed. */
export function valueOf<T>(thing: Thing | undefined, field: string, place = ''): T | undefined {
  const found = known(thing, field, place);
  return found?.standing === 'agreed' ? ((found.value ?? undefined) as T | undefined) : undefined;
}

export function nmOf(thing: Thing | undefined, field: string, place = ''): number | undefined {
  return valueOf<{ nm: number }>(thing, field, place)?.nm;
}

export function repeatsOf(thing: Thing | undefined, field: string, place?: string): Known[] {
  const all = thing?.repeats[field] ?? [];
  return place === undefined ? all : all.filter((k) => k.place === place);
}

/** Of several readings the one recorded last; the clock only sorts what is shown. */
export function latest(list: Known[]): Known | undefined {
  return list
    .filter((k) => k.standing === 'agreed')
    .reduce<Known | undefined>((a, b) => (a && (a.tips[0]?.at.ms ?? 0) > (b.tips[0]?.at.ms ?? 0) ? a : b), undefined);
}

/** Every disputed key of a thing. */
export function disputes(thing: Thing): Known[] {
  return [...Object.values(thing.facts), ...Object.values(thing.repeats).flat()].filter((k) => k.standing === 'disputed');
}
