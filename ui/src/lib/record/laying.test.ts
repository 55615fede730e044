import { afterEach, describe, expect, it } from 'vitest';
import { showLengthsIn } from '$lib/core/format.svelte';
import type { Proposal, SharedPost } from '$lib/generated/api';
import { byUse, movedBottom, passing, proposalLines, sharedByAll, sharedText, stairText, standing, takeText, wishesOf } from './laying';

const MM = 1_000_000;
// The worked job: 12 wires at 76 below a rail at 985, row 80, 1330 N in bays up to 1500.
const chosen = {
  rowMm: 80, heightsNm: Array.from({ length: 12 }, (_, i) => (i + 1) * 76 * MM), spacingMm: 76, spacingSquareMm: 76, inHandMm: 4, topGapMm: 73,
  outcome: 'figure', leastTensionN: 1330, spherePasses: false, betweenPasses: false, widestClearMm: 74.4, floor: [], rail: [], stair: null, next: { atMm: 100 }
} as unknown as Proposal;
afterEach(() => showLengthsIn('mm'));

describe('a proposal', () => {
  it('leads with what is in hand and what the table asks', () => {
    expect(proposalLines(chosen)).toEqual(['76\u00a0mm apart, 76\u00a0mm … 912\u00a0mm', '4\u00a0mm in hand before the 100\u00a0mm row; 1330\u00a0N in the widest bay']);
  });
  it('tells one wire by its height alone', () => {
    expect(proposalLines({ ...chosen, heightsNm: [10 * MM], spacingMm: 10 })).toEqual(['1 wire at 10\u00a0mm', '1330\u00a0N in the widest bay']);
  });
  it('tells a rake square to the wires', () => {
    expect(proposalLines({ ...chosen, spacingMm: 93, spacingSquareMm: 75.8 })[0]).toContain('93\u00a0mm apart, 75.8\u00a0mm square to the wires');
  });
  it('is told in inches where lengths are', () => {
    showLengthsIn('in');
    const inches = { ...chosen, spacingMm: 76.2, spacingSquareMm: 76.2, heightsNm: [76.2 * MM, 152.4 * MM], next: null, outcome: 'outside' } as unknown as Proposal;
    expect(proposalLines(inches)[0]).toBe('3\u00a0in apart, 3\u00a0in … 6\u00a0in');
    expect(proposalLines(inches)[1]).toContain('no figure in a table');
    // A row and what is in hand are never told as more than they are: 3 15/16 in would be over the row of 100 mm.
    expect(proposalLines(chosen)[1]).toBe('0.157\u00a0in in hand before the 3\u00a07/8\u00a0in (100\u00a0mm) row; 1330\u00a0N in the widest bay');
    expect(proposalLines({ ...chosen, next: null, rowMm: 60 } as unknown as Proposal)[1]).toContain('2\u00a05/16\u00a0in (60\u00a0mm)');
  });
  it('stands where the record has the same heights and the overhang that it went by', () => {
    const record = { presentNm: chosen.heightsNm, overhangNm: null, presentOverhangNm: null };
    expect(standing(chosen, record)).toBe(true);
    expect(standing(chosen, { ...record, presentNm: chosen.heightsNm.slice(1) })).toBe(false);
    const typed = { ...record, overhangNm: 20 * MM };
    expect(standing(chosen, typed)).toBe(false);
    expect(standing(chosen, { ...typed, presentOverhangNm: 25 * MM })).toBe(false);
    expect(standing(chosen, { ...typed, presentOverhangNm: 20 * MM })).toBe(true);
    // Told as none is more than not told.
    expect(standing(chosen, { ...record, overhangNm: 0 })).toBe(false);
  });
  it('says what taking it records: the wires, or the overhang alone', () => {
    const record = { presentNm: chosen.heightsNm, overhangNm: 20 * MM, presentOverhangNm: null };
    expect(takeText(chosen, record)).toBe('Take the overhang of 20\u00a0mm into the record');
    expect(takeText(chosen, { ...record, presentNm: [] })).toBe('Take 12 wires into the record');
  });
});

describe('what the sphere passes', () => {
  const at = (name: string, countsMm: number, countsPasses: boolean) => ({ name, clearMm: 74.4, clearLaterMm: 74.4, levelMm: countsMm, passes: false, levelPasses: countsPasses, countsMm, countsPasses });
  const by = (sphereMm: number | null, followsFloor: boolean | null, railFollowsFloor: boolean | null = null) => ({ sphereMm, followsFloor, railFollowsFloor });
  const fallen = { ...chosen, spherePasses: true, widestClearMm: 147.4, floor: [at('A1', 74.4, false), at('A6', 147.4, true)] } as unknown as Proposal;
  it('names the gap below the bottom wire, though nothing passes between the wires', () => {
    expect(passing(chosen, by(125, false))).toEqual([]);
    const level = passing(fallen, by(125, false));
    expect(level).toHaveLength(1);
    expect(level[0]).toMatch(/sphere of 125.mm passes at rest: A6, 147.4.mm\. .*drilled level/);
    expect(passing(fallen, by(125, null))[0]).toContain('not told, so the wider gap counts');
  });
  it('names a stair’s triangle, and nothing that no sphere is named for', () => {
    const stair = { ...chosen, stair: { sphereMm: 159.1, ruleSphereMm: 152.4, passes: true } } as unknown as Proposal;
    expect(passing(stair, by(111, true))[0]).toMatch(/152.4.mm passes through the triangle/);
    expect(passing(fallen, by(null, true))).toEqual([]);
  });
  const raised = { ...chosen, spherePasses: true, widestClearMm: 131.4, rail: [{ name: 'A1', widestMm: 71.4, leastMm: 71.4, passes: false }, { name: 'A6', widestMm: 131.4, leastMm: 131.4, passes: true }] } as Proposal;
  it('names the gap above the top wire once, and how it was counted', () => {
    expect(passing(raised, by(125, true, false))).toEqual([
      'Between top wire and rail a sphere of 125\u00a0mm passes at rest: A6, 131.4\u00a0mm. Counted with heights marked from the floor at each post and a rail that runs level.'
    ]);
    for (const [wires, rail] of [[null, null], [true, null], [null, false]] as const) {
      expect(passing(raised, by(125, wires, rail))[0]).toMatch(/A6, 131.4.mm\. .*not told of both, so the wider gap counts\.$/);
    }
    // Between the wires it passes as well, by less or more.
    expect(passing({ ...raised, betweenPasses: true }, by(125, true, false))).toHaveLength(2);
    expect(passing({ ...chosen, spherePasses: true, betweenPasses: true }, by(125, true, true))).toEqual(['A sphere of 125\u00a0mm passes at rest.']);
  });
  it('puts such a layout behind one that nothing passes', () => {
    for (const passed of [fallen, raised, { ...raised, spherePasses: false }]) {
      expect(byUse([passed, { ...chosen, rowMm: 60, heightsNm: [1, ...chosen.heightsNm] }]).map((p) => p.rowMm)).toEqual([60, 80]);
    }
  });
});

describe('the order of proposals', () => {
  it('puts what is not allowed last and what the sphere passes after the rest', () => {
    const few = { ...chosen, heightsNm: [1], outcome: 'notAllowed' } as Proposal;
    const passes = { ...chosen, heightsNm: [1, 2], spherePasses: true } as Proposal;
    const close = { ...chosen, heightsNm: Array.from({ length: 17 }, (_, i) => i) } as Proposal;
    expect(byUse([close, few, passes, chosen])).toEqual([chosen, close, passes, few]);
  });
});

describe('what is asked', () => {
  it('leaves out what was left empty, and keeps the unit it was typed in', () => {
    expect(wishesOf({ rail: ' 985 ', bottom: '', widest: '3 1/8' }, 'in')).toEqual({
      unit: 'in', rail: { text: '985', unit: 'in' }, widest: { text: '3 1/8', unit: 'in' }
    });
    expect(wishesOf({}, 'mm')).toEqual({ unit: 'mm' });
  });
});

describe('two runs in one post', () => {
  const shared = { post: 'A6', stays: 'B', close: 2, woodMm: 20, upMm: 14, downMm: null, asideMm: null } as unknown as SharedPost;
  it('says which way to move, or that none does', () => {
    expect(sharedText(shared)).toMatch(/A6 also carries .*B: move this run’s wires 14\u00a0mm up\./);
    const none = 'Post A6 also carries run B: 2 pairs of holes come too close: change a depth or a face.';
    expect(sharedText({ ...shared, upMm: null, sentence: none })).toBe(none);
    const aside = sharedText({ ...shared, upMm: null, asideMm: 9 });
    expect(aside).toContain('no way of one spacing up or down');
    expect(aside).toMatch(/Holes 9.mm off the middle of their face, away from those of .*B/);
    expect(sharedText({ ...shared, asideMm: 7 })).toMatch(/14.mm up\. Holes 7.mm off/);
    expect(sharedText({ ...shared, close: 0 })).toContain('at least 20\u00a0mm of wood');
  });
  it('says once what holds for all proposals, and the rest beside its own', () => {
    const [fine, close] = [{ ...shared, close: 0 }, { ...shared, stays: 'C' }];
    const [a, b] = [{ ...chosen, sharedPosts: [fine, close] }, { ...chosen, sharedPosts: [fine, { ...close, upMm: 9 }] }];
    expect(sharedByAll([a, b])).toEqual([fine]);
    expect(sharedByAll([a])).toEqual([]);
    expect(sharedByAll([])).toEqual([]);
  });
  it('lays out from a moved bottom wire', () => {
    expect(movedBottom(chosen, 14, (nm) => String(nm / MM))).toBe('90');
  });
});

describe('the stair’s triangle', () => {
  const stair = { sphereMm: 160, aboveNosingsMm: 75, ruleSphereMm: 152.4, passes: true, belowMm: 60, sentence: '' };
  it('says below what the bottom wire has to stand', () => {
    expect(stairText(stair)).toContain('keep the bottom wire’s middle below 60\u00a0mm');
    // Never told as more than it is: 61.6 mm are 38.8 sixteenths, to the nearest 2 7/16 in.
    expect(stairText({ ...stair, belowMm: 60.98 })).toContain('below 60.9\u00a0mm');
    showLengthsIn('in');
    expect(stairText({ ...stair, belowMm: 61.6 })).toContain('below 2\u00a03/8\u00a0in');
    showLengthsIn('mm');
    expect(stairText({ ...stair, belowMm: null })).toContain('whatever the bottom wire’s height');
    expect(stairText({ ...stair, ruleSphereMm: null })).toContain('names no sphere for the triangle');
  });
});
