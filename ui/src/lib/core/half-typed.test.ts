import { describe, expect, it } from 'vitest';
import type { Field } from './form';
import { goOn, halvesOf, inUnit, kept, offered, takesPlace } from './half-typed';

const fields: Field[] = [
  { name: 'name', label: 'Run', kind: 'text' },
  { name: 'shape', label: 'Shape', kind: 'choice', options: [['level', 'Level'], ['raked', 'Raked']] },
  { name: 'bays', label: 'Bays', kind: 'lengths' }
];
const before = { name: 'B', bays: '1400; 1380' };
/** What the form finds when it is opened again. */
const again = (found: unknown, start = {}, unit: 'mm' | 'in' = 'mm') => halvesOf(fields, start, JSON.parse(JSON.stringify(found ?? null)), unit);

describe('a draft that nobody decided', () => {
  it('is offered whole, and kept as it was while nothing is typed', () => {
    expect(again(before)).toEqual([before]);
    expect(kept(fields, {}, {}, [before])).toEqual(before);
    expect(again(undefined)).toEqual([]);
  });
  it('goes on in the unit that it was typed in, whatever the device shows by then', () => {
    expect(again(inUnit(before, 'mm'))).toEqual([before]);
    expect(again(inUnit(before, 'mm'), {}, 'in')).toEqual([{ name: 'B', bays: '1400 mm; 1380 mm' }]);
    expect(again(inUnit({ bays: '54 3/8; 1400 mm' }, 'in'))).toEqual([{ bays: '54 3/8 in; 1400 mm' }]);
    expect(inUnit(undefined, 'mm')).toBeUndefined();
  });
  it('outlives the first key: what is not touched joins what is typed', () => {
    expect(kept(fields, {}, { shape: 'raked' }, [before])).toEqual({ ...before, shape: 'raked' });
  });
  it('outlives a key in its own field: both are kept whole, and both are offered again', () => {
    const found = kept(fields, {}, { name: 'K' }, [before]);
    // They may be of two things: neither takes anything from the other.
    expect(found).toEqual([{ name: 'K' }, before]);
    expect(again(found)).toEqual([{ name: 'K' }, before]);
    // A third time, with no more than one key each.
    expect(kept(fields, {}, { name: 'Q' }, again(found))).toEqual([{ name: 'Q' }, { name: 'K' }, before]);
  });
  it('is said no more once the form says it: the same text, or one that goes on from it', () => {
    expect(offered(fields, {}, { name: 'B deck' }, [before])).toEqual([{ bays: before.bays }]);
    expect(offered(fields, {}, { ...before }, [before])).toEqual([]);
    // A choice goes on from nothing, and a shorter text loses what followed.
    expect(offered(fields, {}, { shape: 'levelled', name: 'B' }, [{ shape: 'level', name: 'B deck' }])).toEqual([{ shape: 'level', name: 'B deck' }]);
  });
  it('may be a field that was emptied on purpose', () => {
    expect(offered(fields, { name: 'A' }, { name: 'A' }, again({ name: '' }, { name: 'A' }))).toEqual([{ name: '' }]);
  });
  it('stays when another form is saved over it', () => expect(kept(fields, {}, {}, offered(fields, {}, { name: 'K', shape: 'raked' }, [before]))).toEqual(before));
});

describe('going on', () => {
  it('fills in what was not touched and keeps what was typed anew', () => {
    const { typed, rest } = goOn({}, { name: 'K' }, before);
    expect(typed).toEqual({ name: 'K', bays: before.bays });
    expect(rest).toEqual({ name: 'B' });
    expect(goOn({}, {}, before)).toEqual({ typed: before, rest: undefined });
  });
  it('takes the place of what was typed where nothing is left to fill in, and back again', () => {
    expect([takesPlace({}, { name: 'K' }, before), takesPlace({}, { name: 'K' }, { name: 'B' })]).toEqual([false, true]);
    const there = goOn({}, { name: 'K', shape: 'raked' }, { name: 'B' });
    expect(there).toEqual({ typed: { name: 'B', shape: 'raked' }, rest: { name: 'K' } });
    expect(goOn({}, there.typed, there.rest ?? {})).toEqual({ typed: { name: 'K', shape: 'raked' }, rest: { name: 'B' } });
  });
  it('counts a field that stands as the form began as not touched', () => {
    expect(goOn({ name: 'A' }, { name: 'A' }, { name: 'A2' })).toEqual({ typed: { name: 'A2' }, rest: undefined });
  });
});
