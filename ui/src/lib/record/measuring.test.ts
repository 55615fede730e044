import { describe, expect, it } from 'vitest';
import { bayClear, besideBay, middleOf, nextStep, readForNoCut, steps } from './measuring';
import type { Known, Run } from './view';

const MM = 1_000_000;
const fact = (field: string, value: unknown): Known => ({
  subject: '', field, place: '', standing: 'agreed', value, tips: [{ claim: field, value, who: 'ann', at: { ms: 1, offsetMin: 0, suspect: false }, context: {} }]
});
const bay = (name: string, mm?: number) => ({
  subject: `bay:${name}`, id: name, name, place: name, posts: ['a', 'b'] as [string, string], gaps: 'none' as const, passesAbove: [], facts: {},
  repeats: { clear: mm === undefined ? [] : [fact('clear', { nm: mm * MM })] }
});
const post = (name: string) => ({ subject: `post:${name}`, id: name, name, role: 'intermediate', facts: { section: fact('section', { alongNm: 90 * MM }) }, repeats: {} });
const wire = (number: number) => ({ subject: `wire:r:${number}`, id: `${number}`, name: `${number}`, number, state: 'none', flags: [], stage: 'none' as const, looked: false, interpolated: false, piece: 1, facts: {}, repeats: {} });
const run = (bays: (number | undefined)[], wires: number): Run => ({
  subject: 'run:r', id: 'r', name: 'A', shape: 'level', facts: {}, repeats: {},
  posts: Array.from({ length: bays.length + 1 }, (_, i) => post(`A${i + 1}`)),
  bays: bays.map((b, i) => bay(`A${i + 1}–A${i + 2}`, b)),
  wires: Array.from({ length: wires }, (_, i) => wire(i + 1))
});

it.each([[12, 6], [8, 4], [1, 1], [3, 2]])('the middle of %d wires is %d', (count, n) => expect(middleOf(count)).toBe(n));

describe('steps', () => {
  it('begin with the bays and end with bottom, middle and top wire', () => {
    expect(steps(run([1380, undefined], 12)).map((s) => s.key)).toEqual(['bay:A1–A2', 'bay:A2–A3', 'wire:r:1', 'wire:r:6', 'wire:r:12']);
  });
  it('name a single wire once', () => expect(steps(run([1380], 1)).map((s) => s.key)).toEqual(['bay:A1–A2', 'wire:r:1']));
  it('go on past what is done or skipped', () => {
    const all = steps(run([1380, undefined], 2));
    expect(nextStep(all, [])?.key).toBe('bay:A2–A3');
    expect(nextStep(all, ['bay:A2–A3'])?.key).toBe('wire:r:1');
    expect(nextStep(all, [], 'wire:r:2')?.key).toBe('bay:A2–A3');
  });
  it('ask again for a wire that was read for a quote, once lengths to cut from are read', () => {
    const one = run([1380], 1);
    const quoted = { ...wire(1), repeats: { length: [fact('length', { nm: 7300 * MM })] } };
    const all = steps({ ...one, wires: [quoted] });
    expect(nextStep(all, [])).toBeUndefined();
    expect(nextStep(all, [], undefined, true)?.key).toBe('wire:r:1');
    expect(nextStep(all, [], 'wire:r:1', true)).toBeUndefined();
    expect(readForNoCut(all).map((s) => s.key)).toEqual(['wire:r:1']);
    const cut = steps({ ...one, wires: [{ ...quoted, counted: { nm: 7300 * MM, spreadNm: 0 } }] });
    expect([nextStep(cut, [], undefined, true), readForNoCut(cut)]).toEqual([undefined, []]);
    // Of one that was cut nothing is asked again.
    const made = steps({ ...one, wires: [{ ...quoted, facts: { 'cut@1': { ...fact('cut', { nm: 7235 * MM }), place: '1' } } }] });
    expect([nextStep(made, [], undefined, true), readForNoCut(made)]).toEqual([undefined, []]);
  });
});

it('a bay stands beside what is known of it, else beside another', () => {
  const three = run([1380, undefined, 1395], 1);
  const beside = (i: number) => three.bays[i] && besideBay(three, three.bays[i]);
  expect(beside(0)).toEqual({ name: 'bay A1–A2', nm: 1380 * MM, differs: true });
  expect(beside(1)).toEqual({ name: 'bay A1–A2', nm: 1380 * MM, differs: true });
  expect(besideBay(run([undefined, undefined], 1), bay('A1–A2'))).toBeUndefined();
});

it('the bay shows what the program counts, not the reading that came last', () => {
  expect(bayClear({ ...bay('A1–A2', 1195), clearNm: 1205 * MM })).toBe(1205 * MM);
});
