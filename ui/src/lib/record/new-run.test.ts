import { describe, expect, it } from 'vitest';
import { baySubject, positions, runClaims, wireHeights, type RunPlan } from './new-run';

const MM = 1_000_000;
const mm = (list: number[]) => list.map((v) => v * MM);

const plan: RunPlan = {
  name: 'A',
  surface: 'deck',
  shape: 'level',
  endWidthNm: 115 * MM,
  innerWidthNm: 90 * MM,
  baysNm: mm([1380, 1410, 1395, 1560, 1195]),
  baysMeasured: true,
  wireCount: 12,
  firstWireNm: 76 * MM,
  spacingNm: 76 * MM,
  endKind: 'insert',
  tensioner: 'right'
};

it('twelve wires at 76 end at 912', () => expect(wireHeights(12, 76, 76).at(-1)).toBe(912));

it('posts stand so that inside to inside is the bays and the inner posts', () => {
  const at = positions(plan.baysNm, plan.endWidthNm, plan.innerWidthNm);
  expect(at).toHaveLength(6);
  const inside = (at.at(-1) ?? 0) - plan.endWidthNm;
  expect(inside / MM).toBe(1380 + 1410 + 1395 + 1560 + 1195 + 4 * 90);
});

describe('runClaims', () => {
  it('names posts from the run and gives each end its hand', () => {
    const { claims } = runClaims(plan);
    const names = claims.filter((c) => c.subject.startsWith('post:') && c.field === 'name').map((c) => c.value);
    expect(names).toEqual(['A1', 'A2', 'A3', 'A4', 'A5', 'A6']);
    const ends = claims.filter((c) => c.field === 'end').map((c) => c.value);
    expect(ends).toEqual([
      { kind: 'insert', hand: 'LH', tensioner: false },
      { kind: 'insert', hand: 'RH', tensioner: true }
    ]);
    expect(claims.filter((c) => c.field === 'clear')).toHaveLength(5);
  });
  it('leaves a shared post’s own facts alone', () => {
    const { claims, run } = runClaims({ ...plan, firstPost: 'shared', baysMeasured: false });
    const shared = claims.filter((c) => c.subject === 'post:shared');
    expect(shared.map((c) => c.field)).toEqual(['position', 'role', 'end']);
    expect(shared.every((c) => c.place === run)).toBe(true);
    expect(claims.some((c) => c.field === 'clear')).toBe(false);
  });
});

it('a bay names its smaller post first', () => expect(baySubject('b', 'a')).toBe('bay:a:b'));
