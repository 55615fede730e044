// What the program works out for the screens: rules, tension, cuts, parts, holes, evidence.
import { call } from '$lib/core/call';
import type { BeforeOrdering, CutSheet, HoleSchedule, Lacks, TakeOff, TensionPlan } from '$lib/provisional';
import type { Recorded } from './backend';

export const loadOrdering = (job: string, run: string) => call('beforeOrdering', { job, run }) as Promise<BeforeOrdering>;
export const loadTensionPlan = (job: string, run: string) => call('tensionPlan', { job, run }) as Promise<TensionPlan>;
export const loadCuts = (job: string, run: string) => call('cutSheet', { job, run }) as Promise<CutSheet>;

/** Releases wires for cutting, each with the numbers told here; other wires before the trial wire need a reason. */
export function issueCuts(job: string, run: string, wires: number[], beforeTrial?: string): Promise<Recorded> {
  return call('issueCuts', { job, run, wires: wires.join(','), ...(beforeTrial ? { beforeTrial } : {}) }) as Promise<Recorded>;
}
export const loadTakeOff = (job: string) => call('takeOff', { job }) as Promise<TakeOff>;
export const loadHoles = (job: string, run: string) => call('holeSchedule', { job, run }) as Promise<HoleSchedule>;

export const loadLacks = (job: string) => call('lacks', { job }) as Promise<Lacks>;

export interface HandedOver {
  folder: string;
  document: string;
  files: number;
  bytes: number;
  originals: number;
  missing: unknown;
}

export interface Verified {
  files: number;
  entries: number;
  crewEntries: number;
  originals: number;
  missing: unknown;
  notCounting: unknown;
}

export async function startHandover(job: string, folder: string): Promise<string> {
  return ((await call('startHandover', { job, ...(folder ? { folder } : {}) })) as { task: string }).task;
}

export async function startVerify(folder: string): Promise<string> {
  return ((await call('startVerifyHandover', { folder })) as { task: string }).task;
}
