import { expect, it } from 'vitest';
import { oneAtATime } from './one-at-a-time';

it('a second touch does nothing before the first is done, whatever became of that', async () => {
  const touch = oneAtATime();
  const ends: ((how: 'kept' | 'refused') => void)[] = [];
  const work = () => new Promise<void>((kept, refused) => ends.push((how) => (how === 'kept' ? kept() : refused(new Error(how)))));
  for (const how of ['kept', 'refused', 'kept'] as const) {
    const begun: Promise<void>[] = [];
    const caught = () => {
      begun.push(work());
      return begun[0]?.catch(() => undefined);
    };
    touch(caught);
    touch(caught);
    expect(begun.length).toBe(1);
    ends.pop()?.(how);
    await begun[0]?.catch(() => undefined);
    await Promise.resolve();
    await Promise.resolve();
  }
});

it('what is done at once counts each time', () => {
  const touch = oneAtATime<[number]>();
  let sum = 0;
  for (const by of [1, 2, 3]) touch((n) => (sum += n), by);
  expect(sum).toBe(6);
});
