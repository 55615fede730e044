// Acts with rules of their own: measuring, tension, gaps, crimps, pictures. The program checks and questions them.
import { call } from '$lib/core/call';
import type { LengthUnit } from '$lib/core/length';
import type { Recorded } from './backend';

/** A length as it was typed. */
export interface Typed {
  text: string;
  unit: LengthUnit;
}

export interface LengthConditions {
  purpose: string;
  posts: string;
  faces: string;
  instrument: string;
}

export function measure(
  job: string,
  run: string,
  wire: number,
  length: Typed,
  conditions: LengthConditions,
  over: string[],
  confirmed: boolean
): Promise<Recorded> {
  const { purpose, posts, faces, instrument } = conditions;
  return call('measure', { job, run, wire, length, purpose, posts, faces, instrument, over, confirmed }) as Promise<Recorded>;
}

export function measureBay(
  job: string,
  bay: string,
  length: Typed,
  along: string,
  instrument: string,
  over: string[],
  confirmed: boolean
): Promise<Recorded> {
  return call('measureBay', { job, bay, length, along, instrument, over, confirmed }) as Promise<Recorded>;
}

/** What is set once for a round of readings. */
export interface RoundSet {
  bay: string;
  stage: string;
  pass?: number;
  gauge?: string;
  air?: string;
  wireTemperature?: string;
  sun?: string;
}

export function readTension(job: string, run: string, wire: number, newtons: string, round: RoundSet, confirmed: boolean): Promise<Recorded> {
  return call('readTension', { job, run, wire, newtons, round, confirmed }) as Promise<Recorded>;
}

export function readDeflection(job: string, run: string, wire: number, deflection: Typed, grams: string, round: RoundSet): Promise<Recorded> {
  return call('readDeflection', { job, run, wire, deflection, grams, round }) as Promise<Recorded>;
}

export interface GapException {
  aboveWire: number;
  result: 'stops' | 'passes';
}

export function checkGaps(job: string, run: string, bay: string, probe: Typed, exceptions: GapException[]): Promise<Recorded> {
  return call('checkGaps', { job, run, bay, probe, exceptions }) as Promise<Recorded>;
}

export function checkCrimps(
  job: string,
  run: string,
  wires: number[],
  post: string,
  result: string,
  reason: string | undefined,
  sample: string | undefined
): Promise<Recorded> {
  const more = { ...(reason ? { reason } : {}), ...(sample ? { sample } : {}) };
  return call('checkCrimps', { job, run, wires: wires.join(','), post, result, ...more }) as Promise<Recorded>;
}

export interface EndRead {
  threadLeft?: Typed;
  turns?: { turns: number; flats: number };
  markMoved?: string;
  markHidden?: boolean;
}

export function readEnd(job: string, run: string, wire: number, post: string, read: EndRead): Promise<Recorded> {
  return call('readEnd', { job, run, wires: String(wire), post, ...read }) as Promise<Recorded>;
}

export function remakeWire(job: string, run: string, wire: number, reason: string): Promise<Recorded> {
  return call('remakeWire', { job, run, wire, reason }) as Promise<Recorded>;
}

export function addSampleCrimp(job: string, sample: unknown, made: Record<string, unknown>): Promise<Recorded> {
  return call('addSampleCrimp', { job, sample, with: made }) as Promise<Recorded>;
}

export interface PhotoIn {
  upload: string;
  bytes: number;
  name: string;
  caption: string;
  shows: { subject: string; evidence: string }[];
  takenNow: boolean;
  position?: { latE7: number; lonE7: number; accuracyNm?: number };
}

export function addPhoto(job: string, photo: PhotoIn): Promise<Recorded> {
  return call('addPhoto', { job, ...photo }) as Promise<Recorded>;
}

export function addDocument(job: string, document: Omit<PhotoIn, 'caption' | 'takenNow' | 'position'>): Promise<Recorded> {
  return call('addDocument', { job, ...document }) as Promise<Recorded>;
}
