import { describe, expect, it } from 'vitest';
import { words } from '$lib/words';
import { leftSafeFact } from './facts-job';
import { edgeOpen, visitNow, withOffers } from './left-safe';
import type { Known, Run, Thing } from './view';

const word = (value: unknown, ms = 0): Known => ({ standing: 'agreed', value, tips: [{ at: { ms } }] }) as unknown as Known;
/** A visit of a day, with how the edge was left where it was. */
function visit(id: string, day: string, left?: { how: string; told: string }, ms = 0): Thing {
  const facts: Record<string, Known> = { day: word(day), ...(left ? { leftSafe: word(left, ms) } : {}) };
  return { id, subject: `visit:${id}`, name: day, facts } as unknown as Thing;
}
const boards = { how: 'boards across run A', told: 'the owner' };

it('an edge stands open until every wire of every run is held at its tension', () => {
  const run = (...stages: string[]) => ({ wires: stages.map((stage) => ({ stage })) }) as unknown as Run;
  expect([edgeOpen([]), edgeOpen([run()]), edgeOpen([run('checked', 'fitted')]), edgeOpen([run('checked'), run('none')])]).toEqual([true, true, true, true]);
  expect(edgeOpen([run('checked', 'tensioned'), run('checked')])).toBe(false);
});

describe('the visit of which it is asked', () => {
  it('is that of today, and of no other day', () => {
    const all = [visit('c', '2027-10-27'), visit('b', '2026-10-27'), visit('a', '2026-10-26')];
    expect(visitNow(all, '2026-10-27')?.id).toBe('b');
    expect(visitNow(all, '2026-10-28')).toBeUndefined();
    expect(visitNow([], '2026-10-27')).toBeUndefined();
  });
  it('is the one not left yet of several on one day', () => {
    const both = [visit('a', '2026-10-26', boards), visit('b', '2026-10-26')];
    expect(visitNow(both, '2026-10-26')?.id).toBe('b');
    expect(visitNow([visit('a', '2026-10-26', boards), visit('b', '2026-10-25')], '2026-10-26')?.id).toBe('a');
  });
});

describe('of several visits of a day that were all left', () => {
  it('it is the one that was left last, whichever stands first', () => {
    const both = [visit('a', '2026-10-26', boards, 2), visit('b', '2026-10-26', boards, 1)];
    for (const list of [both, [...both].reverse()]) expect(visitNow(list, '2026-10-26')?.id).toBe('a');
  });
});

describe('what is offered to be touched', () => {
  const of = (visits: Thing[]) => Object.fromEntries(withOffers(leftSafeFact.inputs, visits).map((f) => [f.name, f.offers]));
  it('is what is usual, on a first day', () => {
    expect(of([visit('a', '2026-10-26')])).toEqual({ how: words.leftSafe.how, told: words.leftSafe.told });
  });
  it('begins with the words of the days before, each once', () => {
    const roped = { how: 'rope and sheet', told: 'the owner' };
    const { how, told } = of([visit('a', '2026-10-26', boards), visit('b', '2026-10-27', roped), visit('c', '2026-10-28')]);
    expect(how?.slice(0, 2)).toEqual(['rope and sheet', 'boards across run A']);
    expect(told?.filter((t) => t === 'the owner')).toHaveLength(1);
    expect([how?.length, told?.[0]]).toEqual([4, 'the owner']);
  });
});
