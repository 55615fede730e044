import { describe, expect, it } from 'vitest';
import { allOf, bayClear, besideBay, besideStep, leadsFrom, middleOf, neighbours, nextStep, otherWires, readForNoCut, readOne, skippedOf, stepAfter, steps, type Round, type Step } from './measuring';
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

const read = (number: number) => ({ ...wire(number), repeats: { length: [fact('length', { nm: 7300 * MM })] } });
const fresh: Round = { forCut: [] };
/** A wire of a run with one bay. */
const at = (wire: number) => ({ key: `wire:r:${wire}`, place: 1 + wire });
const after = (all: Step[], round: Round, key: string) => all.flatMap((s) => (s.key === key ? [stepAfter(all, round, [], false, s)?.key] : []))[0];

it.each([[12, 6], [8, 4], [1, 1], [3, 2]])('the middle of %d wires is %d', (count, n) => expect(middleOf(count)).toBe(n));

describe('steps', () => {
  it('begin with the bays and end with bottom, middle and top wire', () => {
    expect(steps(run([1380, undefined], 12)).map((s) => s.key)).toEqual(['bay:A1–A2', 'bay:A2–A3', 'wire:r:1', 'wire:r:6', 'wire:r:12']);
  });
  it('leave the other wires to be asked for, every one of them', () => {
    const twelve = run([1380], 12);
    expect(otherWires(twelve, steps(twelve)).map((w) => w.number)).toEqual([2, 3, 4, 5, 7, 8, 9, 10, 11]);
    // One that was read, and not to cut from, is a step of its own.
    const quoted = { ...twelve, wires: twelve.wires.map((w) => (w.number === 4 ? read(4) : w)) };
    expect(otherWires(quoted, steps(quoted)).map((w) => w.number)).toEqual([2, 3, 5, 7, 8, 9, 10, 11]);
    expect(otherWires(run([1380], 3), steps(run([1380], 3)))).toEqual([]);
  });
  it('name a single wire once', () => expect(steps(run([1380], 1)).map((s) => s.key)).toEqual(['bay:A1–A2', 'wire:r:1']));
  it('go on past what is done or skipped', () => {
    const all = steps(run([1380, undefined], 2));
    expect(nextStep(all, fresh, [])?.key).toBe('bay:A2–A3');
    expect(nextStep(all, fresh, ['bay:A2–A3'])?.key).toBe('wire:r:1');
    expect(after(all, fresh, 'wire:r:2')).toBe('bay:A2–A3');
    expect(skippedOf(all, ['bay:A1–A2', 'bay:A2–A3']).map((s) => s.key)).toEqual(['bay:A2–A3']);
  });
  it('ask again for a wire that was read for a quote, once lengths to cut from are read', () => {
    const one = run([1380], 1);
    const quoted = read(1);
    const all = steps({ ...one, wires: [quoted] });
    expect(nextStep(all, fresh, [])).toBeUndefined();
    expect(nextStep(all, fresh, [], true)?.key).toBe('wire:r:1');
    expect(readForNoCut(all).map((s) => s.key)).toEqual(['wire:r:1']);
    const cut = steps({ ...one, wires: [{ ...quoted, counted: { nm: 7300 * MM, spreadNm: 0 } }] });
    expect([nextStep(cut, fresh, [], true), readForNoCut(cut)]).toEqual([undefined, []]);
    // Of one that was cut nothing is asked again.
    const made = steps({ ...one, wires: [{ ...quoted, facts: { 'cut@1': { ...fact('cut', { nm: 7235 * MM }), place: '1' } } }] });
    expect([nextStep(made, fresh, [], true), readForNoCut(made)]).toEqual([undefined, []]);
  });
  it('take in any other wire that was read and can’t be cut from', () => {
    const six = run([1380], 6);
    const wires = six.wires.map((w) => (w.number === 2 ? read(2) : w));
    expect(steps({ ...six, wires }).map((s) => s.key)).toEqual(['bay:A1–A2', 'wire:r:1', 'wire:r:2', 'wire:r:3', 'wire:r:6']);
    expect(readForNoCut(steps({ ...six, wires })).map((s) => s.key)).toEqual(['wire:r:2']);
  });
});

describe('a round of three wires', () => {
  /** The steps where these wires are read for a quote. */
  const with_ = (...quoted: number[]) => {
    const one = run([1380], 3);
    return steps({ ...one, wires: one.wires.map((w) => (quoted.includes(w.number) ? read(w.number) : w)) });
  };
  it('goes on behind what was read last', () => {
    expect(nextStep(with_(2), readOne(fresh, at(2), false), [])?.key).toBe('wire:r:3');
    expect(nextStep(with_(2, 3), readOne(fresh, at(3), false), [])?.key).toBe('wire:r:1');
  });
  it('asks again for what was taken back or is disputed, there', () => {
    expect(nextStep(with_(1), readOne(fresh, at(2), false), [])?.key).toBe('wire:r:2');
    expect(nextStep(with_(1), readOne(fresh, at(2), true), [], true)?.key).toBe('wire:r:2');
    expect(nextStep(with_(1, 2), readOne(fresh, at(3), false), ['wire:r:3'])).toBeUndefined();
  });
  it('asks for lengths to cut from once, and again where a quote took the place of one', () => {
    const round = readOne(readOne(fresh, at(1), true), at(2), true);
    expect(nextStep(with_(1, 2, 3), round, [], true)?.key).toBe('wire:r:3');
    expect(nextStep(with_(1, 2, 3), readOne(round, at(3), true), [], true)).toBeUndefined();
    expect(nextStep(with_(1, 2, 3), readOne(round, at(1), false), [], true)?.key).toBe('wire:r:3');
    expect(nextStep(with_(1, 2, 3), readOne(readOne(round, at(1), false), at(3), true), [], true)?.key).toBe('wire:r:1');
  });
  it('names beforehand what it goes on with, whichever wire is touched', () => {
    const six = run([1380], 6);
    const stepsWith = (quoted: number[]) => steps({ ...six, wires: six.wires.map((w) => (quoted.includes(w.number) ? read(w.number) : w)) });
    for (const [before, touched, now, forCut] of [
      [[], 4, [4], false],
      [[2, 4, 5], 4, [2, 5], true],
      [[1, 2, 3, 4, 6], 4, [1, 2, 3, 6], true],
      [[], 6, [6], false]
    ] as [number[], number, number[], boolean][]) {
      const told = stepAfter(stepsWith(before), fresh, [], forCut, at(touched));
      expect(nextStep(stepsWith(now), readOne(fresh, at(touched), forCut), [], forCut)?.key, `wire ${touched}`).toBe(told?.key);
    }
  });
  it('never tells the step itself as the one behind it', () => {
    expect(after(with_(), fresh, 'wire:r:3')).toBe('wire:r:1');
    expect(after(with_(1, 2), fresh, 'wire:r:3')).toBeUndefined();
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

describe('every wire', () => {
  it('is walked in its order behind the bays, the next by itself', () => {
    const twelve = run([1380, 1410], 12);
    const all = steps(twelve, true);
    expect(all.map((s) => s.key)).toEqual(['bay:A1–A2', 'bay:A2–A3', ...Array.from({ length: 12 }, (_, i) => `wire:r:${i + 1}`)]);
    const walked: (string | undefined)[] = [];
    let [round, now] = [fresh, nextStep(all, fresh, [])];
    const done = new Set<number>();
    while (now) {
      walked.push(now.key);
      if (now.kind === 'wire') done.add(now.wire.number);
      round = readOne(round, now, false);
      now = nextStep(steps({ ...twelve, wires: twelve.wires.map((w) => (done.has(w.number) ? read(w.number) : w)) }, true), round, []);
    }
    expect(walked).toEqual(twelve.wires.map((w) => w.subject));
    expect(otherWires(twelve, all)).toEqual([]);
  });
  it('is not more than few of three', () => expect(steps(run([1380], 3), true).map((s) => s.key)).toEqual(steps(run([1380], 3)).map((s) => s.key)));
});

describe('what stands beside the pad', () => {
  const of = (r: Run, key: string) => allOf(r).filter((s) => s.key === key).map((s) => ({ near: neighbours(r, s), beside: besideStep(r, s) }))[0];
  it('are the two nearest bays that are known, whose leads are kept only for the last two digits', () => {
    const four = run([1380, 1395, undefined, 1410], 1);
    const near = of(four, 'bay:A3–A4')?.near ?? [];
    expect(near.map((n) => [n.name, n.nm / MM])).toEqual([['bay A2–A3', 1395], ['bay A4–A5', 1410]]);
    // 985 behind a 1 would be kept as 1985.
    expect(leadsFrom('bay', near)).toEqual([]);
    expect(leadsFrom('bay', neighbours(run([1380, 1395, undefined], 1), { kind: 'bay', key: 'bay:A3–A4', place: 2, bay: bay('A3–A4') }))).toEqual([1395, 1380]);
    expect(leadsFrom('wire', near)).toEqual([1395, 1410]);
    // It is held against what it was before.
    expect(of(four, 'bay:A1–A2')?.beside).toMatchObject({ name: 'bay A1–A2', differs: true });
    expect(of(run([1380], 1), 'bay:A1–A2')?.near).toEqual([]);
  });
  it('are the two nearest wires; a first one is held against the bays together, in its unit alone', () => {
    const six = run([1380], 6);
    const some = { ...six, betweenNm: 7300 * MM, wires: six.wires.map((w) => ([1, 3, 6].includes(w.number) ? read(w.number) : w)) };
    expect(of(some, 'wire:r:4')?.near.map((n) => n.name)).toEqual(['wire 3', 'wire 6']);
    expect(of(some, 'wire:r:4')?.beside).toEqual({ name: 'wire 3', nm: 7300 * MM });
    expect(of({ ...six, betweenNm: 7300 * MM }, 'wire:r:4')?.beside).toMatchObject({ nm: 7300 * MM, differs: true });
    expect(of(six, 'wire:r:4')?.beside).toBeUndefined();
  });
});
