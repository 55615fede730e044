import { expect, it } from 'vitest';
import { nameOf } from './names';
import type { Job } from './view';
import { cardAt } from './where';

const thing = (subject: string, name = '') => ({ subject, id: subject.split(':')[1] ?? '', name, facts: {}, repeats: {} });
const job = {
  ...thing('job:j'), id: 'j', tools: [], batches: [], visits: [], defects: [], documents: [], strands: [], fittingSets: [], photos: [],
  runs: [{ ...thing('run:r', 'A'), posts: [thing('post:a', 'A1')], bays: [thing('bay:a:b', 'A1–A2')], wires: [thing('wire:r:1')] }],
  noLonger: [{ subject: 'wire:r:12', name: 'wire A12 (no longer in the layout)', said: [] }]
} as unknown as Job;

it('what the layout no longer has is called so, and what it has is not', () => {
  expect(nameOf(job, 'wire:r:1')).toBe('Wire 1, Run A');
  expect(nameOf(job, 'bay:a:b')).toBe('Bay A1–A2');
  expect(nameOf(job, 'wire:r:12')).toBe('Wire A12 (no longer in the layout)');
  // Nothing is said of it any more, or of its run.
  expect(nameOf(job, 'wire:r:13')).toBe('Wire 13 (no longer in the layout)');
  expect(nameOf(job, 'bay:a:c')).toMatch(/\(no longer in the layout\)$/);
});

it('its way leads to what was told of it', () => {
  expect(cardAt(job, 'wire:r:12')).toContain('/no-longer?at=');
  expect(cardAt(job, 'bay:a:c')).toContain('/no-longer?at=');
  expect(cardAt(job, 'wire:r:1')).toContain('/run/r?at=');
});
