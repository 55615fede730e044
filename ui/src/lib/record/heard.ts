// Tensions by sound and by a hung phone: recordings on their way to the program, and what it makes of them.
// They even wires up; nothing here counts.
import { call } from '$lib/core/call';
import { upload } from '$lib/core/pieces';
import { wavOf, type Take } from '$lib/core/wav';
import type { EvenUp, Hear, Heard, KeptHeard, Method, RawSource, Round as RoundSet, SpanHeld, Typed } from '$lib/generated/api';
import { notThere, type Round } from './round';
import { readings } from './wires';
import type { Run, Wire } from './view';

/** How a tension is read. */
export type Way = Method;
export const WAYS: Way[] = ['gauge', 'hungMass', 'sound', 'hungPhone'];

/** What is said once of the span that is heard. */
export interface Span {
  length: string;
  unit: Typed['unit'];
  held: SpanHeld | '';
  gramsPerMetre: string;
}

/** What a device remembers of the spans of a run: each bay has its own length and ends, the strand one mass. */
export interface Spans {
  at: Record<string, Pick<Span, 'length' | 'unit' | 'held'>>;
  gramsPerMetre: string;
  /** What hangs at mid span. */
  grams: string;
}

export function spanAt(spans: Spans, bay: string, unit: Span['unit']): Span {
  return { ...(spans.at[bay] ?? { length: '', unit, held: '' }), gramsPerMetre: spans.gramsPerMetre };
}

export function withSpan(spans: Spans, bay: string, { length, unit, held, gramsPerMetre }: Span): Spans {
  return { ...spans, at: { ...spans.at, [bay]: { length, unit, held } }, gramsPerMetre };
}

/** What is missing before a wire can be heard, by name. */
export function missingOfSpan(span: Span, bay: string): string[] {
  const lacks: string[] = [];
  if (!bay) lacks.push('bay');
  if (!span.length.trim()) lacks.push('length');
  if (!span.held) lacks.push('held');
  return lacks;
}

export async function send(bytes: Uint8Array<ArrayBuffer>): Promise<RawSource> {
  return { kind: 'upload', upload: await upload(new Blob([bytes])), bytes: bytes.length };
}

export const sendTake = (take: Take): Promise<RawSource> => send(wavOf(take));
export const sendFile = async (file: File): Promise<RawSource> => send(new Uint8Array(await file.arrayBuffer()));

/** Bytes that will not be used; that they could not be dropped is no matter, the program empties them. */
export function drop(sources: RawSource[]): void {
  for (const source of sources) if (source.kind === 'upload') void call('dropUpload', { upload: source.upload }).catch(() => undefined);
}

export function asked(job: string, run: string, wire: number, bay: string, span: Span, by: Hear['by']): Hear {
  const grams = span.gramsPerMetre.trim();
  return { job, run, wire, bay, length: { text: span.length.trim(), unit: span.unit }, by, ...(span.held ? { held: span.held } : {}), ...(grams ? { gramsPerMetre: grams } : {}) };
}

export const hear = (request: Hear): Promise<Heard> => call('hear', request);

/** What a recording told, beside all that it was worked out with. */
export interface Told {
  of: Hear;
  answer: Heard;
}

export const told = async (of: Hear): Promise<Told> => ({ of, answer: await hear(of) });

/** What a recording told, where it still goes by what stands on the glass: a span or a mass that was corrected since makes another figure. */
export function standing(heard: Told | undefined, now: Hear): Heard | undefined {
  return heard && JSON.stringify(heard.of) === JSON.stringify(now) ? heard.answer : undefined;
}

export const keepHeard = (heard: Hear, round: RoundSet): Promise<KeptHeard> => call('keepHeard', { heard, round });
export const loadEven = (job: string, run: string): Promise<EvenUp> => call('evenUp', { job, run });

/** Wires that were heard in this round by this way and turned since: what was heard of them holds no more. */
export function toHearAgain(even: EvenUp, round: Round, way: Way): number[] {
  const here = even.groups.filter((g) => g.method === way && g.bay === round.bay && g.stage === round.stage && (round.stage !== 'pass' || g.pass === round.pass));
  return here.flatMap((group) => group.again.map((line) => line.wire));
}

/** The next wire that this round has not heard by this way, or that is to be heard again: upwards and then round. */
export function nextToHear(run: Run, round: Round, way: Way, from: number, again: number[] = []): Wire | undefined {
  const here = (wire: Wire) => !again.includes(wire.number) && readings(wire).some((r) => r.method === way && r.stage === round.stage && r.place === round.bay && (round.stage !== 'pass' || r.pass === round.pass));
  const away = notThere(run);
  const open = run.wires.filter((w) => !here(w) && !away.includes(w) && w.number !== from).sort((a, b) => a.number - b.number);
  return open.find((w) => w.number > from) ?? open[0];
}

/** The wire after one that was just heard; the same where the round is through. */
export async function afterHeard(job: string, run: Run, round: Round, way: Way, from: number): Promise<number> {
  const even = await loadEven(job, run.id).catch(() => undefined);
  return nextToHear(run, round, way, from, even ? toHearAgain(even, round, way) : [])?.number ?? from;
}

/** How many plucks count so far: those that were read by themselves. */
export function readSoFar(heard: Heard | undefined): number {
  return heard?.plucks.filter((p) => !p.refused).length ?? 0;
}

/** Whether the last pluck was not read, so that it is taken again. */
export function lastRefused(heard: Heard | undefined): boolean {
  return !!heard?.plucks.at(-1)?.refused;
}
