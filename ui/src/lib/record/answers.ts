// What the program works out for the screens: rules, tension, cuts, parts, holes, evidence.
import { call } from '$lib/core/call';
import type { BeforeOrdering, CutLine, CutSheet, DeductionBy, HandedOver, HoleSchedule, Lacks, LookedOver, Recorded, TakeOff, TensionPlan, VerifyWhat } from '$lib/generated/api';

export const loadOrdering = (job: string, run: string): Promise<BeforeOrdering> => call('beforeOrdering', { job, run });
export const loadTensionPlan = (job: string, run: string): Promise<TensionPlan> => call('tensionPlan', { job, run });
export const loadCuts = (job: string, run: string): Promise<CutSheet> => call('cutSheet', { job, run });

/** What a release names besides its wires. */
export interface Releasing {
  /** Why others than the trial wire go before it was fitted and read. */
  beforeTrial?: string;
  /** By which deduction, once a trial wire was read. */
  deduction?: DeductionBy;
  /** The person was asked about a trial reading, the bays or the table, and said yes. */
  confirmed?: boolean;
}

/** Releases wires for cutting at the lengths that `seen` shows; where one of them changed meanwhile, none is released. */
export function issueCuts(job: string, run: string, wires: number[], seen: CutLine[], more: Releasing = {}): Promise<Recorded> {
  const aim = (l: CutLine) => (more.deduction === 'learned' ? l.learned?.aimMm : l.aimMm) ?? null;
  const shown = seen.flatMap((l) => {
    const aimMm = aim(l);
    return aimMm !== null && wires.includes(l.wire) ? [{ wire: l.wire, aimMm }] : [];
  });
  return call('issueCuts', { job, run, wires: wires.join(','), seen: shown, ...more });
}
export const loadTakeOff = (job: string): Promise<TakeOff> => call('takeOff', { job });
export const loadHoles = (job: string, run: string): Promise<HoleSchedule> => call('holeSchedule', { job, run });

export const loadLacks = (job: string): Promise<Lacks> => call('lacks', { job });

export type { HandedOver };
export type Verified = Extract<LookedOver, { kind: 'handover' }>;

export async function startHandover(job: string, folder: string): Promise<string> {
  return (await call('startHandover', { job, ...(folder ? { folder } : {}) })).task;
}

/** Looks over a handover, this device's data or the shared folder. */
export async function startVerify(what: VerifyWhat, folder?: string): Promise<string> {
  return (await call('startVerify', { what, ...(folder ? { folder } : {}) })).task;
}
