import { describe, expect, it } from 'vitest';
import typed from '../../../../fixtures/typed/lengths.json';
import { asSaid, inchText, mmOf, parseFar, parseLength, parseLengths, parseNumber } from './length';

describe('parseLength', () => {
  it('reads what people type as the program does', () => {
    const cases = typed as { text: string; unit: 'mm' | 'in'; nm: number | null }[];
    expect(cases.length).toBeGreaterThan(1500);
    const otherwise = cases.map((one) => ({ ...one, read: parseLength(one.text, one.unit) ?? null })).filter((one) => one.read !== one.nm);
    expect(otherwise).toEqual([]);
  });

  it.each([
    ['7294', 'mm', 7_294_000_000],
    ['7294.5', 'mm', 7_294_500_000],
    ['7294,5', 'mm', 7_294_500_000],
    ['-12', 'mm', -12_000_000],
    ['1', 'in', 25_400_000],
    ['287 3/16', 'in', 287 * 25_400_000 + 3 * 1_587_500],
    ['287-3/16', 'in', 287 * 25_400_000 + 3 * 1_587_500],
    ['3/16', 'in', 3 * 1_587_500],
    // Two digits over the line are no whole number before it.
    ['11/16', 'in', 11 * 1_587_500],
    ['11 11/16', 'in', 11 * 25_400_000 + 11 * 1_587_500],
    // One sixty-fourth is 396 875 nm: 25.4 mm (exact by definition) divided by 64.
    ['1/64', 'in', 396_875],
    ['36.5', 'in', 927_100_000],
    // A unit that is typed counts before the field's.
    ['400in', 'mm', 10_160_000_000],
    ['62 inches', 'mm', 1_574_800_000],
    ['62"', 'mm', 1_574_800_000],
    ['1380 mm', 'in', 1_380_000_000],
    ['138 cm', 'mm', 1_380_000_000],
    ['1.8m', 'mm', 1_800_000_000],
    ["6'", 'mm', 72 * 25_400_000],
    ["23' 11 3/16\"", 'in', (23 * 12 + 11) * 25_400_000 + 3 * 1_587_500],
    ['5 ft 6 in', 'mm', 66 * 25_400_000]
  ] as const)('%s %s', (text, unit, nm) => expect(parseLength(text, unit)).toBe(nm));

  it.each([
    ['', 'mm'],
    ['abc', 'mm'],
    ['1.2.3', 'mm'],
    ['3/0', 'in'],
    ['5/4', 'in'],
    ['1/3', 'in'],
    ['311/16', 'in'],
    ['NaN', 'mm'],
    ['7mm294', 'mm'],
    ['in', 'mm'],
    ["6' x", 'in'],
    ['1e5', 'mm']
  ] as const)('refuses "%s" %s', (text, unit) => expect(parseLength(text, unit)).toBeUndefined());
});

const SIXTEENTH = 1_587_500;
describe('parseLengths', () => {
  it.each([
    ['76; 152; 228', 'mm', [76e6, 152e6, 228e6]],
    ['76,5;152.25;', 'mm', [76.5e6, 152.25e6]],
    ['1380\n1410', 'mm', [1380e6, 1410e6]],
    ['3 11/16; 7 5/16; 11', 'in', [59 * SIXTEENTH, 117 * SIXTEENTH, 176 * SIXTEENTH]],
    ['55 1/2; 54 7/8', 'in', [888 * SIXTEENTH, 878 * SIXTEENTH]],
    ['2,5; 3.25', 'in', [40 * SIXTEENTH, 52 * SIXTEENTH]]
  ] as const)('%j %s', (text, unit, nm) => expect(parseLengths(text, unit)).toEqual(nm));

  // A blank or a comma may stand within a length: it parts none.
  it.each([
    ['', 'mm'],
    [' ; ', 'mm'],
    ['1380 1410', 'mm'],
    ['1 380; 1 410', 'mm'],
    ['76, 152', 'mm'],
    ['3 11/16 7 5/16 11', 'in'],
    ['55 1/2 54 7/8', 'in'],
    ['3; five', 'in']
  ] as const)('refuses %j %s', (text, unit) => expect(parseLengths(text, unit)).toBeUndefined());
});

it.each([
  ['60', 'mm', 60e9],
  ['0,9', 'mm', 0.9e9],
  ['60 m', 'in', 60e9],
  ['200', 'in', 200 * 304.8e6],
  ['200 ft', 'mm', 200 * 304.8e6],
  ['60000 mm', 'mm', 60e9]
] as const)('far: %s beside %s', (text, unit, nm) => expect(parseFar(text, unit)).toBe(nm));

it.each([['55in', 'mm', '55in'], ['1380', 'mm', '1380 mm'], ['55 1/2', 'in', '55 1/2 in'], ['60', 'm', '60 m']] as const)('%s is said with the unit that it was read in', (text, unit, said) => {
  expect(asSaid(text, unit)).toBe(said);
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
  it('tells a small size on no sixteenth in thousandths: a drill, a deflection', () => {
    // 8.5 mm and 4 mm over 25.4; 6.35 mm is a quarter, 19.1 mm within a tenth of three quarters.
    expect([8.5, 4, 1, -3, 6.35, 19.1].map((mm) => inchText(mm * 1_000_000))).toEqual(['0.335', '0.157', '0.039', '−0.118', '1/4', '3/4']);
  });
  it('rounds a window inwards where it is told to', () => {
    // 2000.6 mm are 1260.2 sixteenths, 2028.2 mm 1277.6; 287 3/16 in lie on one.
    expect([inchText(2_000_600_000, 'up'), inchText(2_028_200_000, 'down')]).toEqual(['78 13/16', '79 13/16']);
    // A small size in thousandths: 4 mm are 157.48.
    expect([inchText(4_000_000, 'up'), inchText(4_000_000, 'down'), inchText(8_509_000, 'up'), inchText(8_509_000, 'down')]).toEqual(['0.158', '0.157', '0.335', '0.335']);
    const exact = 287 * 25_400_000 + 3 * 1_587_500;
    expect([inchText(exact, 'up'), inchText(exact, 'down')]).toEqual(['287 3/16', '287 3/16']);
  });
});

it('mmOf keeps a tenth', () => {
  expect(mmOf(7_294_500_000)).toBe(7294.5);
  expect(mmOf(75_769_000)).toBe(75.8);
  expect([mmOf(75_769_000, 'down'), mmOf(75_700_000, 'down'), mmOf(75_710_000, 'up')]).toEqual([75.7, 75.7, 75.8]);
});

it('parseNumber takes a comma and refuses words', () => {
  expect(parseNumber('1,5')).toBe(1.5);
  expect(parseNumber('−3')).toBe(-3);
  expect(parseNumber('1 500')).toBeUndefined();
});
