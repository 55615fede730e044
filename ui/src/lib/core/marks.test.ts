import { describe, expect, it } from 'vitest';
import { arrowOf, brokenWords, drawnMark, isDrag, moved, placeAt, ringOf, shownIn, unitOf, wordsMark, wordsOf } from './marks';

const GLASS = { left: 10, top: 20, width: 400, height: 400 };

describe('a finger on the glass', () => {
  it('lies on the picture as it is shown whole, upright or broad', () => {
    expect(shownIn(GLASS, 2048, 1024)).toEqual({ left: 10, top: 120, width: 400, height: 200 });
    expect(shownIn(GLASS, 1024, 2048)).toEqual({ left: 110, top: 20, width: 200, height: 400 });
  });
  it('becomes whole thousandths, and beside the picture its nearest edge', () => {
    const picture = shownIn(GLASS, 2048, 1024);
    expect(placeAt(picture, 10, 120)).toEqual({ x: 0, y: 0 });
    expect(placeAt(picture, 410, 320)).toEqual({ x: 1000, y: 1000 });
    expect(placeAt(picture, 143.3, 187)).toEqual({ x: 333, y: 335 });
    expect(placeAt(picture, -500, 9000)).toEqual({ x: 0, y: 1000 });
    expect(Object.is(placeAt(picture, 9.9, 119.9).x, 0)).toBe(true);
  });
  it('means the same on another glass, and after the phone is turned', () => {
    const upright = shownIn({ left: 0, top: 0, width: 390, height: 600 }, 2048, 1536);
    const turned = shownIn({ left: 0, top: 0, width: 700, height: 390 }, 2048, 1536);
    const part = (box: typeof upright) => placeAt(box, box.left + box.width * 0.25, box.top + box.height * 0.75);
    expect(part(upright)).toEqual({ x: 250, y: 750 });
    expect(part(turned)).toEqual({ x: 250, y: 750 });
  });
  it('of a glass without a size is the middle', () => {
    expect(placeAt({ left: 0, top: 0, width: 0, height: 0 }, 5, 5)).toEqual({ x: 500, y: 500 });
  });
  it('that trembles draws nothing', () => {
    const picture = shownIn(GLASS, 1000, 1000);
    expect(isDrag(picture, { x: 500, y: 500 }, { x: 520, y: 520 })).toBe(false);
    expect(isDrag(picture, { x: 500, y: 500 }, { x: 530, y: 530 })).toBe(true);
  });
});

describe('marks', () => {
  it('have a size, or are none', () => {
    expect(drawnMark('arrow', { x: 1, y: 2 }, { x: 1, y: 9 })).toEqual({ kind: 'arrow', x: 1, y: 2, toX: 1, toY: 9 });
    expect(drawnMark('arrow', { x: 1, y: 2 }, { x: 1, y: 2 })).toBeUndefined();
    expect(drawnMark('ring', { x: 1, y: 2 }, { x: 1, y: 9 })).toBeUndefined();
    expect(drawnMark('ring', { x: 9, y: 9 }, { x: 1, y: 2 })).toEqual({ kind: 'ring', x: 9, y: 9, toX: 1, toY: 2 });
  });
  it('have words on one line, as many as have room', () => {
    const at = { x: 5, y: 6 };
    expect(wordsMark(at, '  rust\n at\tthe swage ')).toEqual({ kind: 'text', x: 5, y: 6, text: 'rust at the swage' });
    expect(wordsMark(at, ' \n ')).toBeUndefined();
    expect(wordsMark(at, '')).toBeUndefined();
    expect(wordsMark(at, 'x'.repeat(10_000))).toMatchObject({ text: 'x'.repeat(60) });
    // Sixty characters as people count them, none of them cut in two.
    expect(wordsMark(at, '🔩'.repeat(61))).toMatchObject({ text: '🔩'.repeat(60) });
  });
});

describe('keys', () => {
  it('move a place, finely with shift, and never off the picture', () => {
    expect(moved({ x: 500, y: 500 }, 'ArrowLeft', false)).toEqual({ x: 475, y: 500 });
    expect(moved({ x: 500, y: 500 }, 'ArrowDown', true)).toEqual({ x: 500, y: 505 });
    expect(moved({ x: 10, y: 990 }, 'ArrowLeft', false)).toEqual({ x: 0, y: 990 });
    expect(moved({ x: 10, y: 990 }, 'ArrowDown', false)).toEqual({ x: 10, y: 1000 });
    expect(moved({ x: 10, y: 990 }, 'a', false)).toBeUndefined();
  });
});

describe('drawn', () => {
  const points = (path: string) => [...path.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const);
  it('an arrow ends at its place with a head that is square to it', () => {
    const { shaft, head } = arrowOf({ x: 100, y: 500 }, { x: 600, y: 500 }, 1000, 500);
    expect(points(shaft)[0]).toEqual([100, 250]);
    const [tip, one, other] = points(head) as [readonly [number, number], readonly [number, number], readonly [number, number]];
    expect(tip).toEqual([600, 250]);
    // Unit: 1000 / 20 and 500 / 12, the smaller; the head is 1.3 of it long.
    const long = 1.3 * unitOf(1000, 500);
    expect(one[0]).toBeCloseTo(600 - long, 1);
    expect(other[0]).toBeCloseTo(one[0], 5);
    expect(one[1] - 250).toBeCloseTo(250 - other[1], 5);
    expect(points(shaft)[1]?.[0]).toBeCloseTo(600 - long, 1);
  });
  it('a short arrow keeps a shaft', () => {
    const { shaft, head } = arrowOf({ x: 0, y: 0 }, { x: 0, y: 10 }, 1000, 1000);
    expect(points(shaft)).toEqual([[0, 0], [0, 4]]);
    expect(points(head)[0]).toEqual([0, 10]);
  });
  it('a ring lies within its corners, whichever was first', () => {
    const ring = { cx: 400, cy: 300, rx: 200, ry: 100 };
    expect(ringOf({ x: 100, y: 200 }, { x: 300, y: 400 }, 2000, 1000)).toEqual(ring);
    expect(ringOf({ x: 300, y: 400 }, { x: 100, y: 200 }, 2000, 1000)).toEqual(ring);
  });
  it('words stand towards the middle and never beside the picture', () => {
    const left = wordsOf({ x: 0, y: 0 }, 'rust at the swage of A1', 1000, 1000);
    expect([left.anchor, left.lines.map((l) => l.text)]).toEqual(['start', ['rust at the swage', 'of A1']]);
    expect(left.lines[0]?.y).toBeGreaterThan(0);
    const low = wordsOf({ x: 1000, y: 1000 }, 'rust', 1000, 1000);
    expect(low.anchor).toBe('end');
    expect(low.x).toBeLessThan(1000);
    expect(low.lines[0]?.y).toBeLessThan(1000);
  });
  it('words are broken between words, long ones within', () => {
    expect(brokenWords('')).toEqual([]);
    expect(brokenWords('x'.repeat(40))).toEqual(['x'.repeat(18), 'x'.repeat(18), 'x'.repeat(4)]);
    expect(brokenWords('see the crack here below')).toEqual(['see the crack here', 'below']);
    expect(brokenWords('W'.repeat(14))).toEqual(['W'.repeat(12), 'WW']);
    expect(brokenWords('🔩'.repeat(10))).toEqual(['🔩'.repeat(9), '🔩']);
  });
});
