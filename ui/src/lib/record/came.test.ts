import { expect, it } from 'vitest';
import { cameWith, disputesOf } from './came';
import type { Job } from './view';

const job = (unsettled: { subject: string; field: string; newer: boolean }[]) => ({
  id: 'j', name: 'Deck', subject: 'job:j', unsettled,
  runs: [{ id: 'r', subject: 'run:r', name: 'A', posts: [], bays: [], wires: [{ subject: 'wire:r:4', number: 4 }] }]
}) as unknown as Job;

it('says what came, with the way there, and nothing that stood before', () => {
  const stood = { subject: 'job:j', field: 'fall', newer: false };
  const before = disputesOf([job([stood])]);
  const after = disputesOf([job([stood, { subject: 'wire:r:4', field: 'length', newer: false }, { subject: 'run:r', field: 'height', newer: true }])]);
  expect(cameWith(before, after)).toEqual([{ text: 'Deck: Wire 4, Run A', href: '#/job/j/run/r?at=wire%3Ar%3A4' }]);
  expect(cameWith(after, before)).toEqual([]);
});
