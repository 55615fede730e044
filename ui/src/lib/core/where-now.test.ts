import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { whereNow } from './where-now';

type Answer = (found: { coords: { latitude: number; longitude: number; accuracy: number } }) => void;
let found: Answer;
let refused: () => void;

beforeEach(() => {
  vi.useFakeTimers();
  const geolocation = { getCurrentPosition: (yes: Answer, no: () => void) => ([found, refused] = [yes, no]) };
  vi.stubGlobal('navigator', { geolocation });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

it('tells whole units of the record', async () => {
  const where = whereNow(1000);
  found({ coords: { latitude: -33.8567844, longitude: 151.2152967, accuracy: 12.5 } });
  expect(await where).toEqual({ latE7: -338567844, lonE7: 1512152967, accuracyNm: 12_500_000_000 });
});
it('is nothing when it is refused', async () => {
  const where = whereNow(1000);
  refused();
  expect(await where).toBeUndefined();
});
it('is nothing while nobody answers the question', async () => {
  const where = whereNow(1000);
  await vi.advanceTimersByTimeAsync(1000);
  expect(await where).toBeUndefined();
});
it('is nothing where the device has none', async () => {
  vi.stubGlobal('navigator', {});
  expect(await whereNow(1000)).toBeUndefined();
});
