import { beforeEach, expect, it, vi } from 'vitest';

const kept = new Map<string, string>();
vi.mock('./kept-here', () => ({
  readHere: (name: string) => kept.get(name),
  keepHere: (name: string, text: string | undefined) => void (text === undefined ? kept.delete(name) : kept.set(name, text))
}));

/** What the tab keeps while it is open. */
const tab = new Map<string, string>();
vi.stubGlobal('sessionStorage', { getItem: (name: string) => tab.get(name) ?? null, setItem: (name: string, text: string) => void tab.set(name, text) });

/** The screens as a page that is read again has them. */
async function again() {
  vi.resetModules();
  return import('./last-place');
}
/** The screens as after a start, in a tab of its own. */
async function start() {
  tab.clear();
  return again();
}
const TENSION = '#/job/j1/run/r1/tension';

beforeEach(() => kept.clear());

it('goes on at the wire that was left, once a start', async () => {
  const before = await start();
  before.cameTo('#/', true);
  before.cameTo(TENSION, false);
  before.standsAt(`${TENSION}?wire=7`);
  const after = await start();
  after.cameTo('#/', true);
  expect(after.leftAt()).toEqual({ job: 'j1', place: `${TENSION}?wire=7` });
  expect(after.leftAt()).toBeUndefined();
});

it('takes the wire whichever is said first, and never that of another screen', async () => {
  const now = await start();
  now.standsAt(`${TENSION}?wire=3`);
  now.cameTo(`${TENSION}?stage=final`, false);
  expect(kept.get('place')).toBe(`${TENSION}?wire=3`);
  now.cameTo('#/job/j1/run/r1/gaps', false);
  expect(kept.get('place')).toBe('#/job/j1/run/r1/gaps');
});

it('stays where the start leads: at an address, and at Jobs where that was left', async () => {
  kept.set('place', TENSION);
  const direct = await start();
  direct.cameTo('#/job/j1/site', true);
  direct.cameTo('#/', false);
  expect(direct.leftAt()).toBeUndefined();
  expect(kept.has('place')).toBe(false);
  const jobs = await start();
  jobs.cameTo('#/', true);
  expect(jobs.leftAt()).toBeUndefined();
});

it('does not lose the place in rooms that are no job', async () => {
  const now = await start();
  now.cameTo(TENSION, false);
  now.cameTo('#/exchange', false);
  expect(kept.get('place')).toBe(TENSION);
  const other = await start();
  other.cameTo('#/device', true);
  expect(other.leftAt()).toBeUndefined();
});

it('shows Jobs where a tab that was open already asks for it', async () => {
  (await start()).cameTo(TENSION, true);
  expect(kept.get('place')).toBe(TENSION);
  const jobs = await again();
  jobs.cameTo('#/', true);
  expect(jobs.leftAt()).toBeUndefined();
  expect(kept.has('place')).toBe(false);
});
