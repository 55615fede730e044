// Ticks of acts, one wire or a whole run at a time. Pure.
import { crimpOf, cutOf, doneOf, issuedOf } from './wires';
import type { Run, Wire } from './view';

/** Acts in the order in which they are usually done; any order is accepted. */
export const ACTS = ['cut', 'insertionMarked', 'leftEndPressed', 'threaded', 'rightEndPressed', 'fitted', 'witnessMarked'] as const;
export type Act = (typeof ACTS)[number];

export function ticked(wire: Wire, act: Act): boolean {
  if (act === 'cut') return cutOf(wire) !== undefined;
  return toldBy(wire, act).length > 0;
}

/** The acts that were told of a wire by which this one is ticked: earlier versions told all marks in one word. */
export function toldBy(wire: Wire, act: Act): (Act | 'marksMade')[] {
  if (act === 'cut') return cutOf(wire) === undefined ? [] : ['cut'];
  const marks = act === 'insertionMarked' || act === 'witnessMarked';
  return [act, ...(marks ? (['marksMade'] as const) : [])].filter((told) => doneOf(wire, told));
}

export function leftToTick(run: Run, act: Act): Wire[] {
  return run.wires.filter((w) => !ticked(w, act));
}

/** Of these, the wires that are ready for the act: released ones are cut, the trial wire before all others; cut ones go on. */
export function readyToTick(run: Run, act: Act): Wire[] {
  const left = leftToTick(run, act);
  // Once both ends are pressed nobody can mark how far the strand goes in.
  if (act === 'insertionMarked') return left.filter((w) => ticked(w, 'cut') && !ticked(w, 'rightEndPressed') && !ticked(w, 'fitted'));
  if (act !== 'cut') return left.filter((w) => ticked(w, 'cut'));
  const released = left.filter((w) => issuedOf(w) !== undefined);
  const trial = released.filter((w) => w.number === run.trialWire);
  const fitted = run.wires.some((w) => w.number === run.trialWire && doneOf(w, 'fitted'));
  return trial.length > 0 && !fitted ? trial : released;
}

/** Wires whose pressed end has no crimp check yet, with the end's post. */
export function uncheckedCrimps(run: Run, end: 'left' | 'right'): { post: string; wires: number[] } {
  const post = (end === 'left' ? run.posts[0] : run.posts.at(-1))?.id ?? '';
  const pressed = run.wires.filter((w) => doneOf(w, end === 'left' ? 'leftEndPressed' : 'rightEndPressed'));
  return { post, wires: pressed.filter((w) => !crimpOf(w, post)).map((w) => w.number) };
}

/** Wires that are threaded and wait for the look before their second ends. */
export function toLookAt(run: Run): Wire[] {
  // A crimp that was looked at there was pressed there, ticked or not.
  const last = run.posts.at(-1)?.id ?? '';
  const pressed = (w: Wire) => doneOf(w, 'rightEndPressed') || doneOf(w, 'fitted') || crimpOf(w, last) !== undefined;
  return run.wires.filter((w) => doneOf(w, 'threaded') && !w.looked && !pressed(w));
}
