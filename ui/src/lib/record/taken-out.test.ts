import { expect, it } from 'vitest';
import { causeOf, usedUp } from './taken-out';
import { words } from '$lib/words';
import type { Known, Post, Run, Wire } from './view';

const fact = (field: string, place: string, value: unknown): Known => ({ subject: '', field, place, standing: 'agreed', value, tips: [] });
const post = (id: string, hand: string): Post => ({ subject: `post:${id}`, id, name: id, role: 'anchor', repeats: {}, facts: { 'end@r': fact('end', 'r', { hand }) } });
const run: Run = { subject: 'run:r', id: 'r', name: 'A', shape: 'level', posts: [post('a', 'LH'), post('b', 'RH')], bays: [], wires: [], facts: {}, repeats: {} };
const wire = (...acts: string[]): Wire => ({
  subject: 'wire:r:3', id: '3', name: 'A3', number: 3, state: '', flags: [], stage: 'fitted', looked: false, interpolated: false, piece: 1, repeats: {},
  facts: Object.fromEntries(acts.map((act) => [`done@${act}/1`, fact('done', `${act}/1`, true)]))
});

it('names the cause behind a preset reason, and another behind own words', () => {
  expect(causeOf('Kinked', words.takenOut)).toBe('kinked');
  expect(causeOf('dropped into the pond', words.takenOut)).toBe('other');
});

it('counts the terminals that are pressed on the piece, by hand', () => {
  expect(usedUp(run, wire())).toBeUndefined();
  expect(usedUp(run, wire('leftEndPressed'))).toEqual({ terminalsLeft: 1 });
  expect(usedUp(run, wire('leftEndPressed', 'rightEndPressed'))).toEqual({ terminalsLeft: 1, terminalsRight: 1 });
});
