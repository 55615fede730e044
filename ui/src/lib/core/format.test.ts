import { describe, expect, it } from 'vitest';
import { chance, day, distance, known, length, moment, newtons, number, place, tenths, today } from './format.svelte';

describe('format', () => {
  it('takes no locale from a desktop that has none', () => {
    expect(known('C')).toBeUndefined();
    expect(known('en-AU')).toBe('en-AU');
  });
  it('writes lengths with their unit', () => {
    expect(length(7_294_000_000, 'mm')).toBe('7294 mm');
    expect(length(927_100_000, 'in')).toBe('36 1/2 in');
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
    expect(distance(900_000_000_000, 'mm')).toBe('900 m');
    expect(distance(914_400_000_000, 'in')).toBe('3000 ft');
    expect(distance(9_999_000_000, 'mm')).toBe('9999 mm');
  });
  it('rounds newtons to whole ones', () => expect(newtons(1499.6)).toBe('1500 N'));
  it('never says certain', () => {
    expect(chance(0.9999)).toBe('> 99 %');
    expect(chance(0.7001)).toBe('70 %');
    expect(chance(0)).toBe('< 1 %');
  });
  it('shows the local time of the place', () => {
    expect(moment(Date.UTC(2026, 9, 6, 23, 30), 600)).toMatch(/7/);
    expect(moment(Date.UTC(2026, 9, 6, 23, 30), 600)).toMatch(/30/);
  });
  it('passes on what is no date', () => expect(day('soon')).toBe('soon'));
  it('today is the device day', () => expect(today(new Date(2026, 8, 2, 0, 5))).toBe('2026-09-02'));
  it('place', () => expect(place(-40, 140)).toBe('−40, 140'));
});
