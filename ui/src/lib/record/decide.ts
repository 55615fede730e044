// Decisions: rule set, tensions, releases for cutting, ticks, sign-offs, evidence that stays away.
import { call } from '$lib/core/call';
import type { Recorded } from './backend';

export interface TensionDecision {
  requiredMn: number;
  setMn: number;
  upperMn: number;
  passesMn: number[];
  requiredOrigin: string;
  upperOrigin: string;
}

export function setTensions(job: string, run: string, tensions: TensionDecision): Promise<Recorded> {
  return call('setTensions', { job, run, tensions }) as Promise<Recorded>;
}

export function tickWires(job: string, run: string, wires: number[], act: string, done: boolean): Promise<Recorded> {
  return call('tickWires', { job, run, wires: wires.join(','), act, done }) as Promise<Recorded>;
}

export function signOff(job: string, stage: string, statement: string): Promise<Recorded> {
  return call('signOff', { job, stage, statement }) as Promise<Recorded>;
}

export interface Libraries {
  ruleSets: { name: string; title: string }[];
  strands: { key: string; name: string }[];
  fittingSets: { key: string; name: string }[];
}

/** What comes with the program. */
export function loadLibraries(): Promise<Libraries> {
  return call('libraries', {}) as Promise<Libraries>;
}

/** Copies a strand or fitting set of the library into the job. */
export function useTemplate(job: string, kind: 'strand' | 'fittingSet', key: string): Promise<Recorded> {
  return call(kind === 'strand' ? 'useStrand' : 'useFittingSet', { job, name: key }) as Promise<Recorded>;
}

/** The rule sets that the program carries, by name and title. */
export async function loadRuleSets(): Promise<[string, string][]> {
  return (await loadLibraries()).ruleSets.map((r) => [r.name, r.title]);
}

/** Copies a rule set whole into the job. */
export function chooseRuleSet(job: string, name: string): Promise<Recorded> {
  return call('useRuleSet', { job, name }) as Promise<Recorded>;
}
