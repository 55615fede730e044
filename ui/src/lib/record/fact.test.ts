import { describe, expect, it } from 'vitest';
import { readForm } from '$lib/core/form';
import { fittingFacts, strandFacts, toolFacts } from './facts-job';
import { endFact, postFacts, runFacts } from './facts-run';
import { asItStood, enteredText, type Fact } from './fact';

const fact = (list: Fact[], field: string) => list.find((f) => f.field === field) as Fact;

it('tells scaled numbers as people say them, and fills forms so', () => {
  const error = fact(toolFacts, 'errorPer10000');
  expect(error.tell(400)).toBe('4 %');
  expect(error.fill(400, 'mm')).toEqual({ errorPer10000: '4' });
});
it('tells a group with colons after words, none after figures, and keeps short forms', () => {
  const told = fact(strandFacts, 'figures').tell({ construction: '1x19', diameterNm: 3_200_000, eaMn: 794_597_000, eaOrigin: 'assumed', stretchPpm: 300 });
  expect(told).toBe('construction: 1×19, diameter 3.2 mm, axial stiffness EA 794597 N, EA is from: assumed, permanent stretch 0.3 mm/m');
  expect(endFact.tell({ kind: 'insert', hand: 'LH', tensioner: true, angledSeat: false })).toBe(
    'kind of end: Stud into insert, hand: LH, left-hand, tensioned here: yes, angled seat under the fitting: no'
  );
});

it('keeps terminals that differ apart, and asks once for a pair that is alike', () => {
  const terminals = fact(fittingFacts, 'terminals');
  const names = ['overallNm', 'insertionNm', 'growthNm', 'threadNm', 'leastEngagementNm', 'startNm', 'reserveNm', 'lockNutNm', 'threadDiameterNm', 'pitchNm', 'holeNm', 'holeDepthNm'];
  const one = { kind: 'insert', ...Object.fromEntries(names.map((n, i) => [n, (i + 1) * 1_000_000])) };
  const through = (value: unknown) => terminals.compose(readForm(terminals.inputs, terminals.fill(value, 'mm'), 'mm').values);
  const pair = { left: { hand: 'LH', ...one, clearDepthNm: 9_000_000 }, right: { hand: 'RH', ...one, clearDepthNm: 9_000_000 }, origin: 'sheet' };
  expect(through(pair)).toEqual(pair);
  expect(terminals.fill(pair, 'mm')['right.overallNm']).toBeUndefined();
  const apart = { ...pair, right: { hand: 'RH', ...one, overallNm: 75_000_000 } };
  expect(through(apart)).toEqual(apart);
  expect(terminals.tell(apart)).toMatch(/^LH .*; RH .*75 mm/);
  const typed = { ...terminals.fill(pair, 'mm'), 'right.lockNutNm': '5' };
  expect(terminals.compose(readForm(terminals.inputs, typed, 'mm').values)).toEqual({ ...pair, right: { ...pair.right, lockNutNm: 5_000_000 } });
});

// 1 in = 25.4 mm exactly (1959): the figures below are the record's own nanometres.
describe('lengths that are told in inches', () => {
  const MM = 1_000_000;
  const heights = fact(runFacts, 'wireHeights');
  const typed = (f: Fact, value: unknown, change: Record<string, string> = {}) => ({ ...f.fill(value, 'in'), ...change });
  const through = (f: Fact, value: unknown, change: Record<string, string> = {}) => {
    const text = typed(f, value, change);
    return f.compose(asItStood(f, value, readForm(f.inputs, text, 'in').values, text, 'in'));
  };
  it.each([
    [[93, 186, 279]],
    [[76, 152, 228, 304, 380, 456, 532, 608, 684, 760, 836, 912]],
    [[71.4375, 142.875]]
  ])('heights %j come back as they were', (mm) => {
    const value = { nm: mm.map((h) => h * MM) };
    expect(through(heights, value)).toEqual(value);
  });
  it('a height typed anew is the only one that changes, with what was typed beside it', () => {
    const value = { nm: [93 * MM, 186 * MM, 279 * MM] };
    const change = { wireHeights: '3 11/16; 7 1/4; 11' };
    expect(through(heights, value, change)).toEqual({ nm: [93 * MM, 184_150_000, 279 * MM] });
    expect(enteredText(heights, typed(heights, value, change), 'in')).toBe('3 11/16; 7 1/4; 11 in');
  });
  it('a length that was left as it stood is not rounded, alone or in a group', () => {
    expect(through(fact(runFacts, 'height'), { nm: 1020 * MM })).toEqual({ nm: 1020 * MM });
    const section = { alongNm: 115 * MM, acrossNm: 90 * MM };
    expect(through(fact(postFacts, 'section'), section, { acrossNm: '4' })).toEqual({ alongNm: 115 * MM, acrossNm: 101_600_000 });
  });
  it('blanks part no heights', () => expect(readForm(heights.inputs, { wireHeights: '3 11/16 7 5/16 11' }, 'in').faults.wireHeights).toContain('semicolon'));
});
