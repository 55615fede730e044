// Where the figures of a fitting set's terminals are from, after some of them were changed. Pure.
import { words } from '$lib/words';

/** A pair of terminals as the record has it. */
export interface Pair {
  left: Record<string, unknown>;
  right: Record<string, unknown>;
  unequalStartNm?: number | null;
  origin: string;
  origins?: Record<string, string>;
}

const SET = 'unequalStartNm';

function figure(pair: Pick<Pair, 'left' | 'right' | 'unequalStartNm'>, path: string): unknown {
  const [hand = '', name = ''] = path.split('.');
  const found = path === SET ? pair[SET] : hand === 'left' ? pair.left[name] : pair.right[name];
  return found ?? undefined;
}

/**
 * The pair with its origins: a figure that was changed is from where the form says now, one that was left as it stood
 * keeps its own. Throws in words where figures with origins of their own were changed and nobody said where the new ones
 * are from. `names` are the figures of one terminal.
 */
export function withOrigins(before: Pair, after: Pair, names: readonly string[]): Pair {
  const paths = [...names.flatMap((n) => [`left.${n}`, `right.${n}`]), SET];
  const own = before.origins ?? {};
  const stands = paths.filter((p) => figure(after, p) !== undefined);
  const changed = stands.filter((p) => figure(after, p) !== figure(before, p));
  const anew = after.origin !== before.origin;
  const each = Object.keys(own).length > 0;
  if (changed.length > 0 && each && !anew) throw new Error(words.facts.originAnew);
  // Of figures that are gone nothing is from anywhere; those of the set stand in facts of their own.
  const kept = Object.fromEntries(Object.entries(own).filter(([p]) => !paths.includes(p) || stands.includes(p)));
  const { origins: _, ...pair } = after;
  const told = (origin: string, origins: Record<string, string>): Pair => ({ ...pair, origin, ...(Object.keys(origins).length > 0 ? { origins } : {}) });
  if (changed.length === 0 || !anew) return told(after.origin, kept);
  const now = Object.fromEntries(stands.map((p) => [p, changed.includes(p) ? after.origin : (own[p] ?? before.origin)]));
  const apart = [...new Set(Object.values(now))].sort();
  // All changed: one origin is enough.
  const others = Object.fromEntries(Object.entries(kept).filter(([p]) => !paths.includes(p)));
  if (apart.length === 1) return told(after.origin, others);
  return told(apart.join('; '), { ...others, ...now });
}
