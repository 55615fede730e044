// Gap checks of a bay: the whole of it and single openings, by the last word. Pure.
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

export function gapOf(bay: Bay, run: string): { result: string; who: string } | undefined {
  const last = latest(repeatsOf(bay, 'gaps', run));
  return last ? { result: (last.value as { result: string }).result, who: last.tips[0]?.who ?? '' } : undefined;
}

/** Openings at which the probe passed and has not been stopped since. */
export function gapsFailing(bay: Bay, run: string): { lower: number }[] {
  const whole = latest(repeatsOf(bay, 'gaps', run));
  const stoppedAt = (whole?.value as { result?: string } | undefined)?.result === 'stops' ? (whole?.tips[0]?.at.ms ?? 0) : -1;
  const places = new Set(repeatsOf(bay, 'gaps').map((k) => k.place).filter((p) => p.startsWith(`${run}/`)));
  return [...places]
    .map((place) => ({ place, last: latest(repeatsOf(bay, 'gaps', place)) }))
    .filter(({ last }) => (last?.value as { result?: string } | undefined)?.result === 'passes' && (last?.tips[0]?.at.ms ?? 0) > stoppedAt)
    .map(({ place }) => ({ lower: Number(place.split('/')[1]) }))
    .sort((a, b) => a.lower - b.lower);
}
