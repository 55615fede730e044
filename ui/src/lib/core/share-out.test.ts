import { afterEach, expect, it, vi } from 'vitest';
import { canShareOut, shareOut } from './share-out';

afterEach(() => vi.unstubAllGlobals());
const device = (share: () => Promise<void>, takes = true) => vi.stubGlobal('navigator', { share, canShare: () => takes });
const pdf = new File(['%PDF-1.7'], 'a.pdf', { type: 'application/pdf' });

it('offers sharing only where files are taken', () => {
  vi.stubGlobal('navigator', {});
  expect(canShareOut()).toBe(false);
  vi.stubGlobal('navigator', { share: () => Promise.resolve() });
  expect(canShareOut()).toBe(false);
  device(() => Promise.resolve(), false);
  expect(canShareOut()).toBe(false);
  device(() => Promise.resolve());
  expect(canShareOut()).toBe(true);
});
it('tells what became of it', async () => {
  const share = vi.fn(() => Promise.resolve());
  device(share);
  expect(await shareOut(pdf)).toBe('shared');
  expect(share).toHaveBeenCalledWith({ files: [pdf] });
  device(() => Promise.reject(new DOMException('closed', 'AbortError')));
  expect(await shareOut(pdf)).toBe('closed');
  device(() => Promise.reject(new DOMException('too late', 'NotAllowedError')));
  expect(await shareOut(pdf)).toBe('refused');
  device(share, false);
  expect(await shareOut(pdf)).toBe('refused');
  expect(share).toHaveBeenCalledTimes(1);
});
