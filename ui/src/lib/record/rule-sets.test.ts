import { describe, expect, it } from 'vitest';
import type { RuleChoice, RuleFigure, RuleSetsFor } from '$lib/generated/api';
import { changesOf, choiceLine, choiceOptions, figureName, grouped, outOfDate, startOf } from './rule-sets';

// IRC 2018 R312: 4 3/8 in on stairs is 111.125 mm; AU 2022 11.3.4(2): 1000 mm.
const figures = [
  { path: '/openings/1/sphereMm', mm: 111.125, what: '', clause: '', status: 'read' },
  { path: '/leastHeights/0/leastMm', mm: 1000, what: '', clause: '', status: 'read' }
] satisfies RuleFigure[];

describe('figures that were changed', () => {
  it('are those that were typed anew, in whole millimetres and in inches', () => {
    const start = startOf(figures, 'mm');
    expect(changesOf(figures, start, 'mm')).toEqual([]);
    expect(changesOf(figures, { ...start, [figureName(1)]: '1100' }, 'mm')).toEqual([{ path: '/leastHeights/0/leastMm', value: 1100 }]);
    const inches = startOf(figures, 'in');
    expect(inches[figureName(0)]).toBe('4 3/8');
    expect(changesOf(figures, { ...inches, [figureName(0)]: '4' }, 'in')).toEqual([{ path: '/openings/1/sphereMm', value: 101.6 }]);
  });
  it('are none where only the screen rounded', () => {
    // 1000 mm shows as 39 3/8 in, which is 1000.125 mm: nobody typed that.
    const inches = startOf(figures, 'in');
    expect(inches[figureName(1)]).toBe('39 3/8');
    expect(changesOf(figures, inches, 'in')).toEqual([]);
  });
  it('are left out where what was typed is no length', () => {
    expect(changesOf(figures, { ...startOf(figures, 'mm'), [figureName(0)]: 'wide' }, 'mm')).toEqual([]);
  });
});

describe('rule sets on screen', () => {
  const of = (name: string, country: string | null) => ({ name, country }) as RuleChoice;
  it('stand by country, that of the job first', () => {
    const all = [of('au', 'AU'), of('own', 'AU'), of('nz', 'NZ'), of('mine', null)];
    expect(grouped(all, of('nz', 'NZ')).map(([c, list]) => [c, list.length])).toEqual([['NZ', 1], ['', 1], ['AU', 2]]);
    expect(grouped(all, null).map(([c]) => c)).toEqual(['', 'AU', 'NZ']);
  });
  const set = (name: string, country: string, fit: string, firstDay: string | null) => ({ name, title: name, country, edition: '2022: a print', firstDay, fit, changed: null }) as unknown as RuleChoice;
  it('are chosen by edition, first day and standing to the permit', () => {
    const au = set('au', 'AU', 'notYet', '2023-05-01');
    expect(choiceLine(au, '2022-06-01')).toMatch(/^✕ au · AU · edition 2022 · counts from .*2023 · did not count yet$/);
    expect(choiceLine({ ...au, fit: 'inForce' }, '2026-09-02')).toMatch(/^au .* · counts from before that day; ask whether a later one does$/);
    // Without a permit's day nothing is said of a standing.
    expect(choiceLine(set('nz', 'NZ', 'notKnown', null), null)).toBe('nz · NZ · edition 2022 · first day not known');
    expect([outOfDate(au), outOfDate(set('x', 'AU', 'inForce', null)), outOfDate(null)]).toEqual([true, false, false]);
  });
  it('are offered with those of the job’s country first', () => {
    const [au, nz] = [set('au', 'AU', 'inForce', null), set('nz', 'NZ', 'notKnown', null)];
    const sets = { permit: null, choices: [au, nz], standing: nz, askFirst: [] } as RuleSetsFor;
    expect(choiceOptions(sets).map(([name]) => name)).toEqual(['nz', 'au']);
    expect(choiceOptions(undefined)).toEqual([]);
  });
});
