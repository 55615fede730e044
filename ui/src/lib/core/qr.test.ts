import { describe, expect, it } from 'vitest';
import { QUIET, qrPicture } from './qr';

/** Whether the square at this place is dark, read back from the path. */
function dark(path: string, x: number, y: number): boolean {
  return [...path.matchAll(/M(\d+) (\d+)h(\d+)/g)].some(([, from, line, long]) => y === Number(line) && x >= Number(from) && x < Number(from) + Number(long));
}

describe('qrPicture', () => {
  const founding = 'a'.repeat(64);
  const picture = qrPicture(`${founding} ${'b'.repeat(64)}`);

  it('has the size of a version: 17 + 4 n squares, and the quiet rim', () => {
    expect((picture.size - 2 * QUIET - 17) % 4).toBe(0);
  });
  it('begins with the finder of ISO/IEC 18004: dark ring of seven, light ring, dark middle of three', () => {
    const line = (y: number) => Array.from({ length: 9 }, (_, x) => (dark(picture.path, QUIET - 1 + x, QUIET + y) ? '#' : '.')).join('');
    expect([line(0), line(1), line(3), line(6)]).toEqual(['.#######.', '.#.....#.', '.#.###.#.', '.#######.']);
  });
  it('leaves the rim light', () => {
    for (let i = 0; i < picture.size; i += 1) {
      for (let rim = 0; rim < QUIET; rim += 1) expect([dark(picture.path, i, rim), dark(picture.path, rim, i)]).toEqual([false, false]);
    }
  });
  it('differs for another key', () => {
    expect(qrPicture(`${founding} ${'b'.repeat(63)}c`).path).not.toBe(picture.path);
  });
});
