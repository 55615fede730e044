import { describe, expect, it } from 'vitest';
import type { FittingSheet, OwnFitting, OwnStrand } from '$lib/generated/api';
import { readForm } from '$lib/core/form';
import { fittingForm, fittingSheet, fittingTyped, readiness, strandForm, strandSheet, strandTyped } from './own-library';

const strand = { name: '3.2', sheet: 'Sheet T-4', construction: '1x19', diameterNm: '3.2', 'page:diameterNm': 'page 2', breakingMn: '8900' };

describe('a strand from its sheet', () => {
  it('keeps sheet and page of each figure and leaves out what is not told', () => {
    const { values, faults } = readForm(strandForm, strand, 'mm');
    expect(faults).toEqual({});
    expect(strandSheet(values)).toEqual({
      construction: '1x19',
      figures: { diameterNm: { n: 3_200_000, origin: 'Sheet T-4, page 2' }, breakingMn: { n: 8_900_000, origin: 'Sheet T-4' } }
    });
  });
  it('asks for the page of a figure once the figure is typed', () => {
    const asked = (typed: Record<string, string>) => strandForm.filter((f) => f.when?.(typed) ?? true).map((f) => f.name);
    expect(asked({}).filter((name) => name.startsWith('page:'))).toEqual([]);
    expect(asked(strand).filter((name) => name.startsWith('page:'))).toEqual(['page:diameterNm', 'page:breakingMn']);
    expect(asked({ ...strand, breakingMn: ' ' })).not.toContain('page:breakingMn');
  });
  it('asks for name, sheet and construction alone', () => {
    expect(Object.keys(readForm(strandForm, {}, 'mm').faults)).toEqual(['name', 'sheet', 'construction']);
  });
  it('reads inches where lengths are in inches', () => {
    const { values } = readForm(strandForm, { ...strand, diameterNm: '1/8' }, 'in');
    expect(strandSheet(values).figures.diameterNm?.n).toBe(3_175_000);
  });
  it('comes back into the form with its whole origin', () => {
    const { values } = readForm(strandForm, strand, 'mm');
    const own = { name: '3.2', sheet: strandSheet(values), asks: [], bands: [] } as unknown as OwnStrand;
    expect(strandTyped(own, 'mm')).toMatchObject({ diameterNm: '3.2', 'page:diameterNm': 'Sheet T-4, page 2', breakingMn: '8900' });
  });
});

describe('a fitting set from its sheet', () => {
  it('fills both hands alike, and the set beside them', () => {
    const typed = { name: 'M6', sheet: 'S', kind: 'insert', overallNm: '72', lockNutNm: '0', throughHoleNm: '9', permille: '65', 'page:permille': 'page 4', factorPercent: '3' };
    const { values, faults } = readForm(fittingForm, typed, 'mm');
    expect(faults).toEqual({});
    const sheet = fittingSheet(values);
    expect(sheet.left).toEqual(sheet.right);
    expect(sheet.left.overallNm).toEqual({ n: 72_000_000, origin: 'S' });
    expect(sheet.left.lockNutNm?.n).toBe(0);
    expect(sheet.set).toMatchObject({ throughHoleNm: { n: 9_000_000 }, permille: { n: 650, origin: 'S, page 4' }, factorPercent: { n: 300 } });
  });
  it('takes the pitch of an inch thread as a part of an inch', () => {
    const typed = { name: '1/4', sheet: 'S', kind: 'insert', threadDiameterNm: '1/4', pitchNm: '0.05' };
    const pitch = (more: Record<string, string>, unit: 'mm' | 'in') => fittingSheet(readForm(fittingForm, { ...typed, ...more }, unit).values).left;
    expect(pitch({}, 'in')).toMatchObject({ threadDiameterNm: { n: 6_350_000 }, pitchNm: { n: 1_270_000 } });
    expect(pitch({ threadDiameterNm: '1/4 in', pitchNm: '0.907143' }, 'mm')).toMatchObject({ threadDiameterNm: { n: 6_350_000 }, pitchNm: { n: 907_143 } });
  });
  it('tells how many figures are asked for', () => {
    expect(readiness({ asks: [] } as unknown as OwnStrand)).toBe('ready for a job');
    expect(readiness({ asks: ['a', 'b'] } as unknown as OwnStrand)).toBe('2 figures are asked for');
  });
});

describe('a sheet that is changed', () => {
  const own = {
    name: '3.2', asks: [], bands: [],
    sheet: { construction: '1x19', figures: { diameterNm: { n: 3_200_000, origin: 'Sheet T-4, page 2' }, breakingMn: { n: 8_900_000, origin: 'Sheet T-4' }, eaMn: { n: 794_597_123, origin: 'Sheet T-4, page 3' } } }
  } as unknown as OwnStrand;
  const edit = (change: Record<string, string>, unit: 'mm' | 'in' = 'mm') => {
    const typed = { ...strandTyped(own, unit), ...change };
    const { values, faults } = readForm(strandForm, typed, unit);
    expect(faults).toEqual({});
    return strandSheet(values, { own, typed, unit }).figures;
  };
  it('is the same when nothing was typed, in inches too', () => {
    expect(edit({})).toEqual(own.sheet?.figures);
    expect(edit({}, 'in')).toEqual(own.sheet?.figures);
  });
  it('keeps where its other figures are from', () => {
    const after = edit({ sheet: 'Sheet T-5', breakingMn: '9000', 'page:breakingMn': 'page 7', eaMn: '800000' });
    expect(after).toEqual({
      diameterNm: { n: 3_200_000, origin: 'Sheet T-4, page 2' },
      breakingMn: { n: 9_000_000, origin: 'Sheet T-5, page 7' },
      // Its page was left: that one is of the old sheet.
      eaMn: { n: 800_000_000, origin: 'Sheet T-5' }
    });
  });
  it('keeps a right hand that was told apart', () => {
    const sheet: FittingSheet = { kind: 'insert', left: { overallNm: { n: 72e6, origin: 'S' }, growthNm: { n: 0, origin: 'S' } }, right: { overallNm: { n: 75e6, origin: 'S' }, growthNm: { n: 0, origin: 'S' } }, set: {} };
    const set = { name: 'M6', asks: [], bands: [], sheet } as unknown as OwnFitting;
    const typed = { ...fittingTyped(set, 'mm'), growthNm: '1', sheet: 'sample' };
    const after = fittingSheet(readForm(fittingForm, typed, 'mm').values, { own: set, typed, unit: 'mm' });
    expect(after.right).toEqual({ overallNm: { n: 75e6, origin: 'S' }, growthNm: { n: 1e6, origin: 'sample' } });
  });
});
