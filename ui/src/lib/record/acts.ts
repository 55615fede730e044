// Acts with rules of their own: measuring, tension, gaps, crimps, pictures. The program checks and questions them.
import { call } from '$lib/core/call';
import type {
  AddDocument,
  AddPhoto,
  Along,
  CheckCrimps,
  CheckGaps,
  CrimpRead,
  CrimpResult,
  GapException,
  Instrument,
  Measure,
  ReadEnd,
  Recorded,
  RemakeWire,
  Round,
  SampleCrimp,
  ShowsWhat,
  Typed
} from '$lib/generated/api';

/** `proud` is typed; it tells of post faces alone. `tool` is one of the job's tools. */
export interface LengthConditions extends Pick<Measure, 'purpose' | 'posts' | 'faces' | 'instrument'> {
  proud?: Typed;
  tool?: string;
}

/** A length inside to inside. `over` are the words it corrects; none for a repeat. */
export function measure(
  job: string,
  run: string,
  wire: number,
  length: Typed,
  conditions: LengthConditions,
  over: string[],
  confirmed: boolean
): Promise<Recorded> {
  const { purpose, posts, faces, instrument, proud, tool } = conditions;
  const more = { ...(faces === 'postFaces' && proud?.text.trim() ? { proud } : {}), ...(tool ? { tool } : {}) };
  return call('measure', { job, run, wire, length, purpose, posts, faces, instrument, over, confirmed, ...more });
}

/** How a bay's clear distance was read. */
export interface BayConditions {
  along: Along;
  instrument: Instrument;
  tool?: string;
}

export function measureBay(
  job: string,
  bay: string,
  length: Typed,
  conditions: BayConditions,
  over: string[],
  confirmed: boolean
): Promise<Recorded> {
  return call('measureBay', { job, bay, length, over, confirmed, ...conditions });
}

/** What is set once for a round of readings. */
export type RoundSet = Round;

export function readTension(job: string, run: string, wire: number, newtons: string, round: RoundSet, confirmed: boolean, raw = ''): Promise<Recorded> {
  return call('readTension', { job, run, wire, newtons, round, confirmed, ...(raw.trim() ? { raw: raw.trim() } : {}) });
}

export function readDeflection(job: string, run: string, wire: number, deflection: Typed, grams: string, round: RoundSet, confirmed = false): Promise<Recorded> {
  return call('readDeflection', { job, run, wire, deflection, grams, round, confirmed });
}

/** `offered` tells which of the job's tools the probe is, and the push where it was measured. */
export function checkGaps(job: string, run: string, bay: string, probe: Typed, exceptions: GapException[], offered: Pick<CheckGaps, 'tool' | 'push' | 'confirmed'> = {}): Promise<Recorded> {
  return call('checkGaps', { job, run, bay, probe, exceptions, ...offered });
}

export function checkCrimps(
  job: string,
  run: string,
  wires: number[],
  post: string,
  result: CrimpResult,
  reason: string | undefined,
  sample: string | undefined,
  confirmed = false,
  made: Pick<CheckCrimps, 'press' | 'die' | 'batch'> = {}
): Promise<Recorded> {
  const more = { ...(reason ? { reason } : {}), ...(sample ? { sample } : {}), ...made, confirmed };
  return call('checkCrimps', { job, run, wires: wires.join(','), post, result, ...more });
}

export type EndRead = Pick<ReadEnd, 'threadLeft' | 'turns' | 'markMoved' | 'markHidden' | 'nutTight' | 'endOut'>;

export function readEnd(job: string, run: string, wire: number, post: string, read: EndRead, confirmed = false): Promise<Recorded> {
  return call('readEnd', { job, run, wires: String(wire), post, ...read, confirmed });
}

/** `taken` tells the cause from the trade's list and what can't be used again. */
export function remakeWire(job: string, run: string, wire: number, reason: string, taken: Pick<RemakeWire, 'cause' | 'used'> = {}): Promise<Recorded> {
  return call('remakeWire', { job, run, wire, reason, ...taken });
}

export function addSampleCrimp(job: string, sample: SampleCrimp, made: CrimpRead, confirmed = false): Promise<Recorded> {
  return call('addSampleCrimp', { job, sample, with: made, confirmed });
}

export function addPhoto(job: string, photo: Omit<AddPhoto, 'job'>): Promise<Recorded> {
  return call('addPhoto', { job, ...photo });
}

export function addDocument(job: string, document: Omit<AddDocument, 'job'>): Promise<Recorded> {
  return call('addDocument', { job, ...document });
}

/** Ties a picture or document to what it shows, or unties it. */
export function tiePicture(job: string, picture: string, shows: ShowsWhat, tied: boolean, confirmed = false): Promise<Recorded> {
  return call('tiePicture', { job, picture, shows, tied, confirmed });
}
