import { describe, expect, it } from 'vitest';
import type { Tensioning } from '$lib/generated/api';
import { atEnds, byFlats, endsText, following, inOneIsDone, inOnePass, isNone, keptSteps, leftInOne, oneIsGone, orderOf, toTurn, turnText, turnedText } from './tensioning';
import type { Round } from './round';
import type { Run } from './view';

const turn = { back: false, turns: 2, flats: 3, mm: 5 };
const plan = {
  over: [] as number[],
  passes: [
    { pass: 1, tensionN: 600, wires: [{ wire: 1 }, { wire: 4 }, { wire: 2 }, { wire: 3 }] },
    { pass: 2, tensionN: 1500, wires: [{ wire: 3 }, { wire: 2 }, { wire: 4 }, { wire: 1 }] }
  ],
  wires: [{ wire: 2, name: 'A2', nowN: 600, from: 'computed', to: [{ pass: 1, tensionN: 600, turn: null }, { pass: 2, tensionN: 1500, turn }] }]
} as unknown as Tensioning;

describe('the order of a round', () => {
  it('is that of its pass, and of the last pass where it is gone over again', () => {
    expect(orderOf(plan, { stage: 'pass', pass: 1 })).toEqual([1, 4, 2, 3]);
    expect(orderOf(plan, { stage: 'pass', pass: 5 })).toEqual([3, 2, 4, 1]);
  });
  it('is free for final readings and without a plan', () => {
    expect(orderOf(plan, { stage: 'final', pass: 1 })).toEqual([]);
    expect(orderOf(undefined, { stage: 'pass', pass: 1 })).toEqual([]);
  });
});

describe('a wire over the upper tension', () => {
  it('is let out before anything is turned at another, in every round', () => {
    const out = { back: true, turns: 1, flats: 2, mm: -3 };
    const of = (wire: number, to: object[]) => ({ wire, name: `A${wire}`, nowN: 600, from: 'computed', to });
    const told = { ...plan, over: [3], onePass: { possible: false, steps: [] }, wires: [of(2, [{ pass: 1, tensionN: 600, turn: null }]), of(3, [{ pass: 1, tensionN: 1500, turn: out }])] } as unknown as Tensioning;
    for (const inOne of [false, true]) {
      const round = { stage: 'pass', pass: 1, inOne } as Round;
      expect(toTurn(told, 2, round)).toMatchObject({ after: 3, letOut: true, to: { turn: null } });
      expect(toTurn(told, 3, round)).toEqual({ now: told.wires[1], to: { pass: 1, tensionN: 1500, turn: out } });
    }
  });
});

describe('a round in one pass', () => {
  const step = (wire: number, showsN: number, first: number | null) => ({ wire, name: `A${wire}`, showsN, next: first === null ? null : { tensionN: first, fromN: first - 20, toN: first + 50 }, turn });
  const one = (steps: ReturnType<typeof step>[]) =>
    ({
      ...plan,
      onePass: { possible: steps.length > 0, steps },
      wires: [1, 2, 3, 4].map((wire) => ({ wire, name: `A${wire}`, nowN: 0, from: 'slack', to: [{ pass: 2, tensionN: 1350, fromN: 1330, toN: 1400, turn }] }))
    }) as unknown as Tensioning;
  const begun = one([step(2, 1400, 1400), step(4, 1550, null), step(3, 1350, 1700)]);
  const round: Round = { stage: 'pass', pass: 2, gauge: 'g', bay: 'b', airC: '', wireC: '', sun: '', chart: '', inOne: true };
  const run = { wires: [1, 2, 3, 4].map((number) => ({ number, repeats: [], facts: [] })) } as unknown as Run;
  it('goes by the order of what is left, and by even passes as before where it is not chosen', () => {
    expect(orderOf(begun, round)).toEqual([2, 4, 3]);
    expect(orderOf(begun, { ...round, inOne: false })).toEqual([3, 2, 4, 1]);
    expect(leftInOne(begun, { ...round, stage: 'final' })).toEqual([]);
    expect(leftInOne(one([]), round)).toEqual([]);
  });
  it('asks for the figure of each wire where it is turned next, with its turns', () => {
    expect(toTurn(begun, 2, round)?.to).toEqual({ pass: 2, tensionN: 1400, fromN: 1380, toN: 1450, turn });
    expect(toTurn(begun, 3, round)?.to.tensionN).toBe(1700);
    expect(toTurn(begun, 2, { ...round, inOne: false })?.to.tensionN).toBe(1350);
  });
  it('tells no wire to be turned where one pass does not work from here, before even passes are chosen', () => {
    expect([oneIsGone(one([]), round), oneIsGone(begun, round), oneIsGone({ ...begun, onePass: null }, round)]).toEqual([true, false, false]);
    expect(toTurn(one([]), 1, round)).toBeUndefined();
    expect(toTurn(one([]), 1, { ...round, inOne: false })?.to.tensionN).toBe(1350);
    expect(oneIsGone(one([]), { ...round, stage: 'final' })).toBe(false);
  });
  it('lets a wire wait that would have to show too much now, and leaves one that is there', () => {
    expect(toTurn(begun, 4, round)).toMatchObject({ after: 2, to: { turn: null } });
    expect(toTurn(begun, 1, round)).toMatchObject({ to: { tensionN: 1350, turn: null } });
    expect(toTurn(begun, 1, round)?.after).toBeUndefined();
  });
  it('goes on with the next of what is left, read before or not, and round once more after the last', () => {
    const next = (from?: number) => following(begun, run, round, from)?.number;
    expect([next(), next(2), next(4), next(3), next(1)]).toEqual([2, 4, 3, 2, 2]);
  });
  it('is read as on the way to the last pass; even passes begin at the first', () => {
    expect(inOnePass({ ...round, pass: 1, inOne: false }, true, 3)).toMatchObject({ inOne: true, pass: 2 });
    expect(inOnePass(round, false, 3)).toMatchObject({ inOne: false, pass: 1 });
    expect(inOnePass(round, true, 0).pass).toBe(1);
  });
});

describe('what brings a wire to its tension', () => {
  it('is that of the pass, else that of the set tension', () => {
    expect(toTurn(plan, 2, { stage: 'pass', pass: 1 })?.to.turn).toBeNull();
    expect(toTurn(plan, 2, { stage: 'final', pass: 1 })?.to.tensionN).toBe(1500);
    expect(toTurn(plan, 3, { stage: 'pass', pass: 1 })).toBeUndefined();
  });
  it('is told in turns and flats', () => {
    expect(turnText(turn)).toBe('2 turns 3 flats in');
    expect(turnText({ ...turn, turns: 0, flats: 1, back: true })).toBe('1 flat out');
    expect(turnText({ ...turn, turns: 0, flats: 0 })).toBe('no turn');
  });
});

describe('the end of one pass', () => {
  const done = { ...plan, missing: null, onePass: null } as unknown as Tensioning;
  const round = { stage: 'pass', pass: 2, inOne: true } as Round;
  it('leads to no wire, though one was never read in it, and holds one that is looked at against its own tension', () => {
    expect(inOneIsDone(done, round)).toBe(true);
    expect(following(done, { wires: [{ number: 2, repeats: [], facts: [] }] } as unknown as Run, round)).toBeUndefined();
    expect(toTurn(done, 2, round)?.to).toMatchObject({ tensionN: 1500, turn: null });
    expect(inOneIsDone(done, { ...round, inOne: false })).toBe(false);
    expect(toTurn(done, 2, { ...round, inOne: false, pass: 1 })?.to.tensionN).not.toBe(1500);
    // Where no turns can be told nothing is done by it.
    expect(inOneIsDone({ ...done, missing: 'lengths' } as Tensioning, round)).toBe(false);
  });
});

describe('a trial wire', () => {
  it('is brought to its own tension, whatever pass the others are in', () => {
    const pass = { stage: 'pass', pass: 1 } as Round;
    expect(toTurn(plan, 2, { ...pass, trial: 2 })?.to.tensionN).toBe(1500);
    expect(toTurn(plan, 2, { ...pass, trial: 1 })?.to.tensionN).not.toBe(1500);
  });
});

describe('the ends that are turned', () => {
  const two = { turns: 2, flats: 1 };
  const none = { turns: 0, flats: 0 };
  it('are both, or the one that is tensioned', () => {
    expect(atEnds({ turnedAt: null }, two)).toEqual([two, two]);
    expect(atEnds({ turnedAt: { post: 'A1', last: false } }, two)).toEqual([two, none]);
    expect(atEnds({ turnedAt: { post: 'A6', last: true } }, two)).toEqual([none, two]);
  });
});

describe('what was turned', () => {
  const ends = ['A1', 'A6'] as const;
  it('is told once where both ends are alike', () => {
    expect(turnedText(ends, { turns: 2, flats: 4 }, { turns: 2, flats: 4 })).toBe('turned 2 turns 4 flats at both ends');
  });
  it('is told by end where they differ, with none at one of them', () => {
    expect(turnedText(ends, { turns: 1, flats: 0 }, { turns: 0, flats: 5 })).toBe('turned 1 turn at A1, 5 flats at A6');
    expect(turnedText(ends, { turns: 0, flats: 3 }, { turns: 0, flats: 0 })).toBe('turned 3 flats at A1, no turn at A6');
  });
});

describe('a turning that went otherwise than it was asked', () => {
  it('is a flat more or less, over whole turns', () => {
    expect(byFlats({ turns: 2, flats: 5 }, 1)).toEqual({ turns: 3, flats: 0 });
    expect(byFlats({ turns: 2, flats: 0 }, -1)).toEqual({ turns: 1, flats: 5 });
    expect(byFlats({ turns: 1, flats: 2 }, 0)).toEqual({ turns: 1, flats: 2 });
  });
  it('is never less than none', () => {
    const none = byFlats({ turns: 0, flats: 1 }, -3);
    expect(none).toEqual({ turns: 0, flats: 0 });
    expect([isNone(none), isNone({ turns: 0, flats: 1 })]).toEqual([true, false]);
  });
  it('is told once where both ends are alike', () => {
    expect(endsText(['A1', 'A6'], { turns: 2, flats: 1 }, { turns: 2, flats: 1 })).toBe('2 turns 1 flat');
    expect(endsText(['A1', 'A6'], { turns: 2, flats: 1 }, { turns: 0, flats: 0 })).toBe('2 turns 1 flat at A1, no turn at A6');
  });
});

describe('steps that were kept', () => {
  it('are what they are, and nothing of anything else', () => {
    expect(keptSteps({ of: 'A 1', by: [1, -2] })).toEqual({ of: 'A 1', by: [1, -2] });
    for (const other of [undefined, null, 'A 1', {}, { of: 1, by: [1, 2] }, { of: 'A 1', by: [1] }, { of: 'A 1', by: ['1', '2'] }]) expect(keptSteps(other)).toBeUndefined();
  });
});
