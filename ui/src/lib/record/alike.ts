// What other things of the same kind have under a field, so that it is not typed again. Each value once.
import { loadThing } from './backend';
import type { Fact } from './fact';
import { known, type Thing } from './view';

/** More than these are no choice for a thumb. */
const OFFERED = 3;

export interface Alike {
  name: string;
  value: unknown;
}

/** The values that stand at others, with the first that has each. */
export function distinct(things: Thing[], field: string): Alike[] {
  const found = new Map<string, Alike>();
  for (const thing of things) {
    const k = known(thing, field);
    const key = JSON.stringify(k?.value);
    if (k?.standing === 'agreed' && k.value !== null && k.value !== undefined && !found.has(key)) found.set(key, { name: thing.name, value: k.value });
  }
  return [...found.values()].slice(0, OFFERED);
}

export async function alikeOf(job: string, others: Thing[], fact: Fact): Promise<Alike[]> {
  return distinct(await Promise.all(others.map((other) => loadThing(job, other))), fact.field);
}
