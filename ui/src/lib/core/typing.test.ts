// Held against exact fractions: an inch is 25.4 mm by definition (international yard and pound agreement, 1959), a sixty-fourth of it
// 396 875 nm, a foot twelve inches; whole numbers throughout.
import { describe, expect, it } from 'vitest';
import typed from '../../../../fixtures/typed/lengths.json';
import { parseLength } from './length';
import { doubtTyped } from './odd';
import { complete, entered, padDraft, padDraftOf, press, startPad, type PadKey, type PadText } from './pad';
import { characterOf, inOther, toldHalf, toldIn, toldStrokes, typeAll, typeOne } from './typing';

const INCH = 25_400_000;
const LEADS = [[], [7294], [7300, 7294], [12_310], [985]];
const type = (text: string, near: number[] = []) => [...text].reduce((at, one) => typeOne(at, one), startPad(near));
const read = (text: PadText, unit: 'mm' | 'in') => (complete(text) ? parseLength(entered(text), unit) : undefined);

describe('fractions as they are typed', () => {
  const halves = [2, 4, 8, 16, 32, 64];
  const fractions = halves.flatMap((under) => Array.from({ length: under - 1 }, (_, i) => ({ text: `${i + 1}/${under}`, nm: ((i + 1) * INCH) / under })));
  const wholes = [0, 1, 3, 11, 62, 287, 1203];

  it('are read exactly, behind whole inches, whatever stood beside', () => {
    const wrong: unknown[] = [];
    for (const near of LEADS) {
      for (const whole of wholes) {
        for (const { text, nm } of fractions) {
          for (const between of whole === 0 ? [''] : [' ', '-']) {
            const all = `${whole === 0 ? '' : whole}${between}${text}`;
            const found = type(all, near);
            if (read(found, 'in') !== whole * INCH + nm || entered(found) !== all) wrong.push([near, all, entered(found)]);
          }
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  it('are read exactly behind feet, in either unit, with marks or letters', () => {
    const wrong: unknown[] = [];
    for (const feet of [1, 9, 23, 100]) {
      for (const inches of [0, 1, 9, 10, 11]) {
        for (const { text, nm } of fractions) {
          const parts = `${inches === 0 ? '' : `${inches} `}${text}`;
          for (const all of [`${feet}' ${parts}"`, `${feet}'${parts}`, `${feet} ft ${parts} in`, `${feet}′ ${parts}″`]) {
            for (const unit of ['mm', 'in'] as const) {
              const found = type(all, [7294]);
              if (read(found, unit) !== (feet * 12 + inches) * INCH + nm || entered(found) !== all) wrong.push([all, unit, entered(found)]);
            }
          }
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  it('are read exactly by the keys on the glass: sixteenths, with feet and without', () => {
    const digits = (n: number): PadKey[] => [...String(n)].map((digit) => ({ kind: 'digit', digit }));
    const wrong: unknown[] = [];
    for (const feet of [0, 1, 6, 23, 104]) {
      for (const inches of [0, 1, 9, 10, 11, 287]) {
        if (feet === 0 && inches === 0) continue;
        for (let top = 0; top < 16; top += 1) {
          const keys: PadKey[] = [...(feet ? [...digits(feet), { kind: 'feet' as const }] : []), ...(inches ? digits(inches) : []), ...(top ? [{ kind: 'sixteenths' as const }, ...digits(top)] : [])];
          const found = keys.reduce((at, key) => press(at, key, 'in'), startPad());
          if (read(found, 'in') !== (feet * 12 + inches) * INCH + (top * INCH) / 16) wrong.push([feet, inches, top, entered(found)]);
        }
      }
    }
    expect(wrong).toEqual([]);
  });
});

describe('what people type', () => {
  const cases = typed as { text: string; unit: 'mm' | 'in'; nm: number | null }[];
  // The very table that the program's own reading is held to.
  it('is read on an empty pad as the program reads it', () => {
    expect(cases.length).toBeGreaterThan(1500);
    const wrong = cases.filter(({ text, unit, nm }) => {
      const found = type(text);
      // A number that ends in its point is typed on; it is refused in words.
      return complete(found) ? (read(found, unit) ?? null) !== nm : !/^\s*$|\.$|,$/.test(text);
    });
    expect(wrong).toEqual([]);
  });
  it('is taken behind leading digits only where it is the last digits, with a tenth or without', () => {
    const wrong = [{ near: [7294], lead: '72', free: 2 }, { near: [7300, 7294], lead: '7', free: 3 }].flatMap(({ near, lead, free }) =>
      cases.filter(({ text, unit, nm }) => {
        const found = type(text, near);
        const last = new RegExp(`^\\d{${free}}([.,]\\d)?$`).test(text);
        if (last) return entered(found) !== lead + text.replace(',', '.');
        return complete(found) ? (read(found, unit) ?? null) !== nm : !new RegExp(`^\\d{0,${free}}$|[.,]$`).test(text);
      }));
    expect(wrong).toEqual([]);
  });
  it('never loses a character that counts', () => {
    // By a fixed row of numbers (Park and Miller 1988), the same each time.
    let dice = 26;
    const next = (n: number) => ((dice = (dice * 48_271) % 2_147_483_647), dice % n);
    const signs = [...'0123456789012345678901234567890123456789..,//   \'"-mincftx⅜🙂'];
    const wrong: string[] = [];
    for (let i = 0; i < 4000; i += 1) {
      const text = Array.from({ length: 1 + next(14) }, () => signs[next(signs.length)]).join('');
      for (const unit of ['mm', 'in'] as const) {
        const found = type(text);
        // A point alone is shown as `0.`: no length either way.
        if (complete(found) && (read(found, unit) ?? 0) !== (parseLength(text, unit) ?? 0)) wrong.push(text);
      }
    }
    expect(wrong).toEqual([]);
  });
});

describe('metres from a laser', () => {
  it('are a whole value behind any lead, with their unit and without', () => {
    const wrong: unknown[] = [];
    for (const near of LEADS) {
      for (let mm = 1; mm < 100_000; mm += 37) {
        const metres = `${Math.floor(mm / 1000)}.${String(mm % 1000).padStart(3, '0')}`;
        for (const said of [' m', 'm', '']) {
          const found = type(metres + said, near);
          const nm = mm * (said ? 1_000_000 : 1000);
          if (read(found, 'mm') !== nm || entered(found) !== metres + said) wrong.push([near, metres + said, entered(found)]);
        }
      }
    }
    expect(wrong).toEqual([]);
  });
  it('come with noughts before them', () => expect([entered(type('07294', [7294])), entered(type('0007.294', [7294]))]).toEqual(['07294', '0007.294']));
});

describe('a number that may be metres', () => {
  const wire = { name: 'wire 3', nm: 7_297_000_000 };
  it.each([
    ['7.293', 'mm', wire, 'm'],
    ['7.293', 'mm', undefined, 'm'],
    ['7.29', 'mm', undefined, 'm'],
    ['1.380', 'mm', { ...wire, nm: 285_000_000, differs: true }, 'm'],
    ['729.3', 'mm', wire, 'cm'],
    ['7.293', 'in', wire, 'm'],
    ['287', 'mm', wire, 'in']
  ] as const)('%s %s beside %j is offered in %s', (text, unit, near, instead) => expect(doubtTyped(text, unit, near)).toMatchObject({ kind: 'ask', instead }));
  it.each(['7294.5', '7294', '7.293 m', '7293 mm', '729.4 cm'])('%s is none', (text) => expect(doubtTyped(text, 'mm', wire)).toEqual({ kind: 'fine' }));
  it('is none with another unit said', () => {
    expect(doubtTyped('287 3/8 in', 'mm', wire)).toEqual({ kind: 'fine' });
    const asked = doubtTyped('7.3 mm', 'mm', wire);
    expect(asked.kind).toBe('ask');
    expect(asked).not.toHaveProperty('instead');
  });
  it('is told both ways, and taken as it would stand', () => {
    expect(doubtTyped('7.293', 'mm')).toMatchObject({ question: '7.293\u00a0mm? As metres it would be 7293\u00a0mm.' });
    const as = inOther(typeAll('7.293'), 'm', 'mm');
    expect(as && [entered(as.as), as.unit, as.nm]).toEqual(['7.293 m', 'mm', 7_293_000_000]);
    const inches = inOther(typeAll('287'), 'in', 'mm');
    expect(inches && [entered(inches.as), inches.unit, inches.nm]).toEqual(['287', 'in', 287 * INCH]);
    expect(inOther(typeAll('287'), undefined, 'mm')).toBeUndefined();
  });
});

it.each(['62 1', "23' x", '🙂', 'abc', '1.2.3', '5/4', '287/3', '7.294.5', '1'.repeat(41), 'm'])('%s is refused in words, and they tell it', (text) => {
  const doubt = doubtTyped(entered(type(text)), 'mm');
  expect(doubt).toMatchObject({ kind: 'refuse', reason: expect.stringContaining(text.slice(0, 40)) });
});
it('a number that is not more than nothing keeps its own words', () => expect([doubtTyped('0', 'mm'), doubtTyped('', 'mm')].map((d) => d.kind)).toEqual(['refuse', 'refuse']));

describe('typed characters beside the keys', () => {
  it('go on from begun sixteenths as a fraction', () => {
    const begun = (['2', '8', '7', '/', '3'] as const).reduce((at, k) => press(at, k === '/' ? { kind: 'sixteenths' } : { kind: 'digit', digit: k }, 'in'), startPad());
    expect([entered(begun), entered(typeOne(begun, '/')), entered(typeOne(begun, '"'))]).toEqual(['287 3/16', '287 3/', '287 3/16"']);
  });
  it('are rubbed out one by one, back to digits', () => {
    const all = type('7.3 m', [7294]);
    const rubbed = press(press(all, { kind: 'rub' }), { kind: 'rub' });
    expect([all.written, rubbed.written, entered(rubbed)]).toEqual([true, undefined, '7.3']);
    expect(entered(press(type('7🙂'), { kind: 'rub' }))).toBe('7');
  });
  it('outlive a closed app as a draft', () => {
    const half = padDraft(type("23' 11"), 'in');
    expect(padDraftOf(JSON.parse(JSON.stringify(half)), 'mm')).toEqual(half);
    expect(half && toldHalf(half)).toBe("23' 11…");
    expect(toldHalf({ text: type('72'), unit: 'mm' })).toBe('72… mm');
  });
  it('come from a key that waits for another letter', () => {
    const key = (key: string, code = '', shiftKey = false) => characterOf({ key, code, shiftKey });
    expect([key('Dead', 'Quote'), key('Dead', 'Quote', true), key('Dead', 'Equal'), key('7'), key('Shift'), key('F5')]).toEqual(["'", '"', '´', '7', undefined, undefined]);
  });
  it('are told with the unit they are read in', () => expect([toldIn('7294', 'mm'), toldIn('7.294 m', 'mm'), toldIn('1490', 'N')]).toEqual(['7294 mm', '7.294 m', '1490 N']));
  it('are told where they found no place', () => expect(toldStrokes([{ kind: 'typed', character: '7' }, { kind: 'digit', digit: '3' }, { kind: 'point' }, { kind: 'pasted', value: '12' }, { kind: 'enter' }])).toBe('73.12'));
});
