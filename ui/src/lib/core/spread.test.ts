import { expect, it } from 'vitest';
import { spread } from './spread';

const touching = (at: number[], widths: number[]) => at.some((a, i) => at.some((b, j) => i !== j && Math.abs(a - b) < ((widths[i] ?? 0) + (widths[j] ?? 0)) / 2));

it('leaves labels that are apart where they stand', () => expect(spread([50, 150, 250], [40, 40, 40], 6, 0, 320)).toEqual([50, 150, 250]));
it.each([
  [[100, 104, 108]],
  [[300, 301, 290]],
  [[10, 11, 12]],
  [[160, 160, 160]]
])('%j: none touches another', (middles) => {
  const widths = [45, 38, 80];
  const at = spread(middles, widths, 6, 0, 320);
  expect(touching(at, widths)).toBe(false);
  at.forEach((a, i) => expect(a >= (widths[i] ?? 0) / 2 - 1e-9 && a <= 320 - (widths[i] ?? 0) / 2 + 1e-9).toBe(true));
  // The order of the figures stays.
  const order = (list: number[]) => list.map((_, i) => i).sort((a, b) => (list[a] ?? 0) - (list[b] ?? 0));
  expect(order(at)).toEqual(order(middles));
});
