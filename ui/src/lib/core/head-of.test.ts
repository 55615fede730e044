import { expect, it } from 'vitest';
import { headOf } from './head-of';

it('parts a long sentence behind its first colon, and no other', () => {
  expect(headOf('Read wire A1 again: it was read before 6 other wires were turned')).toEqual(['Read wire A1 again:', 'it was read before 6 other wires were turned']);
  expect(headOf('Wire A3: measure inside to inside')).toEqual(['Wire A3: measure inside to inside', '']);
  expect(headOf('Recheck wire A12, one to two weeks after')).toEqual(['Recheck wire A12, one to two weeks after', '']);
  expect(headOf('Picture: the hole template on post A3: both faces')).toEqual(['Picture:', 'the hole template on post A3: both faces']);
});
