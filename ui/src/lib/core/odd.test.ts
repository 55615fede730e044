import { describe, expect, it } from 'vitest';
import { doubtLength, doubtTension, oddBay, oddPost } from './odd';

const mm = (v: number) => v * 1_000_000;
const wire3 = { name: 'wire 3', nm: mm(7297) };
const short = { name: 'wire 3', nm: mm(1000) };

describe('doubtLength', () => {
  it('takes a fitting value', () => expect(doubtLength(mm(7300), wire3)).toEqual({ kind: 'fine' }));
  it('names inches typed for millimetres', () => {
    const doubt = doubtLength(mm(287), wire3);
    expect(doubt.kind).toBe('ask');
    expect(JSON.stringify(doubt)).toMatch(/25 times.*wire 3.*[Ii]nches/);
  });
  it('names millimetres typed for inches, and offers them', () => {
    const doubt = doubtLength(mm(7297 * 25.4), wire3, 'in');
    expect(doubt).toMatchObject({ kind: 'ask', instead: 'mm' });
    expect(JSON.stringify(doubt)).toMatch(/25 times.*Millimetres typed as inches/);
  });
  it('offers inches where millimetres are 25 times too few', () => expect(doubtLength(mm(287), wire3)).toMatchObject({ instead: 'in' }));
  // What was typed in millimetres and is too long can't be fixed by another unit: the other one may be.
  it('asks about the other one where this one is 25 times as long', () => {
    const doubt = doubtLength(mm(1403), { name: 'bay A1–A2', nm: mm(55), differs: true });
    expect(JSON.stringify(doubt)).toMatch(/26 times bay A1–A2, 55.mm. Was that one typed in inches/);
    expect(doubt).not.toHaveProperty('instead');
  });
  // The person has to know again what was typed: 28.95 told as 29 is another number.
  it.each([
    [28.95, 'mm', '28.95\u00a0mm', '289.5\u00a0mm'],
    [25.4 * 11.4375, 'in', '11\u00a07/16\u00a0in', '114\u00a03/8\u00a0in'],
    [25.4 * 11.4, 'in', '11.4\u00a0in', '114\u00a0in']
  ] as const)('tells what was typed to its last digit: %d mm in %s is %s', (value, unit, typed, perhaps) => {
    const doubt = doubtLength(mm(value), { name: 'wire 3', nm: mm(value * 10) }, unit);
    expect(doubt).toMatchObject({ kind: 'ask', question: expect.stringContaining(`${typed} is 10 times less than wire 3`) });
    expect(JSON.stringify(doubt)).toContain(perhaps);
  });
  it('asks of bays only about another unit', () => {
    const bay = { name: 'bay A1–A2', nm: mm(1380), differs: true };
    expect(doubtLength(mm(600), bay).kind).toBe('fine');
    expect(doubtLength(mm(55), bay)).toMatchObject({ kind: 'ask', instead: 'in' });
  });
  it.each([
    [undefined, 'refuse'],
    [Number.NaN, 'refuse'],
    [0, 'refuse'],
    [mm(-5), 'refuse'],
    [mm(100_001), 'ask'],
    [mm(100_000), 'fine'],
    [mm(1_000_001), 'refuse']
  ])('%s is %s', (nm, kind) => expect(doubtLength(nm).kind).toBe(kind));
  // The program asks past 2 % of the nearest wire, or past 60 mm where that is more.
  it.each([
    [wire3, 7297 + 146, 'ask'],
    [wire3, 7297 + 145.9, 'fine'],
    [wire3, 7297 - 145.9, 'fine'],
    [short, 1061, 'ask'],
    [short, 1060, 'fine'],
    [short, 940, 'fine'],
    [short, 939, 'ask']
  ])('beside %j, %d mm: %s', (near, value, kind) => expect(doubtLength(mm(value), near).kind).toBe(kind));
});

it('doubtTension', () => {
  expect(doubtTension(1500, 1800).kind).toBe('fine');
  expect(doubtTension(15100, 1800).kind).toBe('ask');
  expect(doubtTension(undefined, 1800).kind).toBe('refuse');
  expect(doubtTension(-1, 1800).kind).toBe('refuse');
});

it('oddPost', () => {
  expect(oddPost([mm(115), mm(90)], mm(7415))).toBeUndefined();
  expect(oddPost([mm(6), mm(1000)], mm(100_000))).toBeUndefined();
  expect(oddPost([mm(115), mm(3.5)], mm(7415))).toMatch(/3\.5\smm wide/);
  expect(oddPost([mm(2921), mm(90)], mm(7415))).toMatch(/wide/);
  expect(oddPost([mm(115)], mm(100_001))).toMatch(/100 metres/);
  expect(oddPost([mm(50)], 0, [mm(3), undefined])).toBeUndefined();
  for (const wall of [0.2, 20]) expect(oddPost([mm(50)], 0, [undefined, mm(wall)])).toMatch(/A wall of/);
});

describe('oddBay', () => {
  const names = ['bay 1', 'bay 2', 'bay 3'];
  it('asks nothing where bays merely differ', () => expect(oddBay([mm(1400), mm(300), mm(2000)], names)).toBeUndefined());
  it('asks about metres and centimetres among millimetres', () => {
    expect(oddBay([mm(1380), mm(1410), mm(1.395)], names)).toMatch(/1011 times less than bay 2\. In metres\? It would be 1395\smm/);
    expect(oddBay([mm(1.395), mm(1410)], names)).toMatch(/less than bay 2\. In metres/);
    expect(oddBay([mm(138), mm(1410)], names)).toMatch(/In centimetres/);
  });
  it('asks where all are in another unit', () => {
    expect(oddBay([mm(138), mm(141)], names)).toMatch(/Bay 1 of 138\smm\? 300\smm to 3000\smm is common\. Is the unit right/);
    expect(oddBay([mm(55), mm(56)], names)).toMatch(/Bay 1 of 55\smm\?.*Inches\? It would be 1397\smm/);
    expect(oddBay([mm(3001)], names)).toMatch(/Is the unit right/);
    // A bay that is known was asked about when it was told.
    expect(oddBay([mm(1600), mm(1600)], names, { name: 'bay A', nm: mm(3300) })).toBeUndefined();
  });
  it('asks when inches stand among millimetres', () => {
    expect(oddBay([mm(1400), mm(1397), mm(55)], names)).toMatch(/25 times shorter than bay 2.*Inches/);
    expect(oddBay([mm(55), mm(1397)], names)).toMatch(/25 times bay 1, 55\smm\. Was that one typed in inches/);
  });
  it('asks about more than a hundred metres', () => expect(oddBay([mm(100_001)], names)).toMatch(/100 metres/));
});
