import { describe, expect, it } from 'vitest';
import type { EvenUp, Heard } from '$lib/generated/api';
import { asked, lastRefused, missingOfSpan, nextToHear, readSoFar, type Span, spanAt, standing, toHearAgain, withSpan } from './heard';
import { inRound, lastRound, type Round } from './round';
import type { Known, Run, Wire } from './view';

const round: Round = { stage: 'pass', pass: 1, gauge: 'g', bay: 'a:b', airC: '24', wireC: '', sun: '', chart: '' };
const read = (method: string, place = 'a:b'): Known => ({
  subject: '', field: 'tension', place, standing: 'agreed', value: { mn: 1_240_000 },
  tips: [{ claim: 'c', value: {}, who: 'ben', at: { ms: 1, offsetMin: 0, suspect: false }, context: { method, stage: 'pass', pass: 1, piece: 1 } }]
});
const wire = (number: number, tension: Known[] = []): Wire => ({ subject: `wire:r:${number}`, id: '', name: '', number, state: 'none', flags: [], stage: 'none', looked: false, interpolated: false, piece: 1, facts: {}, repeats: { tension } });
const run = (wires: Wire[]): Run => ({ subject: 'run:r', id: 'r', name: 'A', shape: 'level', posts: [], bays: [], wires, facts: {}, repeats: {} });
const span: Span = { length: ' 1380 ', unit: 'mm', held: 'pinched', gramsPerMetre: '' };

describe('a reading by sound', () => {
  const r = run([wire(1, [read('sound')]), wire(2, [read('gauge')]), wire(3)]);
  it('fills no round of the gauge, and no round goes on from it', () => {
    expect(r.wires.map((w) => inRound(w, round).length)).toEqual([0, 1, 0]);
    expect(lastRound(run([wire(1, [read('sound')])]))).toEqual({});
  });
  it('goes on with the wires not heard', () => {
    expect(nextToHear(r, round, 'sound', 1)?.number).toBe(2);
    expect(nextToHear(r, round, 'sound', 3)?.number).toBe(2);
    expect(nextToHear(r, round, 'hungPhone', 0)?.number).toBe(1);
    expect(nextToHear(run([wire(1, [read('sound')])]), round, 'sound', 1)).toBeUndefined();
  });
});

it('a wire that was turned since it was heard is offered again, in its own round and by its own way', () => {
  const heard = run([1, 2, 3].map((n) => wire(n, [read('sound')])));
  const line = { wire: 2, name: 'A2', newtons: 600, sentence: '' };
  const group = { method: 'sound' as const, bay: 'a:b', bayName: '', stage: 'pass' as const, pass: 1, medianN: null, lines: [], again: [line], heard: 2, sentence: '' };
  const even = (change: Partial<typeof group> = {}): EvenUp => ({ run: 'r', runName: 'A', groups: [{ ...group, ...change }], caution: '' });
  expect(toHearAgain(even(), round, 'sound')).toEqual([2]);
  expect(toHearAgain(even(), round, 'hungPhone')).toEqual([]);
  expect(toHearAgain(even({ bay: 'b:c' }), round, 'sound')).toEqual([]);
  expect(toHearAgain(even({ pass: 2 }), round, 'sound')).toEqual([]);
  expect(nextToHear(heard, round, 'sound', 3)).toBeUndefined();
  expect(nextToHear(heard, round, 'sound', 3, [2])?.number).toBe(2);
  // One that was just heard is not offered at once.
  expect(nextToHear(heard, round, 'sound', 2, [2])).toBeUndefined();
});

it('a span is asked for whole, and sent without what was not said', () => {
  expect(missingOfSpan(span, 'a:b')).toEqual([]);
  expect(missingOfSpan({ ...span, length: ' ', held: '' }, '')).toEqual(['bay', 'length', 'held']);
  const by = { kind: 'plucks' as const, recordings: [] };
  expect(asked('j', 'r', 6, 'p:q', span, by)).toEqual({ job: 'j', run: 'r', wire: 6, bay: 'p:q', length: { text: '1380', unit: 'mm' }, held: 'pinched', by });
  expect(asked('j', 'r', 6, 'p:q', { ...span, held: '', gramsPerMetre: ' 50.1 ' }, by)).toEqual({ job: 'j', run: 'r', wire: 6, bay: 'p:q', length: { text: '1380', unit: 'mm' }, gramsPerMetre: '50.1', by });
});

it('what was heard stands as long as all that it was worked out with', () => {
  const answer = { name: 'A6', plucks: [] } as unknown as Heard;
  const motion = { kind: 'upload' as const, upload: 'u', bytes: 9 };
  const swing = (span: Span, grams = '205') => asked('j', 'r', 6, 'p:q', span, { kind: 'swing', motion, grams });
  const heard = { of: swing(span), answer };
  expect(standing(heard, swing({ ...span, length: '1380' }))).toBe(answer);
  for (const other of [swing({ ...span, length: '1420' }), swing({ ...span, unit: 'in' }), swing({ ...span, held: 'loose' }), swing({ ...span, gramsPerMetre: '50' }), swing(span, '250')]) {
    expect(standing(heard, other)).toBeUndefined();
  }
  expect(standing(undefined, swing(span))).toBeUndefined();
});

it('plucks are counted by what was read', () => {
  const refused = { reason: 'Nothing is heard.', remedy: 'Pluck harder.' };
  const heard = (plucks: Heard['plucks']): Heard => ({ name: 'A6', method: 'sound', guide: null, refused, plucks, numbers: [], notes: [], sentence: '', caution: '' });
  const good = { number: 1, newtons: 1240, agrees: false, refused: null };
  expect([readSoFar(undefined), lastRefused(undefined)]).toEqual([0, false]);
  expect([readSoFar(heard([good])), lastRefused(heard([good]))]).toEqual([1, false]);
  const bad = heard([good, { number: 2, newtons: null, agrees: false, refused }]);
  expect([readSoFar(bad), lastRefused(bad)]).toEqual([1, true]);
});

it('a span is remembered for its bay alone, the mass of the strand for all', () => {
  const none = { at: {}, gramsPerMetre: '', grams: '205' };
  expect(spanAt(none, 'a:b', 'in')).toEqual({ length: '', unit: 'in', held: '', gramsPerMetre: '' });
  const said = withSpan(none, 'a:b', { length: '1380', unit: 'mm', held: 'pinched', gramsPerMetre: '50.1' });
  expect(spanAt(said, 'a:b', 'in')).toEqual({ length: '1380', unit: 'mm', held: 'pinched', gramsPerMetre: '50.1' });
  expect(spanAt(said, 'b:c', 'mm')).toEqual({ length: '', unit: 'mm', held: '', gramsPerMetre: '50.1' });
  expect(said.grams).toBe('205');
});
