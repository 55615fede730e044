import { expect, it } from 'vitest';
import { strandFacts, toolFacts } from './facts-job';
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
