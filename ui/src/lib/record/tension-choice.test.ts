import { describe, expect, it } from 'vitest';
import { readForm, type Field } from '$lib/core/form';
import type { TensionPlan } from '$lib/generated/api';
import { choiceOf, startOf, typedAs } from './tension-choice';

const FIELDS: Field[] = [
  { name: 'required', label: 'Required', kind: 'force', need: true },
  { name: 'from', label: 'From', kind: 'text' },
  { name: 'set', label: 'Set', kind: 'force', need: true },
  { name: 'upper', label: 'Upper', kind: 'force', need: true },
  { name: 'passes', label: 'Passes', kind: 'text' }
];
const plan = (suggestedN: number, upperN = 1800) =>
  ({ required: { newtons: 1330, origin: 'table a, row 1500', bay: 'A1–A2' }, mustShowN: 1330, decidedRequiredFrom: null, upperBare: false, suggestedN, usualPassesN: [600, 1100, suggestedN], upperN, upperOrigin: 'strand with its terminals' }) as unknown as TensionPlan;
const filled = (p: TensionPlan, more: Record<string, string> = {}) => {
  const { values, faults } = readForm(FIELDS, { ...startOf(p), ...more }, 'mm');
  expect(faults).toEqual({});
  return values;
};

describe('the form as it is filled in', () => {
  // 4 % gauges step by 50 N; 1 % gauges by 10 N.
  it.each([1500, 1460, 1570, 1463.5])('is kept as it stands for %d N', (set) => {
    const kept = choiceOf(plan(set), filled(plan(set)));
    expect(kept.setMn).toBe(set * 1000);
    expect(kept.passesMn.at(-1)).toBe(kept.setMn);
    expect(kept.passesMn).toEqual([...kept.passesMn].sort((a, b) => a - b));
    expect([kept.requiredOrigin, kept.upperOrigin]).toEqual(['table a, row 1500', 'strand with its terminals']);
  });
});

it('a figure that was typed is not said to be the table’s', () => {
  const p = plan(1500);
  expect(choiceOf(p, filled(p, { required: '900' })).requiredOrigin).toBe('');
  expect(choiceOf(p, filled(p, { required: '1600', from: ' letter EL-017 ' })).requiredOrigin).toBe('letter EL-017');
  expect(choiceOf(p, filled(p, { upper: '1750' })).upperOrigin).toBe('');
  expect(choiceOf({ ...p, required: null }, filled(p)).requiredOrigin).toBe('');
});

it('what was decided above the table is where the form starts, with who asked for it', () => {
  const p = { ...plan(1700), mustShowN: 1600, decidedRequiredFrom: 'letter EL-017' };
  expect(startOf(p)).toMatchObject({ required: '1600', from: 'letter EL-017' });
  const kept = choiceOf(p, filled(p));
  expect([kept.requiredMn, kept.requiredOrigin]).toEqual([1_600_000, 'letter EL-017']);
});

it('what was decided is where the form starts, whatever is suggested by now', () => {
  const p = { ...plan(1600), ceilingN: 1841, decidedSetN: 1520, decidedUpperN: 1700, decidedUpperFrom: 'letter EL-017, posts', decidedPassesN: [500, 900, 1520] };
  expect(startOf(p)).toMatchObject({ set: '1520', upper: '1700', passes: '500 900 1520' });
  const kept = choiceOf(p, filled(p));
  expect([kept.setMn, kept.upperMn, kept.passesMn]).toEqual([1_520_000, 1_700_000, [500_000, 900_000, 1_520_000]]);
  expect(kept.upperOrigin).toBe('letter EL-017, posts');
  expect(choiceOf(p, filled(p, { upper: '1690' })).upperOrigin).toBe('');
  // Between what the gauge can tell and what is held.
  const exact = { ...p, decidedSetN: 1820, decidedUpperN: 1841, decidedPassesN: [] };
  expect(startOf(exact)).toMatchObject({ set: '1820', upper: '1841' });
  expect(choiceOf(exact, filled(exact)).setMn).toBe(1_820_000);
  // A limit that came since bounds the upper one; what has to be shown by now, the set one.
  expect(startOf({ ...p, ceilingN: 1600 }).upper).toBe('1600');
  expect(startOf({ ...p, mustShowN: 1580 })).toMatchObject({ required: '1580', set: '1600', passes: '600 1100 1600' });
});

it('a limit without a factor is not offered as the upper tension', () => {
  expect(startOf({ ...plan(1500, 8900), upperBare: true }).upper).toBe('');
});

it('passes that are left empty are the program’s to choose', () => {
  const p = plan(1500);
  expect(startOf(p).passes).toBe('600 1100 1500');
  expect(choiceOf(p, filled(p, { passes: '' })).passesMn).toEqual([]);
});

it('passes that were left as they stood end at the set tension that was typed', () => {
  const p = plan(1500);
  expect(choiceOf(p, filled(p, { set: '1600' })).passesMn).toEqual([600_000, 1_100_000, 1_600_000]);
  expect(choiceOf(p, filled(p, { set: '1000', required: '900' })).passesMn).toEqual([600_000, 1_000_000]);
});

it('what nobody knows to be strong enough is no figure to start from', () => {
  const p = { ...plan(1500), upperN: null, suggestedN: null, usualPassesN: [] } as unknown as TensionPlan;
  expect(startOf(p)).toMatchObject({ set: '', upper: '', passes: '' });
});

it('refuses what can’t be, in words', () => {
  const p = plan(1500);
  expect(() => choiceOf(p, filled(p, { set: '1900', passes: '1900' }))).toThrow(/above the upper limit/);
  expect(() => choiceOf(p, filled(p, { passes: '600 1400' }))).toThrow(/last pass/);
});

it('keeps the figures as they were typed', () => {
  expect(typedAs({ required: '1330', set: '1490,5', upper: '2000', passes: '600 1490,5' })).toBe('required 1330 N; set 1490,5 N; upper 2000 N; passes 600 1490,5 N');
  expect(typedAs({ required: '1330', set: '1490', upper: '2000', passes: '' })).toBe('required 1330 N; set 1490 N; upper 2000 N');
});
