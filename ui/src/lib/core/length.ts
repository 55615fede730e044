// Lengths as people type them and as the record keeps them (whole nanometres).
// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).

export type LengthUnit = 'mm' | 'in';

export const NM_PER_MM = 1_000_000;
export const NM_PER_INCH = 25_400_000;
/** One sixteenth of an inch is a whole number of nanometres. */
export const NM_PER_SIXTEENTH = NM_PER_INCH / 16;

/** Nanometres of a typed length, or nothing when it can't be read as one. */
export function parseLength(text: string, unit: LengthUnit): number | undefined {
  const typed = text.trim().replace(/[″"]|mm|in/g, '').trim();
  if (!typed) return undefined;
  return unit === 'mm' ? decimal(typed, NM_PER_MM) : inches(typed);
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
  if (!/^-?\d+(\.\d+)?$|^-?\.\d+$/.test(typed)) return undefined;
  return Number(typed);
}

export function decimal(text: string, per: number): number | undefined {
  const value = parseNumber(text);
  return value === undefined ? undefined : Math.round(value * per);
}

function inches(text: string): number | undefined {
  // Whole and fraction stand apart: `11/16` is no 1 1/16.
  const alone = /^(\d+)\s*\/\s*(\d+)$/.exec(text);
  const parts = alone ? [text, undefined, alone[1], alone[2]] : /^(\d+)(?:[\s-]+(\d+)\s*\/\s*(\d+))?$/.exec(text);
  if (!parts) return decimal(text, NM_PER_INCH);
  const whole = Number(parts[1] ?? 0);
  if (parts[2] === undefined) return whole * NM_PER_INCH;
  const top = Number(parts[2]);
  const under = Number(parts[3]);
  if (under === 0 || top >= under || 64 % under !== 0) return undefined;
  return whole * NM_PER_INCH + (top * NM_PER_INCH) / under;
}

/** Millimetres with at most one decimal, without unit. */
export function mmOf(nm: number): number {
  return Math.round(nm / (NM_PER_MM / 10)) / 10;
}

/** Inches to the nearest sixteenth, as written on a tape: `287 3/16`. */
export function inchText(nm: number): string {
  const sixteenths = Math.round(Math.abs(nm) / NM_PER_SIXTEENTH);
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
