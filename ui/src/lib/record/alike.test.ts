import { expect, it } from 'vitest';
import { distinct } from './alike';
import type { Known, Thing } from './view';

const known = (value: unknown, standing: Known['standing'] = 'agreed'): Known => ({ subject: '', field: 'base', place: '', standing, value, tips: [] });
const post = (name: string, base?: Known): Thing => ({ subject: `post:${name}`, id: name, name, facts: base ? { base } : {}, repeats: {} });

it('offers each value once, with the first that has it, and none that people differ on', () => {
  const [bolted, cast] = [{ kind: 'bolted' }, { kind: 'cast in' }];
  const things = [post('A1', known(bolted)), post('A2', known(bolted)), post('A3', known(cast, 'disputed')), post('A4', known(cast)), post('A5')];
  expect(distinct(things, 'base')).toEqual([{ name: 'A1', value: bolted }, { name: 'A4', value: cast }]);
  expect(distinct(things, 'material')).toEqual([]);
});
