import { describe, expect, it } from 'vitest';
import { complete, entered, leadOf, padDraft, padDraftOf, padDraftsOf, padKept, padRest, press, startPad, type PadKey, type PadText } from './pad';

const keys = (text: PadText, typed: string, unit: 'mm' | 'in' = 'mm'): PadText =>
  [...typed].reduce((at, k) => press(at, keyOf(k), unit), text);

function keyOf(k: string): PadKey {
  if (k === '.') return { kind: 'point' };
  if (k === '<') return { kind: 'rub' };
  if (k === '/') return { kind: 'sixteenths' };
  if (k === 'h') return { kind: 'half' };
  if (k === "'") return { kind: 'feet' };
  if (k === '-') return { kind: 'minus' };
  return { kind: 'digit', digit: k };
}

describe('leading digits', () => {
  it.each([
    [[7294], '72'],
    [[7294, 7305], ''],
    [[7294, 7299], '72'],
    [[85], ''],
    // 985 shares no thousands with 1010: behind a 1 it would be kept as 1985.
    [[1010, 985], ''],
    [[], '']
  ])('of %j is "%s"', (near, lead) => expect(leadOf(near, 2)).toBe(lead));

  it('are kept for the last two digits and given up for a whole number', () => {
    expect(entered(keys(startPad([7294]), '96'))).toBe('7296');
    expect(entered(keys(startPad([7294]), '730'))).toBe('730');
    expect(entered(keys(startPad([7294]), '7305'))).toBe('7305');
  });

  it('take a nought like any other digit', () => {
    const set = startPad([1500]);
    expect(entered(keys(set, '00'))).toBe('1500');
    expect(complete(keys(set, '00'))).toBe(true);
    expect(entered(keys(set, '05'))).toBe('1505');
    // No whole number begins with one: what is too much is not taken.
    expect(entered(keys(set, '055'))).toBe('1505');
    expect(entered(keys(set, '05.5'))).toBe('1505.5');
  });

  it('are not enough alone, nor with one digit', () => {
    expect(complete(startPad([7294]))).toBe(false);
    expect(complete(keys(startPad([7294]), '9'))).toBe(false);
    expect(complete(keys(startPad([7294]), '94'))).toBe(true);
    expect(complete(keys(startPad([7294]), '94.'))).toBe(false);
    expect(complete(keys(startPad([7294]), '94.5'))).toBe(true);
  });

  // Metres from a laser, and any number that has its point where these digits can't: shown by itself.
  it.each([
    [[7294], '7.293', '7.293'],
    [[12_310], '12.345', '12.345'],
    [[7300, 7294], '12.345', '12.345'],
    [[7294], '94.55', '94.55'],
    [[7294], '94.5', '7294.5'],
    [[7300, 7294], '294.5', '7294.5'],
    [[7294], '.5', '0.5']
  ])('of %j: %s is %s', (near, typed, out) => {
    const text = keys(startPad(near), typed);
    expect([entered(text), complete(text)]).toEqual([out, true]);
  });

  it('go when rubbed out', () => {
    const bare = keys(startPad([7294]), '9<<');
    expect(bare.lead).toBe('');
    expect(entered(keys(bare, '62'))).toBe('62');
  });
});

describe('keys', () => {
  it.each([
    ['7294', '7294'],
    ['07', '7'],
    ['72.5', '72.5'],
    ['72..5', '72.5'],
    ['.5', '0.5'],
    ['72h', '72.5'],
    ['-12', '-12'],
    ['12-', '-12'],
    ['12--', '12'],
    ['12<', '1']
  ])('%s gives %s', (typed, out) => expect(entered(keys(startPad(), typed))).toBe(out));

  it.each([
    ['287/3', '287 3/16'],
    ['287/15', '287 15/16'],
    // Sixteen of them are none of a pad's sixteenths: shown as typed, and refused as it is kept.
    ['287/16', '287 16/16'],
    ['287/', '287'],
    ['287/3<', '287'],
    ['287/3<<', '287'],
    ['287h', '287 1/2'],
    ['287/h', '287 1/2'],
    ['287/3h', '287 11/16'],
    ['287/4h', '287 3/4'],
    // A whole inch more is no half.
    ['287/8h', '287 1/2'],
    ['287/12', '287 3/4'],
    ['287h<', '287'],
    ["23'11/3", "23' 11 3/16"],
    ["23'", "23'"],
    ["23'11", "23' 11"],
    ["23'/3", "23' 3/16"],
    ["23'11h", "23' 11 1/2"],
    ["23'11.5", "23' 11.5"],
    ["23'11/3<<<<", "23'"],
    ["23'/<", "23'"],
    ["23'<", '23'],
    ["23''11", "23' 11"],
    ["'23", '23']
  ])('inches: %s gives %s', (typed, out) => expect(entered(keys(startPad(), typed, 'in'))).toBe(out));

  it('stops at nine digits', () => expect(entered(keys(startPad(), '1234567890'))).toBe('123456789'));
});

it('knows feet as a whole length, and nothing half typed as one', () => {
  const whole = (typed: string) => complete(keys(startPad(), typed, 'in'));
  expect(["23'", "23'11", "23'11/3", "23'/3"].map(whole)).toEqual([true, true, true, true]);
  expect(["23'11/", "23'/", "23'11.", ''].map(whole)).toEqual([false, false, false, false]);
});

it('keeps the thousands where neighbours lie on both sides of a hundred', () => {
  const pad = startPad([7300, 7294]);
  expect([pad.lead, pad.free]).toEqual(['7', 3]);
  expect(startPad([7300, 1380]).lead).toBe('');
});

describe('a draft', () => {
  const half = press(startPad([7294, 7301]), { kind: 'digit', digit: '9' });
  it('is what is typed, with its lead and unit', () => {
    const kept: unknown = JSON.parse(JSON.stringify(padDraft(half, 'mm')));
    expect(padDraftOf(kept, 'mm')).toEqual({ text: half, unit: 'mm' });
    // The pad may be left in inches and opened in millimetres; what was typed keeps its unit.
    expect(padDraftOf(kept, 'in')?.unit).toBe('mm');
  });
  it('is none where nothing is typed', () => expect(padDraft(startPad([7294]), 'mm')).toBeUndefined());
  it('is not taken from another kind of pad, nor from what can’t be read', () => {
    for (const found of [padDraft(half, 'N'), { text: { typed: '7' }, unit: 'mm' }, 'x', null, undefined]) expect(padDraftOf(found, 'mm')).toBeUndefined();
  });
});

describe('a draft that nobody decided', () => {
  const draft = (typed: string, unit: 'mm' | 'in' = 'mm') => padDraft(keys(startPad(), typed, unit), unit)!;
  const again = (found: unknown) => padDraftsOf(JSON.parse(JSON.stringify(found ?? null)), 'mm');
  const [before, now] = [draft('729'), draft('1')];

  it('is kept as it was while nothing is typed, and is read as one from before', () => {
    expect(padKept(undefined, [before])).toEqual([before]);
    expect(again(before)).toEqual([before]);
    expect([again(undefined), padKept(undefined, [])]).toEqual([[], undefined]);
  });
  it('outlives the first key: both are kept and offered again, what was typed last first', () => {
    expect(again(padKept(now, [before]))).toEqual([now, before]);
    expect(padKept(draft('5'), again(padKept(now, [before])))).toEqual([draft('5'), now, before]);
  });
  it('is kept once where what is typed goes on from it, in its own unit', () => {
    expect(padKept(draft('7294'), [before])).toEqual([draft('7294')]);
    expect(padKept(draft('72'), [before])).toEqual([draft('72'), before]);
    expect(padKept(draft('7294', 'in'), [before])).toEqual([draft('7294', 'in'), before]);
  });
  it('leaves its place to what stood on the pad when a person goes on with it', () => {
    expect(padRest(now, [before, draft('5')], before)).toEqual([now, draft('5')]);
    expect(padRest(undefined, [before], before)).toEqual([]);
  });
});
