import { beforeEach, expect, it, vi } from 'vitest';
import type { Mark } from '$lib/generated/api';
import type { Known } from './view';

const disk = new Map<string, string>();
vi.mock('$lib/core/kept-here', () => ({
  keepHere: (name: string, text: string | undefined) => void (text === undefined ? disk.delete(name) : disk.set(name, text)),
  namesHere: (beginning: string) => [...disk.keys()].filter((name) => name.startsWith(beginning)),
  readJsonHere: (name: string): unknown => JSON.parse(disk.get(name) ?? 'null')
}));

const { dropLeftMarks, keepLeftMarks, leftMarks, marksIn, same, seenOf, standing, tellMark, tellMarks } = await import('./marks');

const arrow: Mark = { kind: 'arrow', x: 100, y: 200, toX: 300, toY: 405 };
const ring: Mark = { kind: 'ring', x: 100, y: 200, toX: 300, toY: 400 };
const text: Mark = { kind: 'text', x: 0, y: 1000, text: 'rust' };
const known = (how: Known['standing'], value: unknown): Known => ({
  subject: 'photo:p', field: 'marks', place: '', standing: how, value,
  tips: [{ claim: 'c1', value, who: 'ann', at: { ms: 0, offsetMin: 0, suspect: false }, context: {} }]
});

beforeEach(() => dropLeftMarks('photo:p'));

it('takes from a value what are marks, and nothing else', () => {
  expect(marksIn({ marks: [arrow, { kind: 'cross', x: 1, y: 1 }, { kind: 'text', x: 1, y: 1 }, 7, null, text] })).toEqual([arrow, text]);
  for (const none of [undefined, null, 'x', 7, {}, { marks: 'x' }]) expect(marksIn(none)).toEqual([]);
});

it('shows what people agree on alone', () => {
  expect(standing(known('agreed', { marks: [ring] }))).toEqual([ring]);
  for (const how of ['disputed', 'withdrawn', 'newer'] as const) expect(standing(known(how, { marks: [ring] }))).toEqual([]);
  expect(standing(undefined)).toEqual([]);
  expect([seenOf(known('disputed', null)), seenOf(undefined)]).toEqual([['c1'], []]);
});

it('knows the same marks however their members were read', () => {
  expect(same([arrow, text], [{ toY: 405, toX: 300, y: 200, x: 100, kind: 'arrow' }, text])).toBe(true);
  for (const other of [[], [arrow], [text, arrow], [arrow, { ...text, text: 'Rust' }], [{ ...arrow, toX: 301 }, text]]) expect(same([arrow, text], other)).toBe(false);
});

it('tells marks in words', () => {
  expect(tellMarks([text, arrow, ring, arrow])).toBe('2 arrows, a ring, “rust”');
  expect(tellMarks([])).toBe('');
  expect(tellMark(arrow)).toBe('Arrow, from 10 % across, 20 % down to 30 % across, 41 % down');
  expect(tellMark(text)).toBe('“rust”, 0 % across, 100 % down');
});

it('keeps what was drawn and not kept until it is dropped', () => {
  expect(leftMarks('photo:p')).toBeUndefined();
  keepLeftMarks('photo:p', { marks: [arrow], text: 'half a w' });
  expect(leftMarks('photo:p')).toEqual({ marks: [arrow], text: 'half a w' });
  expect(leftMarks('photo:q')).toBeUndefined();
  dropLeftMarks('photo:p');
  expect(leftMarks('photo:p')).toBeUndefined();
});
