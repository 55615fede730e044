// How far an end of a wire was turned in. Pure.
import type { Turns } from '$lib/generated/api';
import { byFlats } from './tensioning';
import { latest, repeatsOf, type Known, type Wire } from './view';

export interface TurnedIn {
  /** In all, on the piece in place. */
  all: Turns;
  /** The last turning, where there were others before it. */
  last?: Turns;
}

const NONE: Turns = { turns: 0, flats: 0 };
const FLATS = 6;
const valueOf = (known: Known) => known.value as Turns;
const isTurning = (known: Known) => typeof known.tips[0]?.context.toMn === 'number';

const atMs = (known: Known) => known.tips[0]?.at.ms ?? 0;

/** Turnings towards a tension are added up, from what was last read at the end on where it was; as in the handover. */
export function turnedIn(wire: Wire, post: string): TurnedIn | undefined {
  const here = repeatsOf(wire, 'turns', post).filter((k) => k.standing === 'agreed' && Number(k.tips[0]?.context.piece ?? 1) === wire.piece);
  const last = latest(here);
  if (!last) return undefined;
  if (!isTurning(last)) return { all: valueOf(last) };
  const read = latest(here.filter((k) => !isTurning(k)));
  const turnings = here.filter((k) => isTurning(k) && (!read || atMs(k) > atMs(read)));
  const all = turnings.map(valueOf).reduce((sum, { turns, flats }) => byFlats(sum, turns * FLATS + flats), read ? valueOf(read) : NONE);
  return turnings.length > 1 || read ? { all, last: valueOf(last) } : { all };
}
