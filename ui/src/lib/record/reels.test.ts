import { expect, it } from 'vitest';
import { reelOf } from './reels';
import type { Job, Known, Thing } from './view';

const kind = (value: string): Known => ({ subject: '', field: 'kind', place: '', standing: 'agreed', value, tips: [] });
const batch = (id: string, of: string): Thing => ({ subject: `batch:${id}`, id, name: id, facts: { kind: kind(of) }, repeats: {} });
const job = (...batches: Thing[]) => ({ batches }) as unknown as Job;

it.each([
  [job(batch('r1', 'strand'), batch('t', 'terminal')), undefined, 'r1'],
  [job(batch('r1', 'strand'), batch('r2', 'strand')), undefined, ''],
  [job(batch('r1', 'strand'), batch('r2', 'strand')), 'r2', 'r2'],
  [job(batch('r1', 'strand')), '', ''],
  [job(batch('r1', 'strand')), 'gone', ''],
  [job(batch('t', 'terminal')), 't', '']
])('%#', (j, chosen, said) => expect(reelOf(j, { batch: chosen })).toBe(said));
