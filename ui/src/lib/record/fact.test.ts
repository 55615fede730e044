import { expect, it } from 'vitest';
import { readForm } from '$lib/core/form';
import { fittingFacts, strandFacts, toolFacts } from './facts-job';
import { endFact } from './facts-run';
import type { Fact } from './fact';

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
  const started = { ...pair, unequalStartNm: 0 };
  expect(through(started)).toEqual(started);
  const typed = { ...terminals.fill(pair, 'mm'), 'right.lockNutNm': '5' };
  expect(terminals.compose(readForm(terminals.inputs, typed, 'mm').values)).toEqual({ ...pair, right: { ...pair.right, lockNutNm: 5_000_000 } });
});
