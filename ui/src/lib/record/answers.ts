// What the program works out for the screens: rules, tension, cuts, parts, holes, evidence.
import { call } from '$lib/core/call';
import type { BeforeOrdering, CutLine, CutSheet, HoleSchedule, Lacks, Recorded, TakeOff, TensionPlan, VerifyWhat } from '$lib/generated/api';

export const loadOrdering = (job: string, run: string): Promise<BeforeOrdering> => call('beforeOrdering', { job, run });
export const loadTensionPlan = (job: string, run: string): Promise<TensionPlan> => call('tensionPlan', { job, run });
export const loadCuts = (job: string, run: string): Promise<CutSheet> => call('cutSheet', { job, run });

/**
 * Releases wires for cutting at the lengths that `seen` shows; where one of them changed meanwhile,
 * none is released. Other wires before the trial wire need a reason.
 */
export function issueCuts(job: string, run: string, wires: number[], seen: CutLine[], beforeTrial?: string): Promise<Recorded> {
  const shown = seen.flatMap((l) => (l.aimMm !== null && wires.includes(l.wire) ? [{ wire: l.wire, aimMm: l.aimMm }] : []));
  return call('issueCuts', { job, run, wires: wires.join(','), seen: shown, ...(beforeTrial ? { beforeTrial } : {}) });
}
export const loadTakeOff = (job: string): Promise<TakeOff> => call('takeOff', { job });
export const loadHoles = (job: string, run: string): Promise<HoleSchedule> => call('holeSchedule', { job, run });

export const loadLacks = (job: string): Promise<Lacks> => call('lacks', { job });

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
  return (await call('startHandover', { job, ...(folder ? { folder } : {}) })).task;
}

/** Looks over a handover, this device's data or the shared folder. */
export async function startVerify(what: VerifyWhat, folder?: string): Promise<string> {
  return (await call('startVerify', { what, ...(folder ? { folder } : {}) })).task;
}
