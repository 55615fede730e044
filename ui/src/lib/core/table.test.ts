import { describe, expect, it } from 'vitest';
import { figureOf, inOrderOf, tabbed } from './table';

describe('figureOf', () => {
  it.each([
    ['287 3/16', '.', 287.1875],
    ['3/16', '.', 0.1875],
    ['−1/2', '.', -0.5],
    ['287', '.', 287],
    ['7294.5', '.', 7294.5],
    ['7294,5 ~', ',', 7294.5],
    ['14.500', ',', 14_500],
    ['14,500', '.', 14_500],
    ['1,45,000', '.', 145_000],
    ['14\u202f500', ',', 14_500],
    ["14’500", '.', 14_500],
    ['−0,5', ',', -0.5],
    ['76–\u200b912', '.', 76],
    [12, '.', 12]
  ] as const)('%s with %s', (text, sign, value) => expect(figureOf(text, sign)).toBe(value));
  it.each(['LH', '', undefined, '~'])('%s is none', (text) => expect(figureOf(text, '.')).toBeUndefined());
});

const sorted = (cells: string[], number: boolean, up = true, sign = '.') => [...cells].sort((a, b) => inOrderOf(a, b, number, up, sign));

it('sorts fractions of inches and groups of thousands by size', () => {
  expect(sorted(['11 1/2', '2', '11 7/16', '1/2', ''], true)).toEqual(['1/2', '2', '11 7/16', '11 1/2', '']);
  expect(sorted(['2.000', '14.500', '950'], true, true, ',')).toEqual(['950', '2.000', '14.500']);
});

it('what says nothing stands last, downwards too, and words behind figures', () => {
  expect(sorted(['', '2', 'not read', '10'], true, false)).toEqual(['10', '2', 'not read', '']);
  expect(sorted(['A10–A11', 'A2–A3', '', 'A1–A2'], false)).toEqual(['A1–A2', 'A2–A3', 'A10–A11', '']);
  expect(sorted(['12', '6 ★', '7'], false)).toEqual(['6 ★', '7', '12']);
});

it('copies what a spreadsheet takes', () => {
  const lines = [[{ text: 'Wire' }, { text: 'Works' }], [{ text: '6 ★' }, { text: '3925–\u200b3933', number: true }], [{ text: 'a\tb' }, { text: '−3\u00a0mm', number: true }]];
  expect(tabbed(lines)).toBe('Wire\tWorks\n6 ★\t3925–3933\na b\t-3 mm\n');
});
