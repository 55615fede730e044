import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { stayAwake } from './awake';

/** What the device counted, and the questions that it has not answered yet. */
let asked = 0;
let released = 0;
let answers: ((given: Held | undefined) => void)[] = [];
let page: EventTarget & { visibilityState: string };

class Held extends EventTarget {
  release = () => {
    released += 1;
    this.dispatchEvent(new Event('release'));
    return Promise.resolve();
  };
}

beforeEach(() => {
  [asked, released, answers] = [0, 0, []];
  page = Object.assign(new EventTarget(), { visibilityState: 'visible' });
  vi.useFakeTimers();
  vi.stubGlobal('document', page);
  const request = () => {
    asked += 1;
    return new Promise((yes, no) => answers.push((given) => (given ? yes(given) : no(new Error('battery')))));
  };
  vi.stubGlobal('navigator', { wakeLock: { request } });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** What was promised has been heard by all who wait for it. */
const settled = () => vi.advanceTimersByTimeAsync(0);
async function give(given?: Held) {
  answers.shift()?.(given);
  await settled();
}
async function show(state: 'visible' | 'hidden') {
  page.visibilityState = state;
  page.dispatchEvent(new Event('visibilitychange'));
  await settled();
}

it('asks once and lets go once', async () => {
  const letGo = stayAwake();
  await give(new Held());
  expect([asked, released]).toEqual([1, 0]);
  letGo();
  expect([asked, released]).toEqual([1, 1]);
  await show('visible');
  expect(asked).toBe(1);
});
it('lets go as the page leaves the screen and asks again when it is back', async () => {
  const letGo = stayAwake();
  await give(new Held());
  await show('hidden');
  expect([asked, released]).toEqual([1, 1]);
  await show('visible');
  await give(new Held());
  expect([asked, released]).toEqual([2, 1]);
  letGo();
  expect([asked, released]).toEqual([2, 2]);
});
it('asks again after the device let go by itself', async () => {
  const letGo = stayAwake();
  const given = new Held();
  await give(given);
  given.dispatchEvent(new Event('release'));
  await show('visible');
  expect(asked).toBe(2);
  letGo();
});
it('gives back what comes too late', async () => {
  stayAwake()();
  await give(new Held());
  expect([asked, released]).toEqual([1, 1]);
});
it('does not ask while the page is not seen, nor twice at once', async () => {
  page.visibilityState = 'hidden';
  const letGo = stayAwake();
  expect(asked).toBe(0);
  await show('visible');
  await show('visible');
  expect(asked).toBe(1);
  letGo();
});
it('a refusal is no fault, and it is asked again', async () => {
  const letGo = stayAwake();
  await give(undefined);
  await show('visible');
  expect([asked, released]).toEqual([2, 0]);
  letGo();
});
it('is silent where the device can not be asked', () => {
  vi.stubGlobal('navigator', {});
  expect(() => stayAwake()()).not.toThrow();
});
