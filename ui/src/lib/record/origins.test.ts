import { describe, expect, it } from 'vitest';
import { readForm } from '$lib/core/form';
import { fittingFacts } from './facts-job';
import { asItStood, type Fact } from './fact';
import { withOrigins, type Pair } from './origins';

const NAMES = ['overallNm', 'growthNm'];
const hand = (overallNm: number, growthNm: number) => ({ overallNm, growthNm });
const sheet: Pair = {
  left: hand(72, 0), right: hand(72, 0), unequalStartNm: 1, origin: 'assumed; sheet 7',
  origins: { 'left.overallNm': 'sheet 7', 'right.overallNm': 'sheet 7', 'left.growthNm': 'assumed', 'right.growthNm': 'assumed', unequalStartNm: 'sheet 7', throughHoleNm: 'sheet 7, page 3' }
};

describe('origins of single figures', () => {
  it('stay with what was left as it stood; what was changed is from where the form says now', () => {
    const after = withOrigins(sheet, { ...sheet, left: hand(72, 1), right: hand(72, 1), origin: 'measured' }, NAMES);
    expect(after.origins).toEqual({ ...sheet.origins, 'left.growthNm': 'measured', 'right.growthNm': 'measured' });
    expect(after.origin).toBe('measured; sheet 7');
  });
  it('are asked for where a figure was changed and nobody said from where', () => {
    expect(() => withOrigins(sheet, { ...sheet, left: hand(73, 0) }, NAMES)).toThrow(/where the changed figures are from/);
  });
  it('are those of one sheet where nothing else was told', () => {
    const { origins: _, ...plain } = sheet;
    expect(withOrigins(plain, { ...plain, left: hand(73, 0) }, NAMES)).toEqual({ ...plain, left: hand(73, 0) });
    const after = withOrigins(plain, { ...plain, left: hand(73, 0), origin: 'measured' }, NAMES);
    expect(after.origins).toEqual({
      'left.overallNm': 'measured', 'right.overallNm': plain.origin, 'left.growthNm': plain.origin, 'right.growthNm': plain.origin, unequalStartNm: plain.origin
    });
  });
  it('are put right as a whole where no figure was changed, and gone with their figure', () => {
    expect(withOrigins(sheet, { ...sheet, origin: 'sheet 7, second edition' }, NAMES)).toEqual({ ...sheet, origin: 'sheet 7, second edition' });
    const { unequalStartNm: _, ...without } = sheet;
    expect(withOrigins(sheet, without, NAMES).origins).not.toHaveProperty('unequalStartNm');
  });
  it('are one again where all figures are new', () => {
    const all = { ...sheet, left: hand(1, 2), right: hand(1, 2), unequalStartNm: 3, origin: 'sheet 9' };
    expect(withOrigins(sheet, all, NAMES)).toEqual({ ...all, origins: { throughHoleNm: 'sheet 7, page 3' } });
  });
});

describe('the form of terminals', () => {
  const fact = fittingFacts.find((f) => f.field === 'terminals') as Fact;
  const names = ['overallNm', 'insertionNm', 'growthNm', 'threadNm', 'leastEngagementNm', 'startNm', 'reserveNm', 'lockNutNm', 'threadDiameterNm', 'pitchNm', 'holeNm', 'holeDepthNm'];
  const one = { kind: 'insert', ...Object.fromEntries(names.map((n, i) => [n, (i + 1) * 1_000_000])) };
  const value = { left: { hand: 'LH', ...one }, right: { hand: 'RH', ...one }, unequalStartNm: 500_000, origin: 'sheet 7', origins: { 'left.growthNm': 'sample crimp', 'right.growthNm': 'sample crimp' } };
  const edit = (change: Record<string, string>, unit: 'mm' | 'in' = 'mm') => {
    const typed = { ...fact.fill(value, unit), ...change };
    return fact.onto?.(asItStood(fact, value, readForm(fact.inputs, typed, unit).values, typed, unit), value) as typeof value;
  };
  it('changes nothing when nothing was typed, in inches too', () => {
    expect(edit({})).toEqual(value);
    expect(edit({}, 'in')).toEqual(value);
  });
  it('keeps the origins of the figures that were left', () => {
    const after = edit({ overallNm: '75', origin: 'caliper' });
    expect([after.left.hand, (after.left as Record<string, unknown>).overallNm]).toEqual(['LH', 75_000_000]);
    expect(after.origins).toMatchObject({ 'left.overallNm': 'caliper', 'right.overallNm': 'caliper', 'left.growthNm': 'sample crimp', 'left.threadNm': 'sheet 7' });
    expect(after.origin).toBe('caliper; sample crimp; sheet 7');
  });
  it('lists each figure with its own origin', () => {
    const lines = fact.lines(value);
    expect(lines.filter((l) => l.origin === 'sample crimp')).toHaveLength(1);
    expect(lines.at(-1)?.origin).toBe('sheet 7');
  });
});
