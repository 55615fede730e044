import { expect, it } from 'vitest';
import { readyToTick, ticked, toldBy, toLookAt, type Act } from './ticks';
import type { Known, Run, Wire } from './view';

const known = (field: string, place: string, value: unknown): Known => ({ subject: '', field, place, many: false, standing: 'agreed', value, tips: [] }) as unknown as Known;

function wire(number: number, told: { released?: boolean; done?: Act[] }): Wire {
  const facts: Record<string, Known> = {};
  if (told.released) facts['cutIssued@1'] = known('cutIssued', '1', { cutNm: 1, shortestNm: 1, longestNm: 1 });
  for (const act of told.done ?? []) facts[act === 'cut' ? 'cut@1' : `done@${act}/1`] = act === 'cut' ? known('cut', '1', { nm: 1 }) : known('done', `${act}/1`, true);
  return { subject: `wire:r:${number}`, id: '', name: '', number, piece: 1, facts, repeats: {} } as unknown as Wire;
}
const ready = (wires: Wire[], act: Act) => readyToTick({ trialWire: 2, wires } as Run, act).map((w) => w.number);

it('what is offered to be cut is released, and the trial wire goes first', () => {
  const released = { released: true };
  expect(ready([wire(1, released), wire(2, released), wire(3, {})], 'cut')).toEqual([2]);
  expect(ready([wire(1, released), wire(2, { released: true, done: ['cut', 'fitted'] }), wire(3, {})], 'cut')).toEqual([1]);
  expect(ready([wire(1, {}), wire(2, {}), wire(3, {})], 'cut')).toEqual([]);
});
it('what is offered to be fitted is cut', () => {
  expect(ready([wire(1, { released: true }), wire(2, { done: ['cut'] }), wire(3, { done: ['cut', 'fitted'] })], 'fitted')).toEqual([2]);
});

it('what is marked before the press is offered until both ends are pressed', () => {
  const cut = (...more: Act[]) => ({ done: ['cut', ...more] as Act[] });
  expect(ready([wire(1, cut()), wire(2, cut('leftEndPressed')), wire(3, cut('rightEndPressed')), wire(4, cut('fitted')), wire(5, {})], 'insertionMarked')).toEqual([1, 2]);
});

it('all marks in one word, as earlier versions told it, stand for both, and are taken back by either', () => {
  const earlier = wire(1, { done: ['cut', 'marksMade' as Act] });
  expect((['insertionMarked', 'witnessMarked', 'fitted'] as const).map((act) => ticked(earlier, act))).toEqual([true, true, false]);
  expect(toldBy(earlier, 'witnessMarked')).toEqual(['marksMade']);
  expect(toldBy(wire(1, { done: ['witnessMarked', 'marksMade' as Act] }), 'witnessMarked')).toEqual(['witnessMarked', 'marksMade']);
});

it('what waits for a look is threaded, not pressed, and was not looked at', () => {
  const tips = [{ claim: 'c', value: { result: 'good' }, who: 'ben', at: { ms: 1, offsetMin: 0, suspect: false }, context: { piece: 1 } }];
  const crimp = [{ subject: 'wire:r:6', field: 'crimp', place: 'q', standing: 'agreed', value: { result: 'good' }, tips }];
  const crimped = { ...wire(6, { done: ['cut', 'threaded'] }), piece: 1, repeats: { crimp } } as unknown as Wire;
  const looked = { ...wire(4, { done: ['cut', 'threaded'] }), looked: true };
  const wires = [wire(1, { done: ['cut'] }), wire(2, { done: ['cut', 'threaded'] }), wire(3, { done: ['cut', 'threaded', 'rightEndPressed'] }), looked, wire(5, { done: ['threaded', 'fitted'] }), crimped];
  expect(toLookAt({ trialWire: 2, posts: [{ id: 'p' }, { id: 'q' }], wires } as Run).map((w) => w.number)).toEqual([2]);
});
