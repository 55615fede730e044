// What the crimps of a round are pressed with: set once, kept for the day on this device, each of it optional. Pure.
import type { CheckCrimps } from '$lib/generated/api';
import { valueOf, type Job, type Thing } from './view';

/** As remembered; on another day nothing of it counts. */
export interface CrimpsWith {
  day: string;
  press: string;
  die: string;
  batch: string;
}

export const NOTHING_SAID: CrimpsWith = { day: '', press: '', die: '', batch: '' };

export const crimpsWithKey = (job: string): string => `crimps-${job}`;

/** What can be picked: presses, dies, and deliveries that are no strand. */
export function choicesIn(job: Job | undefined): Record<'press' | 'die' | 'batch', Thing[]> {
  const tools = (kind: string) => (job?.tools ?? []).filter((t) => valueOf<string>(t, 'kind') === kind);
  return { press: tools('press'), die: tools('die'), batch: (job?.batches ?? []).filter((b) => valueOf<string>(b, 'kind') !== 'strand') };
}

/** What every crimp of the round carries: what was said today and is still there. */
export function crimpsMade(job: Job | undefined, said: CrimpsWith, day: string): Pick<CheckCrimps, 'press' | 'die' | 'batch'> {
  if (said.day !== day) return {};
  const choices = choicesIn(job);
  const kept = (['press', 'die', 'batch'] as const).filter((kind) => choices[kind].some((thing) => thing.id === said[kind]));
  return Object.fromEntries(kept.map((kind) => [kind, said[kind]]));
}
