// Lengths as people type them and as the record keeps them (whole nanometres).
// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).

export type LengthUnit = 'mm' | 'in';

export const NM_PER_MM = 1_000_000;
export const NM_PER_INCH = 25_400_000;
/** One sixteenth of an inch is a whole number of nanometres. */
export const NM_PER_SIXTEENTH = NM_PER_INCH / 16;

/** Nanometres of one, by the unit that is typed behind a number. */
const METRIC = { mm: NM_PER_MM, cm: 10 * NM_PER_MM, m: 1_000 * NM_PER_MM };
type OwnUnit = keyof typeof METRIC | 'in';

/** Nanometres of a typed length, or nothing when it can't be read as one. A unit that is typed with it counts before the field's. */
export function parseLength(text: string, unit: LengthUnit): number | undefined {
  const { bare, own } = ownUnit(text);
  if (!bare) return undefined;
  const as = own ?? unit;
  return as === 'in' ? feet(bare) : decimal(bare, METRIC[as]);
}

/** What stands before a unit, and that unit: `62"` is inches wherever it is typed. Phones type curled marks by themselves. */
function ownUnit(text: string): { bare: string; own?: OwnUnit } {
  const marks = text.trim().replace(/[′’]/g, "'").replace(/''|[″”]/g, '"');
  const typed = marks.replace(/\s*(?:feet|foot|ft)(?![a-z])\.?/i, "'");
  const found = /^(.*?)\s*(mm|cm|m|inches|inch|in\.?|")$/i.exec(typed);
  const unit = found?.[2]?.toLowerCase();
  const own = unit === 'mm' || unit === 'cm' || unit === 'm' ? unit : unit ? 'in' : undefined;
  const bare = found?.[1] ?? typed;
  // Feet with inches behind them and no inches between are no length.
  if (own && bare.endsWith("'")) return { bare: '', own };
  return own ? { bare, own } : bare.includes("'") ? { bare, own: 'in' } : { bare };
}

/** In what long lengths are typed, a reel or the way to the sea: metres, or feet beside inches. */
export function farUnit(unit: LengthUnit): 'm' | 'ft' {
  return unit === 'in' ? 'ft' : 'm';
}
export const NM_PER_FAR = { m: METRIC.m, ft: 12 * NM_PER_INCH };

/** Nanometres of a long length, in its own unit where one is typed with it. */
export function parseFar(text: string, unit: LengthUnit): number | undefined {
  return ownUnit(text).own ? parseLength(text, unit) : decimal(text.trim(), NM_PER_FAR[farUnit(unit)]);
}

/** What was typed, with the unit that it was read in: its own, or the field's. */
export function asSaid(text: string, unit: LengthUnit | 'm' | 'ft'): string {
  return ownUnit(text).own ? text.trim() : `${text.trim()} ${unit}`;
}

/** Whether a unit is typed with it. */
export function saysUnit(text: string): boolean {
  return ownUnit(text).own !== undefined;
}

/** A length as a person typed it. */
export interface TypedLength {
  text: string;
  unit: LengthUnit;
}

/**
 * Lengths typed one after the other, a semicolon or a new line between them: neither is ever part of a length, as a
 * blank is of `3 11/16` and a comma of `75,8`. Nothing when one of them can't be read.
 */
export function parseLengths(text: string, unit: LengthUnit): number[] | undefined {
  const nm = splitLengths(text).map((one) => parseLength(one, unit));
  return nm.length > 0 && nm.every((one) => one !== undefined) ? nm : undefined;
}

/** The lengths of a list, each as it was typed. */
export function splitLengths(text: string): string[] {
  return text.split(/[;\n]/).map((one) => one.trim()).filter(Boolean);
}

/** Between lengths that are written into one field. */
export const BETWEEN_LENGTHS = '; ';

/** Reads a number with a point or a comma; grouping marks are not guessed at. */
export function parseNumber(text: string): number | undefined {
  const typed = text.trim().replace(',', '.').replace('−', '-');
  if (!/^[-+]?\d+\.?\d*$|^[-+]?\.\d+$/.test(typed)) return undefined;
  return Number(typed);
}

/** Finer than a nanometre, or than a millionth of an inch, nobody reads: it is a slip of the point. */
function places(per: number): number {
  return /^10*$/.test(String(per)) ? String(per).length - 1 : 6;
}

export function decimal(text: string, per: number): number | undefined {
  if ((/[.,](\d*)$/.exec(text.trim())?.[1]?.length ?? 0) > places(per)) return undefined;
  const value = parseNumber(text);
  // Nothing below nothing is nothing.
  return value === undefined ? undefined : Math.round(value * per) + 0;
}

function feet(text: string): number | undefined {
  if (/[-−]$/.test(text)) return undefined;
  const below = /^[-−]\s*(.*)$/.exec(text);
  const nm = above(below?.[1] ?? text);
  return below && nm !== undefined ? 0 - nm : nm;
}

/** Feet and inches without a sign. */
function above(text: string): number | undefined {
  const parts = /^(\d+)\s*'[\s-]*(.*)$/.exec(text);
  if (!parts) return inches(text);
  const rest = parts[2] ? inches(parts[2]) : 0;
  return rest === undefined ? undefined : Number(parts[1]) * 12 * NM_PER_INCH + rest;
}

function inches(text: string): number | undefined {
  // Whole and fraction stand apart: `11/16` is no 1 1/16.
  const alone = /^(\d+)\s*\/\s*(\d+)$/.exec(text);
  const parts = alone ? [text, undefined, alone[1], alone[2]] : /^(\d+)(?:[\s-]+(\d+)\s*\/\s*(\d+))?$/.exec(text);
  if (!parts) return /^[-−]/.test(text) ? undefined : decimal(text, NM_PER_INCH);
  const whole = Number(parts[1] ?? 0);
  if (parts[2] === undefined) return whole * NM_PER_INCH;
  const top = Number(parts[2]);
  const under = Number(parts[3]);
  if (top === 0 || top >= under || under < 2 || 64 % under !== 0) return undefined;
  return whole * NM_PER_INCH + (top * NM_PER_INCH) / under;
}

/** Which way a figure is rounded: a window's shortest up and its longest down, so that what is shown still works. */
export type Rounding = 'up' | 'down' | 'nearest';
const ROUND = { up: Math.ceil, down: Math.floor, nearest: Math.round };

/** Millimetres with at most one decimal, without unit. */
export function mmOf(nm: number, rounding: Rounding = 'nearest'): number {
  return ROUND[rounding](nm / (NM_PER_MM / 10)) / 10;
}

/** So far off a sixteenth a size may be and still be told as one. */
const NEAR_SIXTEENTH = NM_PER_MM / 10;

/** A figure in steps, where the last digits of a division move it over none. */
const onStep = (steps: number, rounding: Rounding): number => ROUND[rounding](Math.round(steps * 1e6) / 1e6);

/**
 * Inches to the sixteenth, as written on a tape: `287 3/16`. What is shorter than an inch and lies on none, a hole or a
 * deflection, is told in thousandths: `0.335`.
 */
export function inchText(nm: number, rounding: Rounding = 'nearest'): string {
  const exact = Math.abs(nm) / NM_PER_SIXTEENTH;
  if (exact < 16 && Math.abs(exact - Math.round(exact)) * NM_PER_SIXTEENTH > NEAR_SIXTEENTH) return `${nm < 0 ? '−' : ''}${(onStep((Math.abs(nm) / NM_PER_INCH) * 1000, rounding) / 1000).toFixed(3)}`;
  // A hair beside a sixteenth is that sixteenth.
  const onOne = Math.abs(exact - Math.round(exact)) * NM_PER_SIXTEENTH < 1000;
  const sixteenths = onOne ? Math.round(exact) : ROUND[rounding](exact);
  const whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16;
  let under = 16;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    under /= 2;
  }
  const sign = nm < 0 ? '−' : '';
  if (top === 0) return `${sign}${whole}`;
  return whole === 0 ? `${sign}${top}/${under}` : `${sign}${whole} ${top}/${under}`;
}
