// A wire that is taken out: the cause behind a reason, and the parts that are pressed on it for good. Pure.
import type { PartsUsed, TakenOutFor } from '$lib/generated/api';
import { valueOf, type Run, type Wire } from './view';
import { doneOf } from './wires';

/** The cause that a reason names; one's own words are another cause. */
export function causeOf(reason: string, causes: Record<TakenOutFor, string>): TakenOutFor {
  const found = Object.entries(causes).find(([, word]) => word === reason);
  return (found?.[0] as TakenOutFor | undefined) ?? 'other';
}

/** Terminals pressed on the piece that comes out, each hand apart: none of them can be used again. */
export function usedUp(run: Run, wire: Wire): PartsUsed | undefined {
  const used: PartsUsed = {};
  for (const [act, post] of [['leftEndPressed', run.posts[0]], ['rightEndPressed', run.posts.at(-1)]] as const) {
    const hand = valueOf<{ hand: string }>(post, 'end', run.id)?.hand;
    if (!doneOf(wire, act) || !hand) continue;
    const part = hand === 'LH' ? 'terminalsLeft' : 'terminalsRight';
    used[part] = (used[part] ?? 0) + 1;
  }
  return Object.keys(used).length > 0 ? used : undefined;
}
