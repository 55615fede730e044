import { expect, test } from 'vitest';
import { within } from './within';

test('a label begins small within a sentence, unless its capitals are its name', () => {
  expect(within('Bay P1–P2')).toBe('bay P1–P2');
  expect(within('Clear height')).toBe('clear height');
  for (const name of ['EA', 'P1', 'RH: nut', 'T', '', 'wire 3']) expect(within(name)).toBe(name);
});
