// Ticks of acts, one wire or a whole run at a time. Pure.
import type { NewClaim } from './backend';
import { crimpOf, cutOf, doneOf, issuedOf } from './wires';
import type { Run, Wire } from './view';

/** Acts in the order in which they are usually done; any order is accepted. */
export const ACTS = ['cut', 'leftEndPressed', 'threaded', 'rightEndPressed', 'fitted', 'marksMade'] as const;
export type Act = (typeof ACTS)[number];

export function ticked(wire: Wire, act: Act): boolean {
  return act === 'cut' ? cutOf(wire) !== undefined || doneOf(wire, 'cut') : doneOf(wire, act);
}

/** What a tick says. A cut keeps the length that was issued, where one was. */
export function tickClaims(wire: Wire, act: Act): NewClaim[] {
  const context = { piece: wire.piece };
  const done = { subject: wire.subject, field: 'done', place: `${act}/${wire.piece}`, value: true, context };
  const issued = issuedOf(wire);
  if (act !== 'cut' || !issued) return [done];
  return [{ subject: wire.subject, field: 'cut', place: String(wire.piece), value: { nm: issued.cutNm }, context }, done];
}

export function leftToTick(run: Run, act: Act): Wire[] {
  return run.wires.filter((w) => !ticked(w, act));
}

/** Crimp checks for every pressed end that has none: the whole run found good. */
export function goodCrimps(run: Run, sample: string | undefined): NewClaim[] {
  const ends = [run.posts[0], run.posts.at(-1)];
  return run.wires.flatMap((wire) =>
    ends.flatMap((post, i) => {
      const pressed = ticked(wire, i === 0 ? 'leftEndPressed' : 'rightEndPressed');
      if (!post || !pressed || crimpOf(wire, post.id)) return [];
      const context = { piece: wire.piece, ...(sample ? { sample } : {}) };
      return [{ subject: wire.subject, field: 'crimp', place: post.id, value: { result: 'good' }, context }];
    })
  );
}
