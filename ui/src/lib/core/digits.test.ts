import { afterEach, describe, expect, it, vi } from 'vitest';
import { plainDigits } from './digits';
import { inPlainDigits, readForm, type Field } from './form';
import { bareLength, celsius, chance, day, decimalSign, length, moment, newtons, number, tenths, windowOf } from './format.svelte';
import { parseLength, parseNumber } from './length';

const language = (of: string) => vi.stubGlobal('navigator', { language: of });
afterEach(() => vi.unstubAllGlobals());

/** Each with the sign that stands before its tenths, by the locale data of Unicode (CLDR) for the digits 0 to 9. */
const LOCALES: [language: string, sign: string][] = [['en-AU', '.'], ['de-DE', ','], ['fr-CH', ','], ['ar-EG', '.'], ['fa-IR', '.'], ['hi-IN', '.'], ['hi-IN-u-nu-deva', '.'], ['bn-BD', '.']];

describe.each(LOCALES)('%s', (of, sign) => {
  it('shows what is typed again in the digits 0 to 9, with its own decimal sign', () => {
    language(of);
    expect(decimalSign()).toBe(sign);
    expect(number(-7294.5)).toBe(`−7294${sign}5`);
    expect(tenths(7_294_000_000, 'mm')).toBe(`7294${sign}0`);
    expect(windowOf(7_294_120_000, 7_294_160_000, 'mm')).toEqual([`7294${sign}12`, `7294${sign}16`]);
    const told = [length(7_294_500_000, 'mm'), newtons(1450), newtons(86_815), celsius(-3.5), chance(0.5), day('2026-11-30'), moment(0, 600, 600)];
    expect(told.filter((one) => /(?![0-9])\p{Nd}/u.test(one))).toEqual([]);
  });

  it('reads what it shows', () => {
    language(of);
    for (const nm of [7_294_500_000, -12_000_000, 100_000, 0]) expect(parseLength(bareLength(nm, 'mm'), 'mm')).toBe(nm);
    for (const value of [-3.5, 1450, 0.25]) expect(parseNumber(number(value, 2))).toBe(value);
  });
});

describe('figures as other keyboards type them', () => {
  it.each([
    ['٧٢٩٤٫٥', '7294.5'],
    ['۷۲۹۴', '7294'],
    ['७२९४', '7294'],
    ['৭২৯৪', '7294'],
    ['７２９４', '7294'],
    ['٢٨٧ ٣/١٦', '287 3/16'],
    ['\u200e−12', '−12'],
    ['7294,5 mm', '7294,5 mm']
  ])('%s', (typed, plain) => expect(plainDigits(typed)).toBe(plain));

  it('every digit of theirs stands for its own value', () => {
    for (const zero of ['٠', '۰', '०', '০', '０']) {
      const all = Array.from({ length: 10 }, (_, i) => String.fromCharCode(zero.charCodeAt(0) + i)).join('');
      expect(plainDigits(all)).toBe('0123456789');
    }
    expect(parseNumber(plainDigits('٧٢٩٤٫٥'))).toBe(7294.5);
    // A sign between thousands is guessed at no more than elsewhere.
    expect(parseNumber(plainDigits('٧٬٢٩٤'))).toBeUndefined();
  });

  it('a form keeps them as figures, and words as they are', () => {
    const fields: Field[] = [{ name: 'clear', label: 'Clear', kind: 'length' }, { name: 'pull', label: 'Pull', kind: 'force' }, { name: 'note', label: 'Note', kind: 'long' }];
    const typed = inPlainDigits(fields, { clear: '٢٨٧ ٣/١٦', pull: '١٤٥٠', note: 'باب ٣' });
    expect(typed).toEqual({ clear: '287 3/16', pull: '1450', note: 'باب ٣' });
    expect(readForm(fields, typed, 'in')).toEqual({ values: { clear: 287 * 25_400_000 + 3 * 1_587_500, pull: 1_450_000, note: 'باب ٣' }, faults: {} });
  });
});
