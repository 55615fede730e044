import { describe, expect, it } from 'vitest';
import { questioned } from '$lib/core/transport';
import { takeAll, type Chosen } from './photos';

const files = (...names: string[]) => names.map((name): Chosen => ({ file: new File([name], name), captured: false, said: 'Post A1', ties: [] }));

describe('takeAll', () => {
  it('keeps what can be kept, and tells of each other file by its name', async () => {
    const take = async (_job: string, file: File) => {
      if (file.name === 'b.jpg') throw new Error('It holds no bytes.');
      if (file.name === 'c.jpg') throw questioned('c.jpg can’t be shown. Keep it?');
      return { entries: [], remarks: file.name === 'd.jpg' ? ['taken on another day'] : [] };
    };
    const seen: [string, number, number][] = [];
    const came = await takeAll('j', files('a.jpg', 'b.jpg', 'c.jpg', 'd.jpg'), false, (...at) => seen.push(at), () => true, take as never);
    expect([came.kept, came.refused, came.remarks, came.leftOut]).toEqual([2, ['b.jpg: It holds no bytes.'], ['d.jpg: taken on another day'], 0]);
    expect(came.asked.map((one) => [one.file.name, one.question])).toEqual([['c.jpg', 'c.jpg can’t be shown. Keep it?']]);
    expect(seen).toEqual([['a.jpg', 1, 4], ['b.jpg', 2, 4], ['c.jpg', 3, 4], ['d.jpg', 4, 4]]);
  });

  it('stops before the next file and counts those that were not begun', async () => {
    let going = true;
    const taken: string[] = [];
    const take = async (_job: string, file: File) => {
      taken.push(file.name);
      going = taken.length < 2;
      return { entries: [] };
    };
    const came = await takeAll('j', files('a', 'b', 'c', 'd', 'e'), false, () => undefined, () => going, take as never);
    expect([taken, came.kept, came.leftOut]).toEqual([['a', 'b'], 2, 3]);
  });

  it('tells of one file alone how many of its bytes are there', async () => {
    const take = async (...args: unknown[]) => {
      (args.at(-1) as (done: number, total: number) => void)(3, 9);
      return { entries: [] };
    };
    const seen: [string, number, number][] = [];
    await takeAll('j', files('a'), true, (...at) => seen.push(at), () => true, take as never);
    expect(seen).toEqual([['a', 0, 0], ['a', 3, 9]]);
  });
});
