// The number pad's arithmetic: what a key does to what was typed. Pure; the component only draws it. What a keyboard, a
// measuring device or a clipboard brings goes through `typing.ts`.
import type { LengthUnit } from './length';

/** What stands on the pad. `lead` holds digits carried over from the neighbours. */
export interface PadText {
  typed: string;
  lead: string;
  /** How many digits are typed behind the lead. */
  free: number;
  /** The digits behind the last blank are sixteenths. */
  sixteenths: boolean;
  /** It stands as it was typed, with signs that the pad's own keys don't have: `287 3/8`, `7.293 m`. */
  written?: true;
}

export type PadKey =
  | { kind: 'digit'; digit: string }
  | { kind: 'point' }
  | { kind: 'feet' }
  | { kind: 'minus' }
  | { kind: 'half' }
  | { kind: 'sixteenths' }
  | { kind: 'rub' };

const FEET = "' ";
/** Of the sixteenths in an inch. */
const HALF = 8;
const SIXTEEN = 16;
/** So many digits are no length and no pull any more. */
export const MOST_DIGITS = 9;

/** An empty pad; `near` are whole numbers that stand beside the value sought. */
export function startPad(near: number[] = [], free = 2): PadText {
  // Neighbours on both sides of a round hundred still share their thousands.
  const open = leadOf(near, free) === '' && leadOf(near, free + 1) !== '' ? free + 1 : free;
  return { typed: '', lead: leadOf(near, open), free: open, sixteenths: false };
}

/** Leading digits that all neighbours share, once the last `free` digits are left open; one that has none shares none. */
export function leadOf(near: number[], free: number): string {
  const leads = near.map((n) => String(Math.round(n)).slice(0, -free));
  const first = leads[0];
  return first !== undefined && leads.every((l) => l === first) ? first : '';
}

export function press(text: PadText, key: PadKey, unit: LengthUnit | 'other' = 'other'): PadText {
  switch (key.kind) {
    case 'digit':
      return digit(text, key.digit);
    case 'point':
      return point(text);
    case 'feet':
      return feet(text);
    case 'minus':
      return { ...text, lead: '', typed: text.typed.startsWith('-') ? text.typed.slice(1) : '-' + text.typed };
    case 'half':
      return half(text, unit);
    case 'sixteenths':
      return sixteenths(text);
    case 'rub':
      return rub(text);
  }
}

const digitsOf = (typed: string) => typed.replace(/\D/g, '').length;
/** Behind a lead a tenth is typed with the last digits: what reads otherwise is a whole value of its own. */
const ownPlaces = (typed: string) => (/\.(\d*)$/.exec(typed)?.[1]?.length ?? 0) > 1;

function digit(text: PadText, d: string): PadText {
  if (digitsOf(text.typed) >= MOST_DIGITS) return text;
  if (text.sixteenths || text.written) return { ...text, typed: text.typed + d };
  // Behind digits that stand already a nought is a digit like any other.
  const typed = text.typed === '0' && text.lead === '' ? d : text.typed + d;
  // One digit more than fits behind the lead: a whole number is being typed after all, and none begins with a nought.
  const past = text.lead !== '' && !typed.includes('.') && typed.length > text.free;
  if (past && typed.startsWith('0')) return text;
  return { ...text, typed, lead: past || ownPlaces(typed) ? '' : text.lead };
}

function point(text: PadText): PadText {
  if (text.written) return { ...text, typed: text.typed + '.' };
  if (text.typed.includes('.') || text.sixteenths || text.typed.endsWith(' ')) return text;
  // `7.` where two digits are sought begins metres or another number, no tenth of this one.
  const lead = digitsOf(text.typed) === text.free ? text.lead : '';
  return { ...text, lead, typed: (text.typed || '0') + '.' };
}

function feet(text: PadText): PadText {
  if (text.written) return { ...text, typed: text.typed + "'" };
  return text.sixteenths || !/^-?\d+$/.test(text.typed) ? text : { ...text, lead: '', typed: text.typed + FEET };
}

function sixteenths(text: PadText): PadText {
  if (text.written) return { ...text, typed: text.typed + '/' };
  if (text.sixteenths || text.typed === '' || text.typed.includes('.')) return text;
  return { ...text, typed: text.typed.trimEnd() + ' ', sixteenths: true };
}

function half(text: PadText, unit: LengthUnit | 'other'): PadText {
  if (text.written || text.typed === '' || text.typed.includes('.')) return text;
  if (unit !== 'in') return text.sixteenths ? text : { ...point(text), typed: text.typed + '.5' };
  const [whole, top] = text.sixteenths ? inSixteenths(text) : [text.typed.trimEnd(), ''];
  // Half an inch more than what stands; past a whole one it would be another length than was read.
  return Number(top) >= HALF ? text : { ...sixteenths({ ...text, sixteenths: false }), typed: `${whole} ${Number(top) + HALF}` };
}

function rub(text: PadText): PadText {
  const { typed } = text;
  if (typed === '') return { ...text, lead: '' };
  if (text.written) {
    const rest = [...typed].slice(0, -1).join('');
    const { written: _, ...plain } = text;
    return /^-?\d*\.?\d*$/.test(rest) ? { ...plain, typed: rest } : { ...text, typed: rest };
  }
  // The blank before sixteenths goes with them, but for the one that stands behind feet.
  if (text.sixteenths && typed.endsWith(' ')) return { ...text, typed: typed.endsWith(FEET) ? typed : typed.slice(0, -1), sixteenths: false };
  return { ...text, typed: typed.endsWith(FEET) ? typed.slice(0, -FEET.length) : typed.slice(0, -1) };
}

/** True when it can be kept as it stands: digits behind a lead must be complete. What was written is judged by what it says. */
export function complete(text: PadText): boolean {
  if (text.written) return text.typed.trim() !== '';
  const digits = text.typed.split('.')[0]?.replace('-', '') ?? '';
  if (text.lead !== '') return digits.length === text.free && !text.typed.endsWith('.');
  return /\d$/.test(text.typed) || (text.typed.endsWith(FEET) && !text.sixteenths);
}

/** Whole and sixteenths of what is typed with the sixteenths key. */
export function inSixteenths({ typed }: PadText): [string, string] {
  const at = typed.lastIndexOf(' ');
  return [typed.slice(0, at), typed.slice(at + 1)];
}

/** What was entered, as it goes into the record: `7294`, `7294.5`, `287 3/16`, `287 1/2` or `23' 11 3/16`. */
export function entered(text: PadText): string {
  if (!text.sixteenths) return (text.lead + text.typed).trim();
  const [whole, top] = inSixteenths(text);
  return top ? `${whole} ${fractionOf(top)}` : whole;
}

/** Sixteenths in lowest terms, as lengths are shown: `1/2`. What is none of a pad's sixteenths stands as it was typed. */
export function fractionOf(top: string): string {
  let [over, under] = [Number(top), SIXTEEN];
  if (!(over > 0 && over < SIXTEEN)) return `${top}/${SIXTEEN}`;
  while (over % 2 === 0) [over, under] = [over / 2, under / 2];
  return `${over}/${under}`;
}

/** What is half typed, as it is kept; nothing where nothing is typed. */
export interface PadDraft {
  text: PadText;
  unit: string;
}

export function padDraft(text: PadText, unit: string): PadDraft | undefined {
  return /\d/.test(text.typed) ? { text, unit } : undefined;
}

/** A kept draft that this pad can go on with: a newton is no millimetre. */
export function padDraftOf(found: unknown, unit: string): PadDraft | undefined {
  const { text, unit: of } = (found ?? {}) as Partial<PadDraft>;
  const fits = isLength(unit) ? isLength(of) : of === unit;
  const { typed, lead, free, sixteenths, written } = (text ?? {}) as Partial<PadText>;
  if (!fits || typeof typed !== 'string' || typeof lead !== 'string' || typeof free !== 'number' || typeof sixteenths !== 'boolean') return undefined;
  return padDraft({ typed, lead, free, sixteenths, ...(written === true ? { written } : {}) }, of ?? unit);
}

/** Every draft in what was kept that this pad can go on with, the last one first. */
export function padDraftsOf(found: unknown, unit: string): PadDraft[] {
  const all: unknown[] = Array.isArray(found) ? found : [found];
  return all.map((one) => padDraftOf(one, unit)).filter((one) => one !== undefined);
}

/** What is kept while nobody decided: what stands now, and each earlier draft that it doesn't go on from. */
export function padKept(now: PadDraft | undefined, left: PadDraft[]): PadDraft[] | undefined {
  const goesOn = (one: PadDraft) => now?.unit === one.unit && entered(now.text).startsWith(entered(one.text));
  const all = [...(now ? [now] : []), ...left.filter((one) => !goesOn(one))];
  return all.length > 0 ? all : undefined;
}

/** What stays offered once the pad goes on with a draft: what stood on the pad takes its place. */
export function padRest(now: PadDraft | undefined, left: PadDraft[], taken: PadDraft): PadDraft[] {
  return left.map((one) => (one === taken ? now : one)).filter((one) => one !== undefined);
}

export function isLength(unit: string | undefined): unit is LengthUnit {
  return unit === 'mm' || unit === 'in';
}
