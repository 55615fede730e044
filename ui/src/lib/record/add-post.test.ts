import { expect, it } from 'vitest';
import { addedPostClaims, nextLetter } from './add-post';
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

it('stands its own half width behind the left clear distance', () => {
  const bay = { subject: 'bay:A4:A5', id: 'A4:A5', name: 'A4–A5', place: 'A4:A5', posts: ['A4', 'A5'] as [string, string], facts: {}, repeats: {} };
  const run = { subject: 'run:r', id: 'r', name: 'A', posts: [post('A4', 4000, 90), post('A5', 5650, 90)], bays: [bay], wires: [], facts: {}, repeats: {} } satisfies Run;
  const claims = addedPostClaims(run, bay, { id: 'new', name: 'A4a', widthNm: 90 * MM, leftNm: 735 * MM, rightNm: 735 * MM });
  expect(claims.find((c) => c.field === 'position')?.value).toEqual({ nm: (4000 + 45 + 735 + 45) * MM });
  expect(claims.filter((c) => c.field === 'clear').map((c) => c.subject)).toEqual(['bay:A4:new', 'bay:A5:new']);
});
