import { expect, it } from 'vitest';
import { nextLetter } from './add-post';
import { middleOf } from './make-run';
import type { Known, Post, Run } from './view';

const MM = 1_000_000;
const fact = (field: string, place: string, value: unknown): Known => ({ subject: '', field, place, standing: 'agreed', value, tips: [] });
const post = (id: string, at: number, width: number): Post => ({
  subject: `post:${id}`, id, name: id, role: 'intermediate', repeats: {},
  facts: { 'position@r': fact('position', 'r', { nm: at * MM }), section: fact('section', '', { alongNm: width * MM, acrossNm: width * MM }) }
});

it.each([
  ['A4', ['A4', 'A5'], 'A4a'],
  ['A4', ['A4', 'A4a', 'A5'], 'A4b'],
  ['A4a', ['A4', 'A4a'], 'A4b']
])('behind %s with %j comes %s', (left, taken, name) => expect(nextLetter(left, taken)).toBe(name));

it('an added post stands half its width behind the left clear distance', () => {
  const run: Run = { subject: 'run:r', id: 'r', name: 'A', shape: 'level', posts: [post('A4', 4000, 90), post('A5', 5650, 90)], bays: [], wires: [], facts: {}, repeats: {} };
  expect(middleOf(run, 'A4', { name: 'A4a', widthNm: 90 * MM, depthNm: 90 * MM, leftNm: 735 * MM, rightNm: 735 * MM, measured: true, typed: {} })).toBe((4000 + 45 + 735 + 45) * MM);
});
