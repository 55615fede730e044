import { describe, expect, it } from 'vitest';
import type { OwnStrand } from '$lib/generated/api';
import { readForm } from '$lib/core/form';
import { fittingForm, fittingSheet, readiness, strandForm, strandSheet, strandTyped } from './own-library';

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
  it('tells how many figures are asked for', () => {
    expect(readiness({ asks: [] } as unknown as OwnStrand)).toBe('ready for a job');
    expect(readiness({ asks: ['a', 'b'] } as unknown as OwnStrand)).toBe('2 figures are asked for');
  });
});
