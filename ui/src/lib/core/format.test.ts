import { describe, expect, it, vi } from 'vitest';
import windows from '../../../../fixtures/typed/windows.json';
import { asTyped, chance, day, dayHere, distance, known, length, limit, moment, momentHere, newtons, number, place, shortened, span, tenths, today, unbroken, withDays, windowOf } from './format.svelte';
import { NM_PER_MM } from './length';

describe('format', () => {
  it('takes no locale from a desktop that has none', () => {
    expect(known('C')).toBeUndefined();
    expect(known('en-AU')).toBe('en-AU');
  });
  it('writes lengths with their unit', () => {
    expect(length(7_294_000_000, 'mm')).toBe('7294\u00a0mm');
    expect(length(927_100_000, 'in')).toBe('36\u00a01/2\u00a0in');
  });
  it('groups nothing and shows a true minus', () => {
    expect(number(86815)).toBe('86815');
    expect(number(-12)).toBe('−12');
  });
  it('writes the tenth even where it is none', () => {
    expect(tenths(7_301_000_000, 'mm')).toBe('7301.0');
    expect(tenths(7_297_800_000, 'mm')).toBe('7297.8');
    expect(tenths(927_100_000, 'in')).toBe('36 1/2');
  });
  it('tells far distances in whole units', () => {
    expect(distance(900_000_000_000, 'mm')).toBe('900\u00a0m');
    expect(distance(914_400_000_000, 'in')).toBe('3000\u00a0ft');
    expect(distance(9_999_000_000, 'mm')).toBe('9999\u00a0mm');
  });
  it('rounds newtons to whole ones', () => expect(newtons(1499.6)).toBe('1500\u00a0N'));
  it('groups newtons of five figures, which nobody reads off a gauge', () => expect([newtons(9999).replace('\u00a0', ' '), newtons(794_597)]).toEqual(['9999 N', expect.stringMatching(/^794\D597\u00a0N$/)]));
  it('tells from the least to the most of several lengths', () => {
    expect(span([912e6, 76e6, 152e6], 'mm')).toBe('76–912\u00a0mm');
    expect([span([76e6, 76e6], 'mm'), span([], 'mm')]).toEqual(['76\u00a0mm', '']);
  });
  it('parts no number from its unit, and joins nothing else', () => {
    expect(unbroken('Wire 2 reads 1240 N at 35 °C, 4 mm/m: 12 N·m')).toBe('Wire 2 reads 1240\u00a0N at 35\u00a0°C, 4\u00a0mm/m: 12\u00a0N·m');
    expect(unbroken('wires 2 near 3 metres, 5 nuts')).toBe('wires 2 near 3 metres, 5 nuts');
  });
  it('never says certain', () => {
    expect(chance(0.9999)).toBe('> 99\u00a0%');
    expect(chance(0.7001)).toBe('70\u00a0%');
    expect(chance(0)).toBe('< 1\u00a0%');
  });
  describe('a moment', () => {
    const ms = Date.UTC(2026, 9, 6, 23, 30);
    it('is told as the clock showed it at the site: the next morning there', () => expect(moment(ms, 600, 600)).toMatch(/\b7\b.*30/));
    it('names no zone where the viewer has the same clock', () => expect(moment(ms, 600, 600)).not.toContain('UTC'));
    it.each([
      [600, 0, 'UTC+10'],
      [660, 600, 'UTC+11'],
      [-210, -180, 'UTC−3:30'],
      [0, 600, 'UTC']
    ])('of a clock %d min east, seen from %d, names its zone', (there, viewer, zone) => expect(moment(ms, there, viewer).endsWith(` ${zone}`)).toBe(true));
    it('is told in UTC where no clock is known, even to a viewer there', () => {
      for (const viewer of [0, 600]) expect(moment(ms, undefined, viewer)).toBe(`${moment(ms, 0, 0)} UTC`);
    });
    it('of a clock beyond every calendar takes no screen with it', () => {
      for (const far of [2 ** 53 - 1, 1 - 2 ** 53]) expect([moment(far, 600), momentHere(far), dayHere(far)].join()).toMatch(/\d/);
    });
    it('of this device needs no zone', () => expect(momentHere(ms)).not.toContain('UTC'));
  });
  it('shows what was typed with the decimal sign of the person', () => {
    expect(asTyped('7294.5')).toBe('7294.5');
    vi.stubGlobal('navigator', { language: 'de-DE' });
    expect([asTyped('7294.5'), asTyped('287 3/16'), number(1.5)]).toEqual(['7294,5', '287 3/16', '1,5']);
    vi.unstubAllGlobals();
  });
  it('passes on what is no date', () => expect([day('soon'), day('2026-10-26 drill')]).toEqual(['soon', '2026-10-26 drill']));
  it('writes the days of a sentence', () => expect(withDays('compared 2026-08-18, due not told')).toBe(`compared ${day('2026-08-18')}, due not told`));
  it('writes the day of a moment on the own clock', () => expect(dayHere(new Date(2026, 10, 2, 23, 5).getTime())).toBe(day('2026-11-02')));
  it('today is the device day', () => expect(today(new Date(2026, 8, 2, 0, 5))).toBe('2026-09-02'));
  it('place', () => expect(place(-40, 140)).toBe('−40, 140'));
});

it('a long text is cut for a line, between letters', () => {
  expect(shortened(' Hole 9 high ')).toBe('Hole 9 high');
  expect(shortened('🪵'.repeat(10_000))).toBe(`${'🪵'.repeat(80)}…`);
});

it('a window is never told wider than it is, to the tenth', () => {
  expect([tenths(2_000_640_000, 'mm', 'up'), tenths(2_028_260_000, 'mm', 'down')]).toEqual(['2000.7', '2028.2']);
  expect([tenths(2_000_600_000, 'mm', 'up'), tenths(2_000_600_000, 'mm', 'down')]).toEqual(['2000.6', '2000.6']);
});

it('a window is told as the program tells it', () => {
  const cases = windows as [number, number, string, string][];
  expect(cases.length).toBeGreaterThan(5);
  for (const [shortest, longest, from, to] of cases) expect(windowOf(shortest * NM_PER_MM, longest * NM_PER_MM, 'mm')).toEqual([from, to]);
});

it('a window that no sixteenth or tenth lies in is not told inside out', () => {
  expect(windowOf(2_000_640_000, 2_028_260_000, 'mm')).toEqual(['2000.7', '2028.2']);
  expect(windowOf(2_000_600_000, 2_028_200_000, 'in')).toEqual(['78 13/16', '79 13/16']);
  expect(windowOf(3_000_500_000, 3_001_500_000, 'in')).toEqual(['3000.5', '3001.5\u00a0mm']);
  expect(windowOf(3_000_510_000, 3_000_580_000, 'mm')).toEqual(['3000.51', '3000.58']);
  expect(windowOf(3_000_510_000, 3_000_580_000, 'in')).toEqual(['3000.51', '3000.58\u00a0mm']);
  expect(windowOf(3_000_375_000, 3_000_375_000, 'in')).toEqual(['118 1/8', '118 1/8']);
});

describe('what nothing may be over', () => {
  it('is never told as more than it is, and in inches with its millimetres', () => {
    const rows = [60, 80, 100, 600, 900, 1000, 1200, 1500, 1800, 2000];
    for (const mm of rows) {
      const told = limit(mm * NM_PER_MM, 'in');
      const [, whole = '0', top = '0', below = '1'] = /^(?:(\d+)\u00a0)?(?:(\d+)\/(\d+)\u00a0)?in /.exec(told) ?? [];
      const inches = Number(whole) + Number(top) / Number(below);
      expect(inches * 25.4, told).toBeLessThanOrEqual(mm);
      expect(inches * 25.4, told).toBeGreaterThan(mm - 25.4 / 16);
      expect(told).toContain(`(${mm}\u00a0mm)`);
    }
    expect(limit(101.6 * NM_PER_MM, 'in')).toBe('4\u00a0in (101.6\u00a0mm)');
    expect(limit(100 * NM_PER_MM, 'mm')).toBe('100\u00a0mm');
  });
});
