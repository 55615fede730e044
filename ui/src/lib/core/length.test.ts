import { describe, expect, it } from 'vitest';
import { inchText, mmOf, parseLength, parseNumber } from './length';

describe('parseLength', () => {
  it.each([
    ['7294', 'mm', 7_294_000_000],
    ['7294.5', 'mm', 7_294_500_000],
    ['7294,5', 'mm', 7_294_500_000],
    ['-12', 'mm', -12_000_000],
    ['1', 'in', 25_400_000],
    ['287 3/16', 'in', 287 * 25_400_000 + 3 * 1_587_500],
    ['287-3/16', 'in', 287 * 25_400_000 + 3 * 1_587_500],
    ['3/16', 'in', 3 * 1_587_500],
    // One sixty-fourth is 396 875 nm: 25.4 mm (exact by definition) divided by 64.
    ['1/64', 'in', 396_875],
    ['36.5', 'in', 927_100_000]
  ] as const)('%s %s', (text, unit, nm) => expect(parseLength(text, unit)).toBe(nm));

  it.each([
    ['', 'mm'],
    ['abc', 'mm'],
    ['1.2.3', 'mm'],
    ['3/0', 'in'],
    ['5/4', 'in'],
    ['1/3', 'in'],
    ['NaN', 'mm'],
    ['1e5', 'mm']
  ] as const)('refuses "%s" %s', (text, unit) => expect(parseLength(text, unit)).toBeUndefined());
});

describe('inchText', () => {
  it.each([
    [287 * 25_400_000 + 3 * 1_587_500, '287 3/16'],
    [12_700_000, '1/2'],
    [25_400_000, '1'],
    [25_400_000 * 3 + 25_399_999, '4'],
    [-12_700_000, '−1/2'],
    [0, '0']
  ])('%d', (nm, text) => expect(inchText(nm)).toBe(text));
});

it('mmOf keeps a tenth', () => {
  expect(mmOf(7_294_500_000)).toBe(7294.5);
  expect(mmOf(75_769_000)).toBe(75.8);
});

it('parseNumber takes a comma and refuses words', () => {
  expect(parseNumber('1,5')).toBe(1.5);
  expect(parseNumber('−3')).toBe(-3);
  expect(parseNumber('1 500')).toBeUndefined();
});
