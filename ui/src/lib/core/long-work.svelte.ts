// Long work that outlives the screen that began it: what a screen finds again when somebody comes back to it.
import { follow, type TaskSeen } from './task.svelte';

export interface Work {
  busy: boolean;
  seen: TaskSeen | undefined;
  /** What it answered; nothing before its end, and after one that was cancelled. */
  result: unknown;
  fault: string;
}

const idle = (): Work => ({ busy: false, seen: undefined, result: undefined, fault: '' });

/** By name, for as long as this page is open. */
const kept: Record<string, Work> = $state({});

/** Work of this name, or of one component alone where it has none. */
export function workOf(name: string): Work {
  if (!name) return idle();
  return kept[name] ?? idle();
}

/** Begins work and follows it to its end, whoever looks on; what it told before is gone. */
export async function begin(name: string, start: () => Promise<string>, changed: (work: Work) => void = () => undefined): Promise<Work> {
  let work: Work = { ...idle(), busy: true };
  const tell = (more: Partial<Work>) => {
    work = { ...work, ...more };
    if (name) kept[name] = work;
    changed(work);
  };
  tell({});
  try {
    const result = await follow(await start(), (seen) => tell({ seen }));
    tell({ result, busy: false, seen: undefined });
  } catch (e) {
    tell({ fault: e instanceof Error ? e.message : String(e), busy: false, seen: undefined });
  }
  return work;
}
