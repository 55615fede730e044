import { expect, it } from 'vitest';
import { unbroken } from './format.svelte';
import { inOrder, isolated } from './isolated';

it('a name that runs from right to left is parted from the line, any other stays as it is', () => {
  expect(isolated('محمد علي')).toBe('\u2068محمد علي\u2069');
  expect(isolated(isolated('محمد علي'))).toBe('\u2068محمد علي\u2069');
  expect(isolated('Ann 2')).toBe('Ann 2');
});

it('a line that was composed elsewhere keeps its order', () => {
  expect(inOrder('محمد علي, 30 Nov 2026')).toBe('\u2068محمد علي\u2069, 30 Nov 2026');
  expect(inOrder('7294 mm (דוד בן-גוריון, 3 pm) ≠ 7296 mm')).toBe('7294 mm (\u2068דוד בן-גוריון\u2069, 3 pm) ≠ 7296 mm');
  // What was parted as a whole is not parted again.
  expect(inOrder(`${isolated('باب 3')}: علي 2`)).toBe('\u2068باب 3\u2069: \u2068علي\u2069 2');
  expect(inOrder('Wire 6, run A')).toBe('Wire 6, run A');
});

it('every row and button parts them', () => expect(unbroken('علي 12 mm')).toBe('\u2068علي\u2069 12\u00a0mm'));
