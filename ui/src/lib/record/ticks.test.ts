import { expect, it } from 'vitest';
import { readyToTick, ticked, toldBy, toLookAt, toLookAtFirst, toMarkFirst, type Act } from './ticks';
import type { Known, Run, Wire } from './view';

const known = (field: string, place: string, value: unknown): Known => ({ subject: '', field, place, many: false, standing: 'agreed', value, tips: [] }) as unknown as Known;

function wire(number: number, told: { released?: boolean; done?: Act[] }): Wire {
  const facts: Record<string, Known> = {};
  if (told.released) facts['cutIssued@1'] = known('cutIssued', '1', { cutNm: 1, shortestNm: 1, longestNm: 1 });
  for (const act of told.done ?? []) facts[act === 'cut' ? 'cut@1' : `done@${act}/1`] = act === 'cut' ? known('cut', '1', { nm: 1 }) : known('done', `${act}/1`, true);
  return { subject: `wire:r:${number}`, id: '', name: '', number, piece: 1, facts, repeats: {} } as unknown as Wire;
}
const ends = [{ id: 'p' }, { id: 'q' }];
const ready = (wires: Wire[], act: Act) => readyToTick({ trialWire: 2, posts: ends, wires } as Run, act).map((w) => w.number);

/** The wire with a crimp that was looked at, at each of these posts. */
function crimped(wire: Wire, ...posts: string[]): Wire {
  const tips = [{ claim: 'c', value: { result: 'good' }, who: 'ben', at: { ms: 1, offsetMin: 0, suspect: false }, context: { piece: 1 } }];
  const crimp = posts.map((place) => ({ subject: wire.subject, field: 'crimp', place, standing: 'agreed', value: { result: 'good' }, tips }));
  return { ...wire, piece: 1, repeats: { crimp } } as unknown as Wire;
}

it('what is offered to be cut is released, and the trial wire goes first', () => {
  const released = { released: true };
  expect(ready([wire(1, released), wire(2, released), wire(3, {})], 'cut')).toEqual([2]);
  expect(ready([wire(1, released), wire(2, { released: true, done: ['cut', 'fitted'] }), wire(3, {})], 'cut')).toEqual([1]);
  expect(ready([wire(1, {}), wire(2, {}), wire(3, {})], 'cut')).toEqual([]);
});
it('a release that moved is looked at first, and is not ready', () => {
  const moved = (number: number, done: Act[] = []) => ({ ...wire(number, { released: true, done }), releaseMoved: 'the sheet gives 7243 mm for it now' });
  const first = (wires: Wire[]) => toLookAtFirst({ trialWire: 2, posts: ends, wires } as Run).map((w) => w.number);
  const some = [moved(1), wire(2, { released: true, done: ['cut', 'fitted'] }), wire(3, { released: true })];
  expect([ready(some, 'cut'), first(some)]).toEqual([[3], [1]]);
  // The trial wire is waited for all the same.
  const trial = [wire(1, { released: true }), moved(2)];
  expect([ready(trial, 'cut'), first(trial)]).toEqual([[], [2]]);
});
it('what is offered to be fitted is cut', () => {
  expect(ready([wire(1, { released: true }), wire(2, { done: ['cut'] }), wire(3, { done: ['cut', 'fitted'] })], 'fitted')).toEqual([2]);
});

it('what is marked before the press is offered until both ends are pressed', () => {
  const cut = (...more: Act[]) => ({ done: ['cut', ...more] as Act[] });
  const ticked = [wire(1, cut()), wire(2, cut('leftEndPressed')), wire(3, cut('rightEndPressed')), wire(4, cut('fitted')), wire(5, {}), wire(6, cut('leftEndPressed', 'rightEndPressed'))];
  expect(ready(ticked, 'insertionMarked')).toEqual([1, 2, 3]);
  // A crimp that was looked at was pressed, ticked or not.
  expect(ready([crimped(wire(1, cut()), 'p', 'q'), crimped(wire(2, cut()), 'q'), crimped(wire(3, cut('leftEndPressed')), 'q')], 'insertionMarked')).toEqual([2]);
  // Before an end is pressed the wires without that mark are told.
  const unmarked = (wires: Wire[], act: Act) => toMarkFirst({ trialWire: 2, posts: ends, wires } as Run, act).map((w) => w.number);
  const some = [wire(1, cut()), wire(2, cut('insertionMarked')), crimped(wire(3, cut()), 'p', 'q'), wire(4, {})];
  expect([unmarked(some, 'leftEndPressed'), unmarked(some, 'rightEndPressed'), unmarked(some, 'threaded')]).toEqual([[1], [1], []]);
});

it('all marks in one word, as earlier versions told it, stand for both, and are taken back by either', () => {
  const earlier = wire(1, { done: ['cut', 'marksMade' as Act] });
  expect((['insertionMarked', 'witnessMarked', 'fitted'] as const).map((act) => ticked(earlier, act))).toEqual([true, true, false]);
  expect(toldBy(earlier, 'witnessMarked')).toEqual(['marksMade']);
  expect(toldBy(wire(1, { done: ['witnessMarked', 'marksMade' as Act] }), 'witnessMarked')).toEqual(['witnessMarked', 'marksMade']);
});

it('what waits for a look is threaded, not pressed, and was not looked at', () => {
  const looked = { ...wire(4, { done: ['cut', 'threaded'] }), looked: true };
  const wires = [wire(1, { done: ['cut'] }), wire(2, { done: ['cut', 'threaded'] }), wire(3, { done: ['cut', 'threaded', 'rightEndPressed'] }), looked, wire(5, { done: ['threaded', 'fitted'] }), crimped(wire(6, { done: ['cut', 'threaded'] }), 'q')];
  expect(toLookAt({ trialWire: 2, posts: ends, wires } as Run).map((w) => w.number)).toEqual([2]);
});
