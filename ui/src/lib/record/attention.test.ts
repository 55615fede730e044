import { describe, expect, it } from 'vitest';
import { countOf, flagsOf } from './attention';
import type { Job, Known, Run, Wire } from './view';

const said = (field: string, place: string, value: unknown, context: Record<string, unknown> = {}): Known => ({
  subject: '', field, place, standing: 'agreed', value, tips: [{ claim: 'c', value, who: 'ben', at: { ms: 1, offsetMin: 0, suspect: false }, context }]
});
const wire = (number: number, newtons?: number, state = 'none'): Wire => ({
  subject: `wire:r:${number}`, id: '', name: '', number, state, interpolated: false, piece: 1, facts: {},
  repeats: { tension: newtons === undefined ? [] : [said('tension', 'a:b', { mn: newtons * 1000 }, { piece: 1 })] }
});
const run = (wires: Wire[]): Run => ({
  subject: 'run:r', id: 'r', name: 'A', wires, posts: [], repeats: {}, facts: { tensions: said('tensions', '', { requiredMn: 1_330_000 }) },
  bays: [{ subject: 'bay:a:b', id: '', name: 'A1–A2', place: 'a:b', posts: ['a', 'b'], facts: {}, repeats: { gaps: [said('gaps', 'r', { result: 'passes' })] } }]
});
const job = (runs: Run[]): Job => ({
  subject: 'job:j', id: 'j', name: '', facts: {}, repeats: {}, runs, tools: [], batches: [], visits: [], photos: [], documents: [], strands: [], fittingSets: [],
  signOffs: [],
  unsettled: [{ subject: 'wire:r:12', name: 'Wire A12', field: 'length', newer: false }, { subject: 'bay:a:b', name: 'bay A1–A2', field: 'clear', newer: false }, { subject: 'job:j', name: 'the job', field: 'fall', newer: true }],
  defects: [{ subject: 'defect:d', id: 'd', name: 'hole 9 high', facts: {}, repeats: {} }]
});

describe('flagsOf', () => {
  const flags = flagsOf(job([run([wire(6, 1500), wire(7, 1240), wire(12, undefined, 'disputed')])]));
  it('tells what is below, disputed, passed and open, and nothing else', () => {
    expect(flags.map((f) => [f.kind, f.room, f.subject])).toEqual([
      ['warn', '', 'wire:r:12'],
      ['warn', '', 'bay:a:b'],
      ['warn', 'site', ''],
      ['bad', 'tension', ''],
      ['bad', 'gaps', ''],
      ['warn', 'defects', '']
    ]);
    expect(flags[3]?.text).toBe('Wire 7 reads 1240 N. It needs 1330 N.');
  });
});

it('countOf counts readings and bays that stop the probe', () => {
  const r = run([wire(1, 1500), wire(2)]);
  expect(countOf(r, 'tension')).toEqual({ done: 1, of: 2 });
  expect(countOf(r, 'gaps')).toEqual({ done: 0, of: 1 });
  expect(countOf(r, 'holes')).toBeUndefined();
});
