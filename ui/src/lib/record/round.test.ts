import { describe, expect, it } from 'vitest';
import { lastRound, missingOf, nextWire, roundSet, type Round } from './round';
import type { Known, Run, Wire } from './view';

const round: Round = { stage: 'pass', pass: 3, gauge: 'g', bay: 'a:b', airC: '24', wireC: '', sun: 'shade' };
const read = (context: Record<string, unknown>, place = 'a:b'): Known => ({
  subject: '', field: 'tension', place, standing: 'agreed', value: { mn: 1_500_000 },
  tips: [{ claim: 'c', value: {}, who: 'ben', at: { ms: 1, offsetMin: 0, suspect: false }, context }]
});
const wire = (number: number, tension: Known[] = []): Wire => ({ subject: `wire:r:${number}`, id: '', name: '', number, state: 'none', interpolated: false, piece: 1, facts: {}, repeats: { tension } });
const run = (wires: Wire[]): Run => ({ subject: 'run:r', id: 'r', name: 'A', posts: [], bays: [], wires, facts: {}, repeats: {} });

describe('nextWire', () => {
  const done = { stage: 'pass', pass: 3, piece: 1 };
  it('goes up and comes round', () => {
    const r = run([wire(1), wire(2, [read(done)]), wire(3)]);
    expect(nextWire(r, round, 1)?.number).toBe(3);
    expect(nextWire(r, round, 3)?.number).toBe(1);
  });
  it('counts only this pass and this bay', () => {
    const r = run([wire(1, [read({ ...done, pass: 2 })]), wire(2, [read(done, 'x:y')])]);
    expect(nextWire(r, round)?.number).toBe(1);
    expect(nextWire(r, round, 1)?.number).toBe(2);
  });
  it('ends', () => expect(nextWire(run([wire(1, [read(done)])]), round)).toBeUndefined());
});

it('a reading carries what was set once', () => {
  expect(roundSet(round)).toEqual({ bay: 'a:b', stage: 'pass', pass: 3, gauge: 'g', air: '24', sun: 'shade' });
  expect(roundSet({ ...round, stage: 'final', gauge: '', airC: '', sun: '' })).toEqual({ bay: 'a:b', stage: 'final' });
});

it('a round needs bay, gauge and a temperature', () => {
  expect(missingOf(round)).toEqual([]);
  expect(missingOf({ ...round, bay: '', gauge: '', airC: '' })).toEqual(['bay', 'gauge', 'temperature']);
});

describe('lastRound', () => {
  it('goes on where the last reading left off, but for the temperature', () => {
    const r = run([wire(1, [read({ stage: 'pass', pass: 2, piece: 1, gauge: 'g2', airCdeg: 2400 })]), wire(2)]);
    expect(lastRound(r)).toEqual({ stage: 'pass', pass: 2, bay: 'a:b', gauge: 'g2' });
  });
  it('says nothing where nothing was read', () => expect(lastRound(run([wire(1)]))).toEqual({}));
});
