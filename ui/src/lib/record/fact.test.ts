import { describe, expect, it } from 'vitest';
import { readForm } from '$lib/core/form';
import { fittingFacts, strandFacts, toolFacts } from './facts-job';
import { endFact, postFacts, runFacts } from './facts-run';
import { asItStood, asList, type Fact } from './fact';
import { typedText } from '$lib/core/form';

const fact = (list: Fact[], field: string) => list.find((f) => f.field === field) as Fact;

it('tells scaled numbers as people say them, and fills forms so', () => {
  const error = fact(toolFacts, 'errorPer10000');
  expect(error.tell(400)).toBe('4\u00a0%');
  expect(error.fill(400, 'mm')).toEqual({ errorPer10000: '4' });
});
it('tells a group with colons after words, none after figures, and keeps short forms', () => {
  const told = fact(strandFacts, 'figures').tell({ construction: '1x19', diameterNm: 3_200_000, eaMn: 794_597_000, eaOrigin: 'assumed', stretchPpm: 300 });
  expect(told.replace(/794\D597/, '794597')).toBe('construction: 1×19, diameter 3.2\u00a0mm, axial stiffness EA 794597\u00a0N, EA is from: assumed, permanent stretch 0.3\u00a0mm/m');
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
  expect(terminals.tell(apart)).toMatch(/^LH .*; RH .*75\u00a0mm/);
  const started = { ...pair, unequalStartNm: 0 };
  expect(through(started)).toEqual(started);
  const typed = { ...terminals.fill(pair, 'mm'), 'right.lockNutNm': '5' };
  expect(terminals.compose(readForm(terminals.inputs, typed, 'mm').values)).toEqual({ ...pair, right: { ...pair.right, lockNutNm: 5_000_000 } });
});

it('lists figures with their labels, and where each is from below it', () => {
  const figures = fact(strandFacts, 'figures');
  const value = { construction: '1x19', diameterNm: 3_200_000, eaMn: 794_597_000, eaOrigin: 'assumed', breakingOrigin: 'sheet 3', stretchPpm: 300, stretchOrigin: 'measured' };
  expect(figures.lines(value).map((l) => [l.label, l.value.replace(/\D597/, '597'), l.origin])).toEqual([
    ['Construction', '1×19', undefined], ['Diameter', '3.2\u00a0mm', undefined], ['Axial stiffness EA', '794597\u00a0N', 'assumed'],
    // Where nothing stands of which it could be the origin, it is a line of its own.
    ['Breaking load is from', 'sheet 3', undefined], ['Permanent stretch', '0.3\u00a0mm/m', 'measured']
  ]);
  expect(asList(figures, value)).toHaveLength(5);
  expect(asList(fact(fittingFacts, 'throughHole'), { nm: 9_000_000 })).toEqual([]);
  expect(fact(fittingFacts, 'throughHole').lines({ nm: 9_000_000 })).toEqual([{ label: 'Hole through intermediate posts', value: '9\u00a0mm' }]);
});

it('lists a pair of terminals once where they are alike, and by hand where they differ', () => {
  const terminals = fact(fittingFacts, 'terminals');
  const left = { hand: 'LH', kind: 'insert', overallNm: 70_000_000, threadNm: 30_000_000, pitchNm: 1_000_000 };
  const told = (right: object) => terminals.lines({ left, right: { ...left, hand: 'RH', ...right }, origin: 'sheet' }).map((l) => `${l.label}: ${l.value.replace('\u00a0', ' ')}${l.origin ?? ''}`);
  expect(told({})).toEqual(['Kind of end: Stud into insert', 'Stud length overall: 70 mm', 'Usable thread: 30 mm', 'Thread pitch: 1 mm', 'Where the figures are from: sheet']);
  expect(told({ threadNm: 32_000_000 })).toContain('Usable thread, RH: 32 mm');
  expect(told({ threadNm: 32_000_000 })).toContain('Usable thread, LH: 30 mm');
  expect(terminals.brief?.({ left, right: { ...left, hand: 'RH' }, origin: 'sheet' }).map((l) => l.label)).toEqual(['Kind of end', 'Stud length overall', 'Usable thread', 'Where the figures are from']);
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
    expect(typedText(heights.inputs, typed(heights, value, change), 'in')).toBe('3 11/16; 7 1/4; 11 in');
  });
  it('a length that was left as it stood is not rounded, alone or in a group', () => {
    expect(through(fact(runFacts, 'height'), { nm: 1020 * MM })).toEqual({ nm: 1020 * MM });
    const section = { alongNm: 115 * MM, acrossNm: 90 * MM };
    expect(through(fact(postFacts, 'section'), section, { acrossNm: '4' })).toEqual({ alongNm: 115 * MM, acrossNm: 101_600_000 });
  });
  it('blanks part no heights', () => expect(readForm(heights.inputs, { wireHeights: '3 11/16 7 5/16 11' }, 'in').faults.wireHeights).toContain('semicolon'));
});
