import { describe, expect, it } from 'vitest';
import { showLengthsIn } from '$lib/core/format.svelte';
import { between, figureOf, inOrder, namesOf, noteOf, partsOf, seen, titleOf, told } from './cut-plan';
import type { CutGroup, PlannedCut, StockItem } from '$lib/generated/api';
import { words } from '$lib/words';

const cut = (wire: number, more: Partial<PlannedCut> = {}): PlannedCut => ({
  number: wire, run: 'r', wire, piece: 1, name: `A${wire}`, end: 'A1:LH', cutMm: 7235, shortestMm: 7223.66, longestMm: 7245.94, trial: false, leftMm: 52_765, ...more
});
const group = (more: Partial<CutGroup> = {}): CutGroup => ({
  stock: 'batch:b', name: 'R-1', kind: 'reel', trial: false, cuts: [cut(1), cut(2)], leftMm: 52_765, ...more
});
const item = (id: string, state: StockItem['state'], more: Partial<StockItem> = {}): StockItem => ({
  id, name: id, batch: 'b', strand: 's', kind: 'reel', lengthMm: 60_000, cuts: [], cutMm: 0, lostMm: 0, scrappedMm: 0, leftMm: 60_000, state, problem: null, ...more
});

describe('a batch', () => {
  it('is ticked off as it was seen, each wire with its reel', () => {
    const g = group({ cuts: [cut(3, { piece: 2, cutMm: 2473 })] });
    expect(seen(g, g.cuts)).toEqual([{ run: 'r', wire: 3, piece: 2, cutMm: 2473, stock: 'batch:b' }]);
  });
  it('of a reel that has to be ordered ticks nothing off', () => {
    const g = group({ stock: null, name: 'reel to order 1' });
    expect(seen(g, g.cuts)).toEqual([]);
    expect(titleOf(g)).toBe('reel to order 1: order it first');
  });
  it('says what it is cut from, trial wires apart', () => {
    expect(titleOf(group())).toBe('From R-1');
    expect(titleOf(group({ trial: true }))).toBe('Trial wires first, from R-1');
  });
  it('names a few wires', () => {
    expect(namesOf([cut(1)])).toBe('A1');
    expect(namesOf([1, 2, 3, 4].map((n) => cut(n)))).toBe('A1, A2, A3 …');
  });
  it('tells the aim with what it must lie between, rounded inwards', () => {
    expect(`${told(cut(6).cutMm)}, ${between(cut(6))}`).toBe('7235\u00a0mm, 7223.7 to 7245.9');
    showLengthsIn('in');
    expect(`${told(cut(6).cutMm)}, ${between(cut(6))}`).toBe('284\u00a013/16\u00a0in, 284\u00a07/16 to 285\u00a01/4');
    showLengthsIn('mm');
  });
  it('tells the end and what is left, long leftovers in metres', () => {
    expect(noteOf(cut(6))).toBe('post A1:LH · 52.8\u00a0m left');
    expect(noteOf(cut(6, { end: '', leftMm: 2130 }))).toBe('2130\u00a0mm left');
  });
});

describe('stock', () => {
  it('tells only what there is to tell', () => {
    expect(partsOf(item('a', 'whole'))).toEqual(['60\u00a0m as it came']);
    expect(partsOf(item('a', 'started', { cutMm: 7235, lostMm: 2, scrappedMm: 12_000 }))).toEqual(['60\u00a0m as it came', '7235\u00a0mm cut', '2\u00a0mm lost at cuts', '12\u00a0m thrown away']);
    expect(partsOf(item('a', 'notKnown', { lengthMm: null }))).toEqual([]);
  });
  it('that is not there has a word, not a length that could be cut from', () => {
    const figures = (['whole', 'notCome', 'wrong', 'notKnown'] as const).map((state) => figureOf(item('a', state)));
    expect(figures).toEqual(['60\u00a0m', 'not come', 'came wrong', '?']);
    expect(partsOf(item('a', 'notCome'))).toEqual(['60\u00a0m to come']);
  });
  it('has a word for every state', () => {
    const states: StockItem['state'][] = ['whole', 'started', 'usedUp', 'scrap', 'notCome', 'wrong', 'notKnown'];
    expect(states.filter((state) => !words.stock.states[state])).toEqual([]);
  });
  it('puts what can be cut from first', () => {
    const list = [item('a', 'usedUp'), item('b', 'started'), item('c', 'scrap'), item('d', 'whole'), item('e', 'notKnown'), item('f', 'notCome'), item('g', 'wrong')];
    expect(inOrder(list).map((i) => i.id)).toEqual(['b', 'd', 'a', 'c', 'e', 'f', 'g']);
  });
});
