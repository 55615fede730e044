import { describe, expect, it } from 'vitest';
import type { FaceGroup, HoleLine } from '$lib/generated/api';
import { drilledAt, drillText, headOf, linesOf, offPlan, sameDrill } from './holes';

const hole = (post: string, face: string, wire: number, more: Partial<HoleLine> = {}): HoleLine => ({
  post, postName: post.toUpperCase(), face, wire, heightMm: wire * 76, asideMm: 0, diameterMm: 7, depthMm: 90, through: true, hand: null, riseDeg: 0,
  drilledBelowMm: null, plannedBelowMm: wire === 1 ? null : 76, plannedBelowSquareMm: null, ...more
});
const group = (title: string, ...faces: [string, string][]): FaceGroup => ({ title, faces: faces.map(([post, face]) => ({ post, postName: post.toUpperCase(), face })) });
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('faces drilled alike', () => {
  const both = group('A2, A4, both faces', ['a2', 'towards A1'], ['a2', 'towards A3'], ['a4', 'towards A3'], ['a4', 'towards A5']);
  const holes = [
    ...both.faces.flatMap((f) => [1, 2].map((wire) => hole(f.post, f.face, wire, f.post === 'a4' && wire === 2 ? { drilledBelowMm: 78.5 } : {}))),
    hole('a1', 'towards A2', 1, { through: false, depthMm: 62, diameterMm: 12, hand: 'LH', riseDeg: -35.45 })
  ];
  it('are headed by how many posts they are on', () => {
    expect(headOf(both)).toBe('Posts A2, A4, both faces');
    expect(headOf(group('A1 towards A2', ['a1', 'towards A2']))).toBe('Post A1 towards A2');
    expect(headOf(group('A2, both faces', ['a2', 'towards A1'], ['a2', 'towards A3']))).toBe('Post A2, both faces');
  });
  it('tell their holes by the first of them', () => expect(linesOf(both, holes).map((h) => [h.post, h.wire])).toEqual([['a2', 1], ['a2', 2]]));
  it('say once how the drill is held, with hand and depth', () => {
    expect(plain(drillText(holes.at(-1) as HoleLine))).toBe('12 mm, 62 mm deep, LH, falling 35.5° towards the run’s end');
    expect(plain(drillText(holes[0] as HoleLine))).toBe('7 mm, through, 90 mm long');
    expect(plain(drillText({ ...(holes[0] as HoleLine), asideMm: -9 }))).toBe('7 mm, through, 90 mm long, 9 mm left of the face’s middle');
    expect(sameDrill(linesOf(both, holes))).toBe(true);
    expect(sameDrill(holes)).toBe(false);
  });
  it('keep what was read as drilled apart by post, once for both faces', () => {
    expect(drilledAt(both, holes)).toEqual([{ post: 'a4', name: 'A4', below: { 2: 78.5 } }]);
    expect([offPlan(78.5, 76), offPlan(77.9, 76), offPlan(undefined, 76), offPlan(80, null)]).toEqual([true, false, false, false]);
  });
});
