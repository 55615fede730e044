// Gap checks of a bay: with which probe, and by whom. Pure.
import { latest, nmOf, repeatsOf, valueOf, type Bay, type Job, type Thing } from './view';

export interface Probe {
  tool: string;
  nm: number;
}

/** The job's probes that have a size. */
export function probesOf(job: Job | undefined): Thing[] {
  return (job?.tools ?? []).filter((t) => valueOf<string>(t, 'kind') === 'probe' && nmOf(t, 'size') !== undefined);
}

/** The probe that was chosen, or the only one there is; of several none is taken unasked. */
export function probeOf(job: Job | undefined, chosen = ''): Probe | undefined {
  const probes = probesOf(job);
  const found = probes.find((t) => t.id === chosen) ?? (probes.length === 1 ? probes[0] : undefined);
  return found ? { tool: found.id, nm: nmOf(found, 'size') ?? 0 } : undefined;
}

/** Who offered the probe to the bay last; whether it stops there is the program's answer, `bay.gaps`. */
export function checkedBy(bay: Bay, run: string): string {
  return latest(repeatsOf(bay, 'gaps', run))?.tips[0]?.who ?? '';
}
