import { describe, expect, it } from 'vitest';
import { batchFacts, batchFactsFor, toolFacts } from './facts-job';
import { runFacts } from './facts-run';
import type { Fact } from './fact';
import { shownFacts } from './shown-facts';
import type { Known, Standing, Thing } from './view';

const thing = (values: Record<string, unknown>, standing: Standing = 'agreed'): Thing => ({
  subject: 's', id: 's', name: 'S', repeats: {},
  facts: Object.fromEntries(Object.entries(values).map(([field, value]): [string, Known] => [field, { subject: 's', field, place: '', standing, value, tips: [] }]))
});
const names = (of: Thing, facts: Fact[], asked = '') => shownFacts(of, facts, '', asked).map((f) => f.field);
const OWN = ['size', 'massMg', 'rangeFrom', 'rangeTo', 'errorPer10000', 'reference'];
const own = (of: Thing, asked = '') => names(of, toolFacts, asked).filter((f) => OWN.includes(f));

it.each([
  ['tensionGauge', ['rangeFrom', 'rangeTo', 'errorPer10000']],
  ['mass', ['massMg']],
  ['laser', ['reference']],
  ['probe', ['size']],
  ['press', []]
])('of a %s the card asks for %j', (kind, fields) => {
  expect(own(thing({ kind }))).toEqual(fields);
  expect(names(thing({ kind }), toolFacts)).toContain('due');
});

it('what somebody said is shown whatever the kind is, also where people differ', () => {
  expect(own(thing({ kind: 'press', massMg: 2_003_000 }))).toEqual(['massMg']);
  expect(own(thing({ size: { nm: 1 } }, 'disputed'))).toEqual(['size']);
  expect(own(thing({ size: null }, 'withdrawn'))).toEqual([]);
});

it('a fact whose form is opened is there', () => expect(own(thing({ kind: 'mass' }), 'size')).toEqual(['size', 'massMg']));

it('metres are asked of strand alone, a slope of every run but a level one', () => {
  expect([names(thing({ kind: 'strand' }), batchFacts), names(thing({ kind: 'inserts' }), batchFacts)].map((f) => f.includes('metres'))).toEqual([true, false]);
  const slope = (values: Record<string, unknown>) => names(thing(values), runFacts).includes('slope');
  expect([slope({ shape: 'level' }), slope({ shape: 'raked' }), slope({}), slope({ shape: 'level', slope: { riseNm: 1, goingNm: 1 } })]).toEqual([false, true, true, true]);
});

describe('of a delivery the card asks for what belongs to its kind', () => {
  const of = (values: Record<string, unknown>) => {
    const batch = thing(values);
    return shownFacts(batch, batchFactsFor(batch, []));
  };
  const HANDS = ['thread', 'leftMark'];
  const REELS = ['reel', 'lay', 'offcut'];
  const inputs = (values: Record<string, unknown>) => of(values).find((f) => f.field === 'arrival')?.inputs.map((i) => i.name);
  it.each([['strand', REELS], ['terminal', HANDS], ['grommet', []], ['other', [...REELS, ...HANDS]]])('%s: %j', (kind, fields) => {
    expect(of({ kind }).map((f) => f.field).filter((f) => [...HANDS, ...REELS].includes(f)).sort()).toEqual([...fields].sort());
  });
  it('pieces are counted where there is no hand, hands where somebody told of them', () => {
    expect(inputs({ kind: 'strand' })).toEqual(['countedLeft', 'short', 'wrong', 'remark']);
    expect([inputs({ kind: 'insert' })?.length, inputs({})?.length]).toEqual([6, 6]);
    const told = (countedRight: number, tried: boolean) => {
      const batch = thing({ kind: 'seat', arrival: { countedLeft: 3, countedRight, tried } });
      const arrived = batch.facts.arrival;
      if (arrived) arrived.tips = [{ value: arrived.value } as never];
      return batchFactsFor(batch, []).find((f) => f.field === 'arrival')?.inputs.length;
    };
    expect([told(0, false), told(2, false), told(0, true)]).toEqual([4, 6, 6]);
  });
  it('what is kept of pieces says that no other hand was counted and nothing tried', () => {
    const fact = batchFactsFor(thing({ kind: 'grommet' }), []).find((f) => f.field === 'arrival');
    expect(fact?.compose({ countedLeft: 136 })).toEqual({ countedRight: 0, tried: false, countedLeft: 136 });
  });
});
