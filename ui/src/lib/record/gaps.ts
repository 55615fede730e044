// Gap checks of a bay: with which probe, and by whom. Pure.
import { mmOf, parseLength } from '$lib/core/length';
import type { Typed } from '$lib/generated/api';
import { known, latest, nmOf, repeatsOf, valueOf, type Bay, type Job, type Thing } from './view';

export interface Probe {
  tool: string;
  nm: number;
  /** The size as it was typed. */
  typed: Typed;
}

/** The job's probes that have a size. */
export function probesOf(job: Job | undefined): Thing[] {
  return (job?.tools ?? []).filter((t) => valueOf<string>(t, 'kind') === 'probe' && nmOf(t, 'size') !== undefined);
}

/** The probe that was chosen, or the only one there is; of several none is taken unasked. */
export function probeOf(job: Job | undefined, chosen = ''): Probe | undefined {
  const probes = probesOf(job);
  const found = probes.find((t) => t.id === chosen) ?? (probes.length === 1 ? probes[0] : undefined);
  if (!found) return undefined;
  const nm = nmOf(found, 'size') ?? 0;
  return { tool: found.id, nm, typed: typedAs(found, nm) };
}

/** What was typed when the probe's size was told, where it stands by itself for that very size; else millimetres. */
function typedAs(probe: Thing, nm: number): Typed {
  const said = known(probe, 'size')?.tips[0]?.context.entered;
  return typeof said === 'string' && parseLength(said, 'mm') === nm ? { text: said, unit: 'mm' } : { text: String(mmOf(nm)), unit: 'mm' };
}

/** Who offered the probe to the bay last; whether it stops there is the program's answer, `bay.gaps`. */
export function checkedBy(bay: Bay, run: string): string {
  return latest(repeatsOf(bay, 'gaps', run))?.tips[0]?.who ?? '';
}
