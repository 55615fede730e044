import { expect, it } from 'vitest';
import { reelName, reelOf, reelsIn } from './reels';
import type { Job, Known, Run, Thing } from './view';

const known = (field: string, value: unknown, standing: Known['standing'] = 'agreed'): Known => ({ subject: '', field, place: '', standing, value, tips: [] });
const thing = (id: string, ...facts: Known[]): Thing => ({ subject: id, id, name: id, facts: Object.fromEntries(facts.map((f) => [f.field, f])), repeats: {} });
const batch = (id: string, kind: string, ...more: Known[]): Thing => thing(id, known('kind', kind), ...more);
const reel = (id: string, strand?: string) => batch(id, 'strand', ...(strand ? [known('strand', strand)] : []));
const job = (...batches: Thing[]) => ({ batches, strands: [{ ...thing('s3'), name: '3.2 mm' }, { ...thing('s4'), name: '4 mm' }] }) as unknown as Job;
const run = (...facts: Known[]) => thing('A', ...facts) as unknown as Run;
const of3 = run(known('strand', 's3'));
const other = reel('r4', 's4');

it.each([
  [job(reel('r1'), batch('t', 'terminal')), undefined, 'r1'],
  [job(reel('r1'), reel('r2')), undefined, ''],
  [job(reel('r1'), reel('r2')), 'r2', 'r2'],
  [job(reel('r1')), '', ''],
  [job(reel('r1')), 'gone', ''],
  [job(batch('t', 'terminal')), 't', ''],
  // Of two strands: one of another is never proposed, and may be chosen.
  [job(other), undefined, ''],
  [job(other), 'r4', 'r4'],
  [job(other, reel('r3', 's3')), undefined, 'r3'],
  [job(other, reel('r1')), undefined, 'r1'],
  [job(reel('r3', 's3'), reel('r1')), undefined, '']
])('what a cut is said to be from, %#', (j, chosen, said) => expect(reelOf(j, of3, { batch: chosen })).toBe(said));

it('takes no strand that people differ on for another one', () => {
  const disputed = batch('d', 'strand', known('strand', 's4', 'disputed'));
  expect(reelOf(job(disputed), of3, { batch: undefined })).toBe('d');
  expect(reelOf(job(other), run(known('strand', 's3', 'disputed')), { batch: undefined })).toBe('r4');
  expect(reelOf(job(other), undefined, { batch: undefined })).toBe('r4');
});

it('offers the run\u2019s own strand first, another one last, and names which is which', () => {
  const j = job(other, reel('r1'), reel('r3', 's3'));
  expect(reelsIn(j, of3).map((r) => r.id)).toEqual(['r3', 'r1', 'r4']);
  expect(reelsIn(j, of3).map((r) => reelName(j, r))).toEqual(['r3, 3.2 mm', 'r1', 'r4, 4 mm']);
  expect(reelName({ ...j, strands: j.strands.slice(0, 1) }, reel('r3', 's3'))).toBe('r3');
  expect(j.batches.map((b) => b.id)).toEqual(['r4', 'r1', 'r3']);
});
