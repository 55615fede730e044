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

/** Wires whose release is looked at on the cut sheet before anybody cuts them. */
export const toLookAtFirst = (run: Run): Wire[] => leftToTick(run, 'cut').filter((w) => w.releaseMoved !== undefined);

/** Of these, the wires that are ready for the act: released ones whose release stands are cut, the trial wire before all others; cut ones go on. */
export function readyToTick(run: Run, act: Act): Wire[] {
  const left = leftToTick(run, act);
  if (act === 'insertionMarked') return left.filter((w) => ticked(w, 'cut') && canMark(run, w));
  if (act !== 'cut') return left.filter((w) => ticked(w, 'cut'));
  const released = left.filter((w) => issuedOf(w) !== undefined);
  const trial = released.filter((w) => w.number === run.trialWire);
  const fitted = run.wires.some((w) => w.number === run.trialWire && doneOf(w, 'fitted'));
  return (trial.length > 0 && !fitted ? trial : released).filter((w) => w.releaseMoved === undefined);
}

/** Once both ends are pressed nobody can mark how far the strand goes in. */
export const canMark = (run: Run, wire: Wire): boolean => !(pressedAt(run, wire, 'left') && pressedAt(run, wire, 'right'));

/** Of the wires whose ends are to be pressed those on which that is not marked yet. */
export function toMarkFirst(run: Run, act: Act): Wire[] {
  if (act !== 'leftEndPressed' && act !== 'rightEndPressed') return [];
  return readyToTick(run, act).filter((w) => !ticked(w, 'insertionMarked') && canMark(run, w));
}

const endOf = (run: Run, end: 'left' | 'right') => (end === 'left' ? run.posts[0] : run.posts.at(-1))?.id ?? '';
const tickOf = { left: 'leftEndPressed', right: 'rightEndPressed' } as const;

/** Whether an end is pressed: ticked so, or its crimp was looked at, or the wire is fitted. */
export function pressedAt(run: Run, wire: Wire, end: 'left' | 'right'): boolean {
  return doneOf(wire, tickOf[end]) || doneOf(wire, 'fitted') || crimpOf(wire, endOf(run, end)) !== undefined;
}

/** Wires whose pressed end has no crimp check yet, with the end's post. */
export function uncheckedCrimps(run: Run, end: 'left' | 'right'): { post: string; wires: number[] } {
  const post = endOf(run, end);
  const pressed = run.wires.filter((w) => doneOf(w, tickOf[end]));
  return { post, wires: pressed.filter((w) => !crimpOf(w, post)).map((w) => w.number) };
}

/** Wires that are threaded and wait for the look before their second ends. */
export function toLookAt(run: Run): Wire[] {
  return run.wires.filter((w) => doneOf(w, 'threaded') && !w.looked && !pressedAt(run, w, 'right'));
}
