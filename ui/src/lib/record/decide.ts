// Decisions: rule set, tensions, releases for cutting, ticks, sign-offs, evidence that stays away.
import { call } from '$lib/core/call';
import type { Act, Libraries, Recorded, SignStage, Tensions, Typed as AskTyped } from '$lib/generated/api';

/** A figure below the table or above a known limit is questioned; `confirmed` says yes to it. */
export function setTensions(job: string, run: string, tensions: Tensions, entered: string, confirmed = false): Promise<Recorded> {
  return call('setTensions', { job, run, tensions, entered, confirmed });
}

export function tickWires(job: string, run: string, wires: number[], act: Act, done: boolean, batch = '', confirmed = false): Promise<Recorded> {
  return call('tickWires', { job, run, wires: wires.join(','), act, done, confirmed, ...(batch ? { batch } : {}) });
}

/** Ticks a wire as cut at the length at which it was cut on site: of a run that no cut is computed for. */
export function cutOnSite(job: string, run: string, wire: number, onSite: AskTyped, batch = '', confirmed = false): Promise<Recorded> {
  return call('tickWires', { job, run, wires: String(wire), act: 'cut', done: true, onSite, confirmed, ...(batch ? { batch } : {}) });
}

export function signOff(job: string, stage: SignStage, statement: string): Promise<Recorded> {
  return call('signOff', { job, stage, statement });
}

/** Says why pieces of evidence stay away, in one act; an empty reason asks for them again. */
export function waiveEvidence(job: string, keys: string[], reason: string): Promise<Recorded> {
  return call('waiveEvidence', { job, keys, reason });
}

export type { Libraries };

/** What comes with the program. */
export function loadLibraries(): Promise<Libraries> {
  return call('libraries', {});
}

/** Copies a strand or fitting set of the library into the job. */
export function useTemplate(job: string, kind: 'strand' | 'fittingSet', key: string): Promise<Recorded> {
  return call(kind === 'strand' ? 'useStrand' : 'useFittingSet', { job, name: key });
}
