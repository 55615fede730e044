import { beforeEach, expect, it, vi } from 'vitest';

const disk = new Map<string, string>();
/** Names that the program refused to keep. */
const refused = new Set<string>();
let answers: 'yes' | 'no' | 'late';
vi.mock('./call', () => ({
  call: async (name: string, request: { name?: string; value?: string }) => {
    if (answers === 'late') return new Promise(() => undefined);
    await Promise.resolve();
    if (answers === 'no') {
      refused.add(request.name ?? '');
      throw new Error('refused');
    }
    if (name === 'readKept') return { texts: Object.fromEntries(disk) };
    if (request.value === undefined) disk.delete(request.name ?? '');
    else disk.set(request.name ?? '', request.value);
    return {};
  }
}));

/** The screens as after a start: nothing but what is on disk. */
async function start() {
  vi.resetModules();
  const kept = await import('./kept-here');
  await kept.readAllHere();
  return { ...kept, ...(await import('../record/next')) };
}
const written = () => vi.waitFor(() => expect(disk.get('ui:last')).toBe('1'));

beforeEach(() => {
  disk.clear();
  refused.clear();
  answers = 'yes';
});

it('keeps, reads and forgets at once, and after another start', async () => {
  let here = await start();
  here.keepHere('a', '1');
  here.keepHere('b', '2');
  here.keepHere('b', undefined);
  expect([here.readHere('a'), here.readHere('b')]).toEqual(['1', undefined]);
  here.keepHere('last', '1');
  await written();
  here = await start();
  expect([here.readHere('a'), here.readHere('b'), here.namesHere('')]).toEqual(['1', undefined, ['a', 'last']]);
});

it('writes the newest text of a name last, however fast it changes', async () => {
  const here = await start();
  for (const text of ['7', '72', '729', '7294']) here.keepHere('a', text);
  here.keepHere('last', '1');
  await written();
  expect(disk.get('ui:a')).toBe('7294');
});

it('takes what can’t be read for nothing', async () => {
  disk.set('ui:a', '{cut');
  const here = await start();
  expect([here.readJsonHere('a'), here.readJsonHere('b')]).toEqual([null, null]);
});

it('a program that refuses stops no screen: it is kept until the page goes', async () => {
  answers = 'no';
  const here = await start();
  here.skip('j', 'x');
  await vi.waitFor(() => expect(refused).toContain('ui:skipped-j'));
  expect(here.skipped('j')).toEqual(['x']);
  answers = 'yes';
  // What follows is written again.
  here.keepHere('last', '1');
  await written();
  expect(disk.has('ui:skipped-j')).toBe(false);
});

it('a program that does not answer holds no start up', async () => {
  answers = 'late';
  vi.useFakeTimers();
  const started = start();
  await vi.advanceTimersByTimeAsync(3000);
  await vi.advanceTimersByTimeAsync(3000);
  vi.useRealTimers();
  expect((await started).readHere('a')).toBeUndefined();
});

it('remembers skipped acts job by job, each once', async () => {
  const here = await start();
  here.skip('j', 'x');
  here.skip('j', 'y');
  here.skip('j', 'x');
  here.skip('k', 'z');
  expect(here.skipped('j')).toEqual(['x', 'y']);
  here.skipNothing('j');
  expect([here.skipped('j'), here.skipped('k')]).toEqual([[], ['z']]);
});
