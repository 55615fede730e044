import { describe, expect, it } from 'vitest';
import { contextOf, draftOf, readField, readForm, toldTyped, typedText, type Field } from './form';

const fields: Field[] = [
  { name: 'title', label: 'Title', kind: 'text', need: true },
  { name: 'fall', label: 'Fall', kind: 'length' },
  { name: 'level', label: 'Level', kind: 'length', signed: true },
  { name: 'pull', label: 'Pull', kind: 'force' },
  { name: 'count', label: 'Count', kind: 'whole' },
  { name: 'pool', label: 'Pool', kind: 'flag' }
];

describe('scale', () => {
  const error: Field = { name: 'error', label: 'Error', kind: 'number', unit: '%', scale: 100 };
  it('keeps whole units of the record', () => {
    expect(readField(error, '4', 'mm')).toEqual({ value: 400 });
    expect(readField(error, '0,29', 'mm')).toEqual({ value: 29 });
  });
  it('refuses what the record can’t hold', () => {
    expect(readField(error, '4.005', 'mm').fault).toBe('Error: too fine. At most 2 digits behind the point.');
  });
});

describe('readForm', () => {
  it('reads units into the record’s whole numbers', () => {
    const { values, faults } = readForm(
      fields,
      { title: ' A ', fall: '1602', level: '-12', pull: '3700', count: '12', pool: 'no' },
      'mm'
    );
    expect(faults).toEqual({});
    expect(values).toEqual({ title: 'A', fall: 1_602_000_000, level: -12_000_000, pull: 3_700_000, count: 12, pool: false });
  });
  it('leaves out what was not filled in and names what must be', () => {
    const { values, faults } = readForm(fields, {}, 'mm');
    expect(values).toEqual({});
    expect(Object.keys(faults)).toEqual(['title']);
  });
  it.each([
    ['width', '0', 'Width: type more than zero.'],
    ['bays', '1380; 0', 'Bays: type more than zero.'],
    ['bays', '1380 1410', 'Bays: type lengths in mm, a semicolon between them: 1380; 1410.'],
    ['pull', '-3', 'Pull: type newtons, zero or more.']
  ])('says of %s "%s" what to type', (name, text, said) => {
    const more: Field[] = [
      { name: 'width', label: 'Width', kind: 'length', aboveZero: true },
      { name: 'bays', label: 'Bays', kind: 'lengths', aboveZero: true, example: { mm: '1380; 1410', in: '54; 55' } }
    ];
    expect(readForm([...fields, ...more], { title: 'A', [name]: text }, 'mm').faults[name]).toBe(said);
  });
  it.each([
    ['fall', '-1'],
    ['fall', 'high'],
    ['pull', '-3'],
    ['count', '1.5']
  ])('refuses %s "%s"', (name, text) => {
    expect(readForm(fields, { title: 'A', [name]: text }, 'mm').faults[name]).toContain(':');
  });
});

describe('a draft', () => {
  const asked: Field[] = [
    { name: 'kind', label: 'Kind', kind: 'choice', options: [['a', 'Post'], ['b', 'Gate post']] },
    { name: 'nm', label: 'Size', kind: 'length' },
    { name: 'pool', label: 'Pool', kind: 'flag' }
  ];
  it('is what differs from what the form began with, in fields that it still has', () => {
    expect(draftOf(asked, { nm: '90' }, { nm: '90', kind: 'b', pool: '', gone: 'x', strange: 7 })).toEqual({ kind: 'b' });
    // Emptied on purpose is typed, too.
    expect(draftOf(asked, { nm: '90' }, { nm: '' })).toEqual({ nm: '' });
    for (const found of [undefined, null, 'x', {}, { nm: '90' }]) expect(draftOf(asked, { nm: '90' }, found)).toBeUndefined();
  });
  it('is told in one short line, as a person chose it', () => {
    expect(toldTyped(asked, { kind: 'b', nm: '72', pool: 'yes' })).toBe('Gate post, 72, Pool yes …');
    expect(toldTyped(asked, { nm: '' })).toBe(`${asked.find((f) => f.name === 'nm')?.label}: empty …`);
    expect(toldTyped([{ name: 'note', label: 'Note', kind: 'long' }], { note: 'x'.repeat(90) })).toBe(`${'x'.repeat(60)} …`);
  });
});

describe('what was typed is kept with its unit', () => {
  it.each([
    [[{ name: 'v', label: 'Height', kind: 'length' }], { v: ' 42 1/2 ' }, 'in', '42 1/2 in'],
    [[{ name: 'v', label: 'Height', kind: 'length' }], { v: '1,8 m' }, 'mm', '1,8 m'],
    [[{ name: 'v', label: 'Salt', kind: 'far' }], { v: '300' }, 'mm', '300 m'],
    [[{ name: 'v', label: 'Pull', kind: 'force' }], { v: '1490,5' }, 'mm', '1490,5 N'],
    [[{ name: 'v', label: 'Mass', kind: 'number', unit: 'kg', scale: 1e6 }], { v: '1.998' }, 'mm', '1.998 kg'],
    [[{ name: 'v', label: 'Heights', kind: 'lengths' }], { v: '75; 155' }, 'mm', '75; 155 mm'],
    [[{ name: 'v', label: 'Heights', kind: 'lengths' }], { v: '75; 4 in' }, 'mm', '75 mm; 4 in'],
    [[{ name: 'v', label: 'Steps', kind: 'whole' }], { v: '12' }, 'mm', undefined],
    [[{ name: 'a', label: 'Along', kind: 'length' }, { name: 'b', label: 'Across?', kind: 'length' }], { a: '115', b: '90' }, 'mm', 'along 115 mm; across 90 mm'],
    [[{ name: 'a', label: 'Along', kind: 'length' }, { name: 'b', label: 'Across', kind: 'length' }], { a: '', b: '90' }, 'mm', 'across 90 mm'],
    [[{ name: 'v', label: 'Height', kind: 'length' }], { v: '' }, 'mm', undefined]
  ] as [Field[], Record<string, string>, 'mm' | 'in', string | undefined][])('%j with %j in %s: %s', (asked, typed, unit, text) => expect(typedText(asked, typed, unit)).toBe(text));
  it('what stands as the form began was typed by nobody here', () => {
    const size: Field[] = [{ name: 'a', label: 'Along', kind: 'length' }, { name: 'b', label: 'Across', kind: 'length' }];
    const start = { a: '115', b: '90' };
    expect(contextOf(size, { ...start }, 'mm', start)).toEqual({});
    expect(contextOf(size, { a: '115 ', b: '95' }, 'mm', start)).toEqual({ entered: 'across 95 mm' });
  });
  it('of what is not asked nothing is kept', () => {
    const wall: Field = { name: 'wall', label: 'Wall', kind: 'length', when: (t) => t.build === 'hollow' };
    expect(contextOf([wall], { build: 'solid', wall: '3' }, 'mm')).toEqual({});
    expect(contextOf([wall], { build: 'hollow', wall: '3' }, 'mm')).toEqual({ entered: '3 mm' });
  });
});
