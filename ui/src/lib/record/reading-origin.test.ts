import { expect, it } from 'vitest';
import { originOf } from './reading-origin';
import type { Job } from './view';
import type { Reading } from './wires';

const job = { tools: [{ id: 't1', name: 'G-1' }], runs: [{ bays: [{ place: 'a:b', name: 'A1–A2' }], posts: [], wires: [] }] } as unknown as Job;
const reading = (context: Record<string, unknown>, more: Partial<Reading> = {}): Reading => ({
  newtons: 1450, place: 'a:b', stage: 'final', method: 'gauge',
  known: { subject: 's', field: 'tension', place: 'a:b', standing: 'agreed', value: { mn: 1_450_000 }, tips: [{ claim: 'c', value: null, who: 'Ann', at: { ms: 0, offsetMin: 0, suspect: false }, context }] },
  ...more
});

it('tells gauge, scale, chart, bay and temperature', () => {
  const told = originOf(job, reading({ gauge: 't1', raw: '31', chart: '3.2 mm', sun: 'shade' }, { airC: 24, wireC: 26 })).map((l) => l.replaceAll('\u00a0', ' '));
  expect(told.slice(0, 4)).toEqual(['Gauge: G-1', 'Scale showed: 31', 'By chart: 3.2 mm', 'Bay: A1–A2']);
  expect(told[4]).toMatch(/^Air: 24/);
  expect(told[5]).toMatch(/^Wire: 26.*, Shade$/);
});

it('names what nobody told of a gauge’s reading, and asks no gauge of a sound', () => {
  expect(originOf(job, reading({})).slice(0, 1)).toEqual(['Gauge: not told']);
  expect(originOf(job, reading({})).at(-1)).toBe('Wire: not told');
  expect(originOf(job, reading({ told: { numbers: [{ name: 'pitch', value: '41 Hz' }] } }, { method: 'sound' }))).toEqual(['Sound', 'Bay: A1–A2', 'Rests on: pitch 41 Hz']);
});
