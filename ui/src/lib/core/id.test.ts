import { expect, it } from 'vitest';
import { newId } from './id';

// RFC 4648 section 10: BASE32("f"), BASE32("fo"), BASE32("foobar"), without padding and in lower case.
it.each([
  ['f', 'my'],
  ['fo', 'mzxq'],
  ['foobar', 'mzxw6ytboi']
])('base32 of "%s"', (text, out) => expect(newId(new TextEncoder().encode(text))).toBe(out));

it('makes 26 characters, no two alike', () => {
  const ids = new Set(Array.from({ length: 100 }, () => newId()));
  expect(ids.size).toBe(100);
  for (const id of ids) expect(id).toMatch(/^[a-z2-7]{26}$/);
});
