import { expect, it } from 'vitest';
import { choicesIn, crimpsMade, NOTHING_SAID } from './crimps-with';
import type { Job, Thing } from './view';

const thing = (id: string, kind: string): Thing => ({ subject: id, id, name: id, facts: { kind: { subject: id, field: 'kind', place: '', standing: 'agreed', value: kind, tips: [] } }, repeats: {} });
const job = { tools: [thing('p', 'press'), thing('d', 'die'), thing('g', 'tensionGauge')], batches: [thing('s', 'strand'), thing('t', 'terminal'), thing('o', 'other')] } as unknown as Job;
const said = { day: '2026-07-02', press: 'p', die: 'd', batch: 't' };

it('offers presses, dies and deliveries of parts', () => {
  const { press, die, batch } = choicesIn(job);
  expect([press, die, batch].map((list) => list.map((t) => t.id))).toEqual([['p'], ['d'], ['t', 'o']]);
});

it('what was set once goes with every crimp of that day, and of no other', () => {
  expect(crimpsMade(job, said, '2026-07-02')).toEqual({ press: 'p', die: 'd', batch: 't' });
  expect(crimpsMade(job, said, '2026-07-03')).toEqual({});
  expect(crimpsMade(job, NOTHING_SAID, '2026-07-02')).toEqual({});
});

it('each is optional, and what is gone is not told', () => {
  expect(crimpsMade(job, { ...said, press: '', batch: 's' }, '2026-07-02')).toEqual({ die: 'd' });
  expect(crimpsMade(undefined, said, '2026-07-02')).toEqual({});
});
