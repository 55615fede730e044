// Reading a wire's claims: what was cut, issued, ticked, crimped and read. Pure.
import type { Method, ReadingTold } from '$lib/generated/api';
import { words } from '$lib/words';
import { wordFor } from '$lib/words/site';
import { latest, repeatsOf, valueOf, type Known, type Wire } from './view';

export interface Reading {
  newtons: number;
  place: string;
  known: Known;
  stage: string;
  pass?: number;
  airC?: number;
  wireC?: number;
  /** Sound and hung phone are a guide: they stand in no round and count nowhere. */
  method: Method;
  leastN?: number;
  mostN?: number;
}

/** Whether a reading may count: by gauge or by the hung mass. */
export const counts = (reading: Reading): boolean => reading.method === 'gauge' || reading.method === 'hungMass';

const piece = (wire: Wire) => String(wire.piece);

export function cutOf(wire: Wire): number | undefined {
  return valueOf<{ nm: number }>(wire, 'cut', piece(wire))?.nm;
}

/** The delivery that the strand in place was cut from, where that was said. */
export function batchOf(wire: Wire): string | undefined {
  return valueOf<{ batch?: string }>(wire, 'cut', piece(wire))?.batch;
}

export function issuedOf(wire: Wire): { cutNm: number; shortestNm: number; longestNm: number } | undefined {
  return valueOf(wire, 'cutIssued', piece(wire));
}

/** Whether an act was ticked for the piece that is in place. */
export function doneOf(wire: Wire, act: string): boolean {
  return valueOf<boolean>(wire, 'done', `${act}/${wire.piece}`) === true;
}

/** Whether it hangs in its run, held at its tension or not yet. */
export const isFitted = (wire: Wire): boolean => wire.stage === 'fitted' || isHeld(wire);

/** Whether it is held at its tension. */
export const isHeld = (wire: Wire): boolean => wire.stage === 'tensioned' || wire.stage === 'checked';

/** Tension readings of the piece in place, oldest first. */
export function readings(wire: Wire): Reading[] {
  return repeatsOf(wire, 'tension')
    .filter((k) => k.standing === 'agreed' && Number(k.tips[0]?.context.piece ?? 1) === wire.piece)
    .map(readingOf)
    .sort((a, b) => (a.known.tips[0]?.at.ms ?? 0) - (b.known.tips[0]?.at.ms ?? 0));
}

function readingOf(known: Known): Reading {
  const context = known.tips[0]?.context ?? {};
  const told = context.told as ReadingTold | undefined;
  const edge = (mn: number | null | undefined) => (typeof mn === 'number' ? mn / 1000 : undefined);
  const degrees = (v: unknown) => (typeof v === 'number' ? v / 100 : undefined);
  return {
    newtons: Number((known.value as { mn: number }).mn) / 1000,
    place: known.place,
    known,
    stage: String(context.stage ?? 'pass'),
    pass: typeof context.pass === 'number' ? context.pass : undefined,
    airC: degrees(context.airCdeg),
    wireC: degrees(context.wireCdeg),
    method: (context.method as Method | undefined) ?? 'gauge',
    leastN: edge(told?.leastMn),
    mostN: edge(told?.mostMn)
  };
}

/** All that stands out of a wire, most urgent first; how far it has come where nothing does. */
export function standsAs(wire: Wire): string {
  // One to be read again is still as far as it had come.
  if (wire.flags.length === 1 && wire.flags[0] === 'readAgain') return `${wordFor(words.states, wire.stage)}, ${wordFor(words.states, 'readAgain')}`;
  if (wire.flags.length > 0) return wire.flags.map((flag) => wordFor(words.states, flag)).join(', ');
  return wordFor(words.states, wire.state);
}

export interface MeasuredLength {
  nm: number;
  known: Known;
}

/** Lengths read inside to inside, the last one first. */
export function lengthsOf(wire: Wire): Known[] {
  return repeatsOf(wire, 'length').filter((k) => k.standing !== 'withdrawn');
}

export function lengthOf(wire: Wire): MeasuredLength | undefined {
  const last = latest(lengthsOf(wire));
  return last ? { nm: (last.value as { nm: number }).nm, known: last } : undefined;
}

/** The last crimp check at an end, `good` or `reject`. */
export function crimpOf(wire: Wire, post: string): { result: string; reason?: string; known: Known } | undefined {
  const mine = repeatsOf(wire, 'crimp', post).filter((k) => Number(k.tips[0]?.context.piece ?? 1) === wire.piece);
  const last = latest(mine);
  return last ? { ...(last.value as { result: string; reason?: string }), known: last } : undefined;
}
