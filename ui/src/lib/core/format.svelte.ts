// Numbers, units and dates in the person's locale. The unit always stands with the number.
import { withoutMarks } from './digits';
import { inOrder, isolated } from './isolated';
import { farUnit, inchText, mmOf, NM_PER_FAR, NM_PER_INCH, NM_PER_MM, type LengthUnit, type Rounding } from './length';

const locale = (): string | undefined => (typeof navigator === 'undefined' ? undefined : known(navigator.language));

/** A locale that this webview knows; a desktop without one calls its own `C`, which is no language. */
export function known(language: string): string | undefined {
  try {
    return Intl.getCanonicalLocales(language)[0];
  } catch {
    return undefined;
  }
}

/** Which unit lengths are shown in; whatever shows one follows a change. */
const shown: { unit: LengthUnit } = $state({ unit: 'mm' });
export function showLengthsIn(unit: LengthUnit): void {
  shown.unit = unit;
}

/**
 * The digits 0 to 9 in every locale: a figure that is shown is typed again, sorts and goes on paper. The decimal sign and
 * the names of months stay the person's own.
 */
const DIGITS = { numberingSystem: 'latn' } as const;

function figure(value: number, how: Intl.NumberFormatOptions): string {
  return withoutMarks(new Intl.NumberFormat(locale(), { ...how, ...DIGITS }).format(value)).replace('-', '−');
}

/** A number without grouping: a cut length is read from a tape digit by digit. */
export function number(value: number, decimals = 1): string {
  return figure(value, { maximumFractionDigits: decimals, useGrouping: false });
}

/** The first words of what somebody wrote, for a line that is to be taken in at a glance. */
export function shortened(text: string, most = 80): string {
  const letters = [...text.trim()];
  return letters.length > most ? `${letters.slice(0, most).join('')}…` : letters.join('');
}

/** Between a number and its unit: they never part at the end of a line. */
export const NBSP = '\u00a0';

/** `7294 mm` or `287 3/16 in`. */
export function length(nm: number, unit: LengthUnit = shown.unit, rounding: Rounding = 'nearest'): string {
  return `${bareLength(nm, unit, rounding)}${NBSP}${unit}`.replace(' ', NBSP);
}

/** What nothing may be over, a table's row or a limit: rounded down, in inches with its own millimetres beside. */
export function limit(nm: number, unit: LengthUnit = shown.unit): string {
  return withMillimetres(nm, unit, 'down');
}

/** A figure of a document, which is in millimetres: those stand beside its inches. */
export function withMillimetres(nm: number, unit: LengthUnit = shown.unit, rounding: Rounding = 'nearest'): string {
  const here = length(nm, unit, rounding);
  return unit === 'mm' ? here : `${here} (${length(nm, 'mm', rounding)})`;
}

/** A length as it was typed: a question tells it to the nanometre, in inches to a ten-thousandth, not as screens round. */
export function exactLength(nm: number, unit: LengthUnit = shown.unit): string {
  if (unit === 'mm') return `${number(nm / NM_PER_MM, 6)}${NBSP}mm`;
  return Number.isInteger(nm / (NM_PER_INCH / 16)) ? length(nm, unit) : `${number(nm / NM_PER_INCH, 4)}${NBSP}in`;
}

/** Words with figures in them, as the program says them: no number leaves its unit, and none changes places with a name. */
export function unbroken(text: string): string {
  return inOrder(text).replace(/(\d) (mm|m|in|ft|N|kN|MPa|g|kg|Hz|%|°C|N\/mm|N·m|mm\/m)(?![\p{L}\d])/gu, `$1${NBSP}$2`);
}

/** From the least to the most of several lengths, `76–912 mm`; one alone where they are alike, nothing of none. */
export function span(nm: number[], unit: LengthUnit = shown.unit): string {
  if (nm.length === 0) return '';
  const [low, high] = [Math.min(...nm), Math.max(...nm)];
  const from = bareLength(low, unit);
  return from === bareLength(high, unit) ? length(high, unit) : `${from.replace(' ', NBSP)}–${length(high, unit)}`;
}

/** The number alone, for tables whose head carries the unit. */
export function bareLength(nm: number, unit: LengthUnit = shown.unit, rounding: Rounding = 'nearest'): string {
  return unit === 'mm' ? number(mmOf(nm, rounding)) : inchText(nm, rounding);
}

/** As `bareLength`, with the tenth of a millimetre always written: figures of one column end alike. */
export function tenths(nm: number, unit: LengthUnit = shown.unit, rounding: Rounding = 'nearest'): string {
  if (unit === 'in') return inchText(nm, rounding);
  const steps = nm / (NM_PER_MM / 10);
  return places({ up: stepUp, down: stepDown, nearest: Math.round }[rounding](steps) / 10, 1);
}

// What lies on a step but for the last digits of a computed figure stays on it.
const STEP_SLACK = 1e-6;
const stepUp = (steps: number) => Math.ceil(steps - STEP_SLACK);
const stepDown = (steps: number) => Math.floor(steps + STEP_SLACK);

/** A number with all its places written. */
function places(value: number, decimals: number): string {
  return figure(value, { minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false });
}

/**
 * Shortest and longest of a window, each rounded into it. Where no sixteenth lies in it, in millimetres with their unit;
 * where no tenth does either, to as many places as it takes, at most four: a narrow window is never told inside out.
 */
export function windowOf(shortestNm: number, longestNm: number, unit: LengthUnit = shown.unit): [string, string] {
  const inward = (step: number) => [stepUp(shortestNm / step), stepDown(longestNm / step)] as const;
  const holds = (step: number) => inward(step)[0] <= inward(step)[1];
  const ends = (of: LengthUnit): [string, string] => [tenths(shortestNm, of, 'up'), tenths(longestNm, of, 'down')];
  const finer = (): [string, string] => {
    const digits = [2, 3, 4].find((n) => holds(NM_PER_MM / 10 ** n));
    if (digits === undefined) return [places(shortestNm / NM_PER_MM, 4), places(longestNm / NM_PER_MM, 4)];
    const [shortest, longest] = inward(NM_PER_MM / 10 ** digits);
    return [places(shortest / 10 ** digits, digits), places(longest / 10 ** digits, digits)];
  };
  const [from, to] = holds(NM_PER_MM / 10) ? ends('mm') : finer();
  if (unit === 'mm') return [from, to];
  return holds(NM_PER_INCH / 16) ? ends('in') : [from, `${to}${NBSP}mm`];
}

/** A distance of many metres, in whole units: `900 m` or `2953 ft`. */
export function distance(nm: number, unit: LengthUnit = shown.unit): string {
  const far = farUnit(unit);
  return Math.abs(nm) < 10e9 ? length(nm, unit) : `${number(nm / NM_PER_FAR[far], far === 'm' ? 1 : 0)}${NBSP}${far}`;
}

/** Whole newtons. Five figures and more, which nobody reads off a gauge, stand in groups. */
export function newtons(n: number): string {
  return `${wholeNewtons(n)}${NBSP}N`;
}

/** As `newtons`, for tables whose head carries the unit. */
export function wholeNewtons(n: number): string {
  return figure(n, { maximumFractionDigits: 0, useGrouping: Math.abs(n) >= 9999.5 });
}

export function celsius(c: number): string {
  return `${number(c, 1)}${NBSP}°C`;
}

/** A day as the person writes it; the record's own text when it is no date. */
export function day(iso: string): string {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(iso);
  if (!parts) return iso;
  const date = new Date(Number(parts[1]), Number(parts[2]) - 1, Number(parts[3]));
  return isolated(new Intl.DateTimeFormat(locale(), { day: 'numeric', month: 'short', year: 'numeric', ...DIGITS }).format(date));
}

// What a date can hold; a clock that a damaged device told beyond that stands at its edge and takes no screen with it.
const MOST_MS = 8.64e15;
const dateOf = (ms: number): Date => new Date(Math.min(Math.max(ms, -MOST_MS), MOST_MS));

/** The day of a moment on this device's own clock. */
export function dayHere(ms: number): string {
  return day(today(dateOf(ms)));
}

/** A sentence of the program with its days as the person writes them. */
export function withDays(sentence: string): string {
  return sentence.replace(/\b\d{4}-\d{2}-\d{2}\b/g, day);
}

/** Minutes east of UTC of this device's own clock at that moment. */
const here = (ms: number): number => -dateOf(ms).getTimezoneOffset();

/**
 * A moment as the clock showed it where it was recorded, its zone named where that is not the viewer's own at the time.
 * Without minutes east of UTC nobody knows that clock: then it is told in UTC and says so.
 */
export function moment(ms: number, offsetMin: number | null | undefined, viewer: number = here(ms)): string {
  const there = offsetMin ?? 0;
  const when = new Intl.DateTimeFormat(locale(), {
    ...DIGITS,
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    hour: 'numeric',
    minute: '2-digit',
    timeZone: 'UTC'
  }).format(dateOf(ms + there * 60_000));
  const told = isolated(when);
  return typeof offsetMin === 'number' && there === viewer ? told : `${told} ${zone(there)}`;
}

/** A moment on this device's own clock. */
export function momentHere(ms: number): string {
  return moment(ms, here(ms));
}

/** `UTC+10`, `UTC−3:30`. */
export function zone(offsetMin: number): string {
  if (offsetMin === 0) return 'UTC';
  const min = Math.abs(offsetMin);
  const rest = min % 60;
  return `UTC${offsetMin < 0 ? '−' : '+'}${Math.floor(min / 60)}${rest ? `:${String(rest).padStart(2, '0')}` : ''}`;
}

/** The sign between whole and tenths, as the person writes it. */
export function decimalSign(): string {
  return new Intl.NumberFormat(locale(), DIGITS).formatToParts(1.5).find((p) => p.type === 'decimal')?.value ?? '.';
}

/** What was typed on the pad, with the person's own decimal sign. */
export function asTyped(text: string): string {
  return text.replace('.', decimalSign());
}

/** Today as yyyy-mm-dd in the device's own time. */
export function today(now: Date = new Date()): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** A share of a whole as per cent, capped so that it never says certainty. */
export function chance(p: number): string {
  if (p > 0.99) return `> 99${NBSP}%`;
  if (p < 0.01) return `< 1${NBSP}%`;
  return `${number(p * 100, 0)}${NBSP}%`;
}

/** A place in degrees, north and east positive. */
export function place(lat: number, lon: number): string {
  return `${number(lat, 5)}, ${number(lon, 5)}`;
}
