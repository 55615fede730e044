// Gap checks of a bay: with which probe, and by whom. Pure.
import { latest, nmOf, repeatsOf, valueOf, type Bay, type Job } from './view';

export interface Probe {
  tool: string;
  nm: number;
}

/** The job's probe: the last one entered that has a size. */
export function probeOf(job: Job | undefined): Probe | undefined {
  const probes = (job?.tools ?? []).filter((t) => valueOf<string>(t, 'kind') === 'probe' && nmOf(t, 'size') !== undefined);
  const last = probes.at(-1);
  return last ? { tool: last.id, nm: nmOf(last, 'size') ?? 0 } : undefined;
}

/** Who offered the probe to the bay last; whether it stops there is the program's answer, `bay.gaps`. */
export function checkedBy(bay: Bay, run: string): string {
  return latest(repeatsOf(bay, 'gaps', run))?.tips[0]?.who ?? '';
}
