import { describe, expect, it } from 'vitest';
import table from '../../../../fixtures/typed/end-kinds.json';
import { changed, readForm, takenIn, type Typed } from '$lib/core/form';
import type { EndKind, FittingSheet, OwnFitting } from '$lib/generated/api';
import { figureIsOf, hasThread, threadedEnds } from './end-kinds';
import { asItStood, ownInputs, type Fact } from './fact';
import { fittingFacts } from './facts-job';
import { endFact } from './facts-run';
import { postPlans, type RunPlan } from './new-run';
import { fittingForm, fittingSheet, fittingTyped } from './own-library';
import { planOf } from '$lib/screens/newRunFields';
import type { Run } from './view';

const terminals = fittingFacts.find((f) => f.field === 'terminals') as Fact;
const asked = (fact: Fact, typed: Typed) => fact.inputs.filter((f) => f.when?.(typed) ?? true).map((f) => f.name);
const insert = {
  kind: 'insert', overallNm: '110', insertionNm: '32', growthNm: '0', threadNm: '60', leastEngagementNm: '8', startNm: '2', reserveNm: '4',
  lockNutNm: '3.2', threadDiameterNm: '6', pitchNm: '1', holeNm: '9', holeDepthNm: '75', origin: 'sheet'
};
const keep = (typed: Typed) => {
  const { values, faults } = readForm(terminals.inputs, typed, 'mm');
  expect(faults).toEqual({});
  return terminals.compose(values) as { left: Record<string, unknown>; right: Record<string, unknown> };
};

describe('kinds of ends', () => {
  it('have a thread or none', () => {
    expect(['insert', 'turnbuckle', 'throughBolt', undefined, ''].map(hasThread)).toEqual([true, true, true, true, true]);
    expect(['fixedEnd', 'wallPlate', 'eye'].map(hasThread)).toEqual([false, false, false]);
  });
  it('have the figures that the shared table says', () => {
    for (const [name, kinds] of Object.entries(table)) {
      expect([name, ['insert', 'turnbuckle', 'throughBolt', 'fixedEnd', 'wallPlate', 'eye'].filter((kind) => figureIsOf(kind, name))]).toEqual([name, kinds]);
    }
  });
  it('have the figures of their kind', () => {
    expect(['threadNm', 'holeDepthNm', 'washerNm', 'mouthNm', 'overallNm'].map((name) => figureIsOf('throughBolt', name))).toEqual([true, false, true, false, true]);
    expect(['threadNm', 'overallNm', 'mouthNm', 'insertionNm'].map((name) => figureIsOf('eye', name))).toEqual([false, false, true, true]);
    expect(['fixedEnd', 'wallPlate', 'turnbuckle'].map((kind) => figureIsOf(kind, 'mouthNm'))).toEqual([true, true, false]);
  });
});

describe('the form of terminals', () => {
  it('shows only what the kind has', () => {
    expect(asked(terminals, { kind: 'fixedEnd' }).filter((n) => !n.startsWith('right.'))).toEqual(['kind', 'mouthNm', 'insertionNm', 'growthNm', 'seatNm', 'unequalStartNm', 'origin']);
    expect(asked(terminals, { kind: 'insert', 'right.kind': 'eye' }).filter((n) => n.startsWith('right.'))).toEqual(
      ['kind', 'mouthNm', 'insertionNm', 'growthNm', 'seatNm'].map((n) => `right.${n}`)
    );
  });
  it('keeps a right end of another kind with its own figures alone', () => {
    const found = keep({ ...insert, 'right.kind': 'fixedEnd', 'right.mouthNm': '60', 'right.insertionNm': '32', 'right.growthNm': '0' });
    expect(found.left.threadNm).toBe(60_000_000);
    expect(found.right).toEqual({ hand: 'RH', kind: 'fixedEnd', mouthNm: 60_000_000, insertionNm: 32_000_000, growthNm: 0 });
    const again = terminals.fill(found, 'mm');
    expect(keep({ ...again, origin: 'sheet' })).toEqual(found);
  });
  it('asks for what a right end of another kind can’t do without', () => {
    expect(() => keep({ ...insert, 'right.kind': 'eye', 'right.mouthNm': '60' })).toThrow('wire swallowed');
  });
  it('takes nothing along when the kind is changed, not even what every kind has', () => {
    const typed = { ...insert, seatNm: '6', unequalStartNm: '1' };
    const fixed = changed(terminals.inputs, typed, typed, 'kind', 'fixedEnd');
    expect(Object.values(fixed).filter(Boolean)).toEqual(['fixedEnd']);
    const { faults } = readForm(terminals.inputs, fixed, 'mm');
    expect(Object.keys(faults)).toEqual(['insertionNm', 'growthNm', 'origin']);
    // Turned back, what stood stands again; a form that had no kind yet keeps what was typed first.
    expect(changed(terminals.inputs, typed, fixed, 'kind', 'insert')).toMatchObject(typed);
    const first = { overallNm: '110' };
    expect(changed(terminals.inputs, {}, first, 'kind', 'insert')).toEqual({ overallNm: '110', kind: 'insert' });
  });
  it('empties the right end alone where its kind alone is changed', () => {
    const typed = { ...insert, 'right.kind': 'insert', 'right.overallNm': '90' };
    const eye = changed(terminals.inputs, typed, typed, 'right.kind', 'eye');
    expect([eye.overallNm, eye['right.overallNm'], eye.origin]).toEqual(['110', '', '']);
    // An empty kind is that of the left end: changed with it.
    const alike = { ...insert, 'right.overallNm': '90' };
    const both = changed(terminals.inputs, alike, alike, 'kind', 'eye');
    expect([both.overallNm, both['right.overallNm']]).toEqual(['', '']);
    expect(changed(terminals.inputs, typed, typed, 'kind', 'eye')['right.overallNm']).toBe('90');
  });
  it('stands again only under the kind that it is of', () => {
    const start = { ...insert, 'right.kind': 'fixedEnd', 'right.mouthNm': '60', 'right.insertionNm': '28', 'right.growthNm': '0' };
    const turn = (typed: Typed, name: string, value: string) => changed(terminals.inputs, start, typed, name, value);
    const alike = turn(start, 'right.kind', '');
    const back = turn(turn(alike, 'kind', 'eye'), 'kind', 'insert');
    expect([back.overallNm, back['right.mouthNm'], back['right.insertionNm'], back.origin]).toEqual(['110', '', '', '']);
    expect(turn(back, 'right.kind', 'fixedEnd')).toMatchObject(start);
  });
  it('empties what a draft’s other kind makes meaningless, and keeps what the draft says itself', () => {
    const taken = takenIn(terminals.inputs, insert, insert, { ...insert, kind: 'fixedEnd', mouthNm: '60' });
    expect([taken.kind, taken.mouthNm, taken.overallNm, taken.insertionNm, taken.origin]).toEqual(['fixedEnd', '60', '', '', '']);
  });
  it('fills nothing in beside an end without a thread whose mouth nobody told: older sheets copied the stud', () => {
    const stud = { hand: 'LH', kind: 'insert', overallNm: 110_000_000, insertionNm: 32_000_000, growthNm: 0, threadNm: 60_000_000 };
    const old = { left: stud, right: { ...stud, hand: 'RH', kind: 'fixedEnd' }, origin: 'old' };
    const filled = terminals.fill(old, 'mm');
    expect(Object.entries(filled).filter(([name, text]) => name.startsWith('right.') && text)).toEqual([['right.kind', 'fixedEnd']]);
    expect(terminals.goesOn?.('right.insertionNm', { kind: 'insert', 'right.kind': 'fixedEnd' }, old)).toBe(false);
    const told = { ...old, right: { ...old.right, mouthNm: 60_000_000 } };
    expect(terminals.fill(told, 'mm')).toMatchObject({ 'right.mouthNm': '60', 'right.insertionNm': '32' });
    const figure = (n: number) => ({ n, origin: 'S' });
    const sheet = { kind: 'eye', left: { overallNm: figure(110_000_000), insertionNm: figure(32_000_000) }, right: {}, set: {} } as FittingSheet;
    const own = { name: 'Eyes', sheet, asks: [], bands: [] } as unknown as OwnFitting;
    expect(fittingTyped(own, 'mm').insertionNm).toBeUndefined();
  });
  it('takes the same number of another kind for a figure of its own, from where it is told now', () => {
    const one = { hand: 'LH', kind: 'insert', overallNm: 111_125_000, insertionNm: 32_000_000, growthNm: 0 };
    const before = { left: one, right: { ...one, hand: 'RH' }, origin: 'old', origins: { 'left.overallNm': 'stud sheet, page 4', 'right.overallNm': 'stud sheet, page 4', throughHoleNm: 'hole sheet' } };
    const values = { kind: 'insert', overallNm: 111_125_000, insertionNm: 32_000_000, growthNm: 0, threadNm: 1, leastEngagementNm: 1, startNm: 1, reserveNm: 1, lockNutNm: 1, threadDiameterNm: 1, pitchNm: 1, holeNm: 1, holeDepthNm: 1, 'right.kind': 'fixedEnd', 'right.mouthNm': 111_125_000, 'right.insertionNm': 32_000_000, 'right.growthNm': 0, origin: 'fixed sheet' };
    const after = terminals.onto?.(values, before) as { origins: Record<string, string>; right: Record<string, unknown> };
    expect(after.right).toEqual({ hand: 'RH', kind: 'fixedEnd', mouthNm: 111_125_000, insertionNm: 32_000_000, growthNm: 0 });
    expect([after.origins['left.overallNm'], after.origins['right.insertionNm'], after.origins['right.overallNm'], after.origins['throughHoleNm']]).toEqual(['stud sheet, page 4', 'fixed sheet', undefined, 'hole sheet']);
    // Nor is the number that stood, and that the screen rounds, taken for it.
    const typed = { kind: 'insert', overallNm: '4 3/8', 'right.kind': 'fixedEnd', 'right.mouthNm': '4 3/8' };
    const stood = { left: { ...one, overallNm: 111_000_000 }, right: { ...one, hand: 'RH', overallNm: 111_100_000 }, origin: 'old' };
    const meant = asItStood(terminals, stood, values, typed, 'in');
    expect([meant['overallNm'], meant['right.mouthNm']]).toEqual([111_000_000, 111_125_000]);
  });
  it('asks in its own sheet by the kind that is typed there', () => {
    expect(ownInputs(terminals).filter((i) => i.when?.({ kind: 'fixedEnd' }) ?? true).some((i) => i.name === 'threadNm')).toBe(false);
    expect(ownInputs(endFact).filter((i) => i.when?.({ kind: 'eye' }) ?? true).map((i) => i.name)).toEqual(['kind', 'angledSeat']);
  });
});

describe('an end of a run', () => {
  it('asks for hand and tensioner where there is a thread', () => {
    expect(asked(endFact, { kind: 'turnbuckle' })).toEqual(['kind', 'hand', 'tensioner', 'angledSeat']);
    expect(asked(endFact, { kind: 'eye' })).toEqual(['kind', 'angledSeat']);
  });
  it('is tensioned nowhere without one, whatever was typed before the kind was changed', () => {
    const { values, faults } = readForm(endFact.inputs, { kind: 'fixedEnd', hand: 'LH', tensioner: 'yes' }, 'mm');
    expect(faults).toEqual({});
    expect(endFact.compose(values)).toEqual({ kind: 'fixedEnd', hand: 'RH', tensioner: false });
    expect(endFact.tell({ kind: 'fixedEnd', hand: 'LH', tensioner: true, angledSeat: false })).not.toMatch(/LH|ensioned/);
  });
  it('keeps no holes aside once it is of a kind that has none', () => {
    const stood = { kind: 'insert', hand: 'RH', tensioner: true, asideNm: 9_000_000 };
    const typed = { ...endFact.fill(stood, 'mm'), kind: 'eye' };
    const { values } = readForm(endFact.inputs, typed, 'mm');
    expect(endFact.compose(asItStood(endFact, stood, values, typed, 'mm'))).toEqual({ kind: 'eye', hand: 'RH', tensioner: false });
    const same = endFact.fill(stood, 'mm');
    expect(endFact.compose(asItStood(endFact, stood, readForm(endFact.inputs, same, 'mm').values, same, 'mm'))).toEqual(stood);
  });
  it('is read at its thread', () => {
    const run = (last: EndKind) => ({ id: 'r', posts: [{ id: 'a' }, { id: 'b' }], endKinds: ['insert', last] }) as unknown as Run;
    expect(threadedEnds(run('fixedEnd')).map((p) => p.id)).toEqual(['a']);
    expect(threadedEnds(run('throughBolt')).map((p) => p.id)).toEqual(['a', 'b']);
  });
});

describe('a new run', () => {
  const plan = { name: 'A', endWidthNm: 1, innerWidthNm: 1, endDepthNm: 1, innerDepthNm: 1, baysNm: [10], baysTyped: [], typed: {} } as unknown as RunPlan;
  const ends = (told: RunPlan['ends']) => postPlans({ ...plan, ends: told }, 'r').map((p) => p.inRun.find((f) => f.field === 'end')?.value);
  it('may end in two kinds', () => {
    expect(ends({ kind: 'insert', lastKind: 'fixedEnd', tensioner: 'both' })).toEqual([
      { kind: 'insert', hand: 'LH', tensioner: true },
      { kind: 'fixedEnd', hand: 'RH', tensioner: false }
    ]);
  });
  it('is not kept where nothing turns', () => {
    const values = { name: 'A', shape: 'level', bays: [1], endKind: 'insert', lastKind: 'eye', tensioner: 'right' };
    expect(() => planOf(values, {}, 'mm')).toThrow('no end has a thread');
    expect(planOf({ ...values, tensioner: 'left' }, {}, 'mm').ends).toEqual({ kind: 'insert', lastKind: 'eye', tensioner: 'left' });
  });
});

describe('a sheet of the crew', () => {
  const typed: Typed = { name: 'M6', sheet: 'S', ...insert, rightKind: 'fixedEnd', 'right.mouthNm': '60', 'right.insertionNm': '32', 'right.threadNm': '30', 'page:right.mouthNm': 'page 2' };
  it('tells a right end of another kind apart, and comes back so', () => {
    const { values, faults } = readForm(fittingForm, typed, 'mm');
    expect(faults).toEqual({});
    const sheet = fittingSheet(values);
    expect([sheet.kind, sheet.rightKind]).toEqual(['insert', 'fixedEnd']);
    expect(sheet.right).toEqual({ mouthNm: { n: 60_000_000, origin: 'S, page 2' }, insertionNm: { n: 32_000_000, origin: 'S' } });
    const own = { name: 'M6', sheet, asks: [], bands: [] } as unknown as OwnFitting;
    const again = fittingTyped(own, 'mm');
    expect(again).toMatchObject({ rightKind: 'fixedEnd', 'right.mouthNm': '60' });
    expect(fittingSheet(readForm(fittingForm, again, 'mm').values, { own, typed: again, unit: 'mm' })).toEqual(sheet);
  });
  it('keeps no figure and no page of another kind', () => {
    const own = { name: 'M6', sheet: fittingSheet(readForm(fittingForm, typed, 'mm').values), asks: [], bands: [] } as unknown as OwnFitting;
    const start = { ...fittingTyped(own, 'mm'), unequalStartNm: '1', fixedDeductionNm: '55' };
    const eye = changed(fittingForm, start, start, 'rightKind', 'eye');
    expect([eye['right.mouthNm'], eye['page:right.mouthNm'], eye.unequalStartNm, eye.fixedDeductionNm, eye.overallNm]).toEqual(['', '', '', '', '110']);
    const plate = changed(fittingForm, start, start, 'kind', 'wallPlate');
    expect([plate.overallNm, plate['page:overallNm'], plate['right.mouthNm']]).toEqual(['', '', '60']);
    // The same number typed again is a figure of the plate, from the sheet that is named now.
    const again = { ...plate, mouthNm: '110', insertionNm: '32', sheet: 'Plates' };
    const { left } = fittingSheet(readForm(fittingForm, again, 'mm').values, { own, typed: again, unit: 'mm' });
    expect(left).toEqual({ mouthNm: { n: 110_000_000, origin: 'Plates' }, insertionNm: { n: 32_000_000, origin: 'Plates' } });
  });
  it('has both hands alike where no other kind is told', () => {
    const sheet: FittingSheet = fittingSheet(readForm(fittingForm, { ...typed, rightKind: '' }, 'mm').values);
    expect(sheet.rightKind).toBeUndefined();
    expect(sheet.right).toEqual(sheet.left);
  });
});
