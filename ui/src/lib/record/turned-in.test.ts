import { expect, it } from 'vitest';
import { turnedIn } from './turned-in';
import type { Known, Wire } from './view';

const said = (ms: number, turns: number, flats: number, context: Record<string, unknown>, place = 'p1'): Known => ({
  subject: 'wire:r:4', field: 'turns', place, standing: 'agreed', value: { turns, flats }, tips: [{ claim: `c${ms}`, value: { turns, flats }, who: 'Ben', at: { ms, offsetMin: 0, suspect: false }, context }]
});
const wire = (turns: Known[], piece = 1) => ({ subject: 'wire:r:4', number: 4, piece, facts: {}, repeats: { turns } }) as unknown as Wire;
const TO = { toMn: 600_000, piece: 1 };

it('adds turnings up, and tells the last one apart', () => {
  const turned = [said(3, 0, 4, TO), said(1, 2, 5, TO), said(2, 1, 3, TO), said(9, 7, 0, TO, 'p2')];
  expect(turnedIn(wire(turned), 'p1')).toEqual({ all: { turns: 5, flats: 0 }, last: { turns: 0, flats: 4 } });
  expect(turnedIn(wire(turned), 'p2')).toEqual({ all: { turns: 7, flats: 0 } });
});

it('counts nothing of a piece that was taken out, nor what people dispute', () => {
  const turned = [said(1, 2, 0, TO), said(2, 1, 0, { ...TO, piece: 2 }), { ...said(3, 9, 0, { ...TO, piece: 2 }), standing: 'disputed' as const }];
  expect(turnedIn(wire(turned, 2), 'p1')).toEqual({ all: { turns: 1, flats: 0 } });
  expect(turnedIn(wire(turned, 3), 'p1')).toBeUndefined();
});

it('takes what was read at the end as it was read', () => {
  expect(turnedIn(wire([said(1, 2, 0, TO), said(2, 6, 1, { piece: 1 })]), 'p1')).toEqual({ all: { turns: 6, flats: 1 } });
});

it('goes on from what was last read at the end', () => {
  const turned = [said(1, 3, 0, TO), said(2, 14, 3, { piece: 1 }), said(3, 0, 4, TO)];
  expect(turnedIn(wire(turned), 'p1')).toEqual({ all: { turns: 15, flats: 1 }, last: { turns: 0, flats: 4 } });
});
