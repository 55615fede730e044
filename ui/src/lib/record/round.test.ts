import { describe, expect, it } from 'vitest';
import { missingOf, nextWire, readingClaim, type Round } from './round';
import type { Known, Run, Wire } from './view';

const round: Round = { stage: 'pass', pass: 3, method: 'gauge', gauge: 'g', bay: 'a:b', airC: '24', wireC: '', sun: 'shade' };
const read = (context: Record<string, unknown>, place = 'a:b'): Known => ({
  subject: '', field: 'tension', place, standing: 'agreed', value: { mn: 1_500_000 },
  tips: [{ claim: 'c', value: {}, who: 'ben', at: { ms: 1, offsetMin: 0, suspect: false }, context }]
});
const wire = (number: number, tension: Known[] = []): Wire => ({ subject: `wire:r:${number}`, id: '', name: '', number, state: 'none', piece: 1, facts: {}, repeats: { tension } });
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
  expect(readingClaim(wire(7), round, 1240, '1240')).toEqual({
    subject: 'wire:r:7', field: 'tension', place: 'a:b', value: { mn: 1_240_000 },
    context: { method: 'gauge', stage: 'pass', piece: 1, entered: '1240 N', pass: 3, gauge: 'g', sun: 'shade', airCdeg: 2400 }
  });
});

it('a round needs bay, gauge and a temperature', () => {
  expect(missingOf(round)).toEqual([]);
  expect(missingOf({ ...round, bay: '', gauge: '', airC: '' })).toEqual(['bay', 'gauge', 'temperature']);
  expect(missingOf({ ...round, gauge: '', method: 'hungMass' })).toEqual([]);
});
