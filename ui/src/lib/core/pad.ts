// The number pad's arithmetic: what a key does to what was typed. Pure; the component only draws it.
import type { LengthUnit } from './length';

/** What stands on the pad. `lead` holds digits carried over from the neighbours while `use` says so. */
export interface PadText {
  typed: string;
  lead: string;
  /** How many digits are typed behind the lead. */
  free: number;
  sixteenths: boolean;
}

export type PadKey =
  | { kind: 'digit'; digit: string }
  | { kind: 'point' }
  | { kind: 'minus' }
  | { kind: 'half' }
  | { kind: 'sixteenths' }
  | { kind: 'rub' };

/** An empty pad; `near` are whole numbers that stand beside the value sought. */
export function startPad(near: number[] = [], free = 2): PadText {
  // Neighbours on both sides of a round hundred still share their thousands.
  const open = leadOf(near, free) === '' && leadOf(near, free + 1) !== '' ? free + 1 : free;
  return { typed: '', lead: leadOf(near, open), free: open, sixteenths: false };
}

/** Leading digits that all neighbours share, once the last `free` digits are left open. */
export function leadOf(near: number[], free: number): string {
  const leads = near.filter((n) => n >= 10 ** free).map((n) => String(Math.round(n)).slice(0, -free));
  const first = leads[0];
  return first !== undefined && leads.every((l) => l === first) ? first : '';
}

export function press(text: PadText, key: PadKey, unit: LengthUnit | 'other' = 'other'): PadText {
  switch (key.kind) {
    case 'digit':
      return digit(text, key.digit);
    case 'point':
      return text.typed.includes('.') || text.sixteenths ? text : { ...text, typed: (text.typed || '0') + '.' };
    case 'minus':
      return { ...text, lead: '', typed: text.typed.startsWith('-') ? text.typed.slice(1) : '-' + text.typed };
    case 'half':
      return half(text, unit);
    case 'sixteenths':
      return text.sixteenths || text.typed === '' || text.typed.includes('.')
        ? text
        : { ...text, typed: text.typed + ' ', sixteenths: true };
    case 'rub':
      return rub(text);
  }
}

function digit(text: PadText, d: string): PadText {
  if (text.sixteenths) {
    const top = text.typed.slice(text.typed.indexOf(' ') + 1) + d;
    return Number(top) > 15 || top.length > 2 ? text : { ...text, typed: text.typed + d };
  }
  if (text.typed.replace(/[-.]/g, '').length >= 9) return text;
  // Behind digits that stand already a nought is a digit like any other.
  const typed = text.typed === '0' && text.lead === '' ? d : text.typed + d;
  // One digit more than fits behind the lead: a whole number is being typed after all, and none begins with a nought.
  const past = text.lead !== '' && !typed.includes('.') && typed.length > text.free;
  if (past && typed.startsWith('0')) return text;
  return { ...text, typed, lead: past ? '' : text.lead };
}

function half(text: PadText, unit: LengthUnit | 'other'): PadText {
  if (text.sixteenths || text.typed === '' || text.typed.includes('.')) return text;
  return unit === 'in' ? { ...text, typed: text.typed + ' 8', sixteenths: true } : { ...text, typed: text.typed + '.5' };
}

function rub(text: PadText): PadText {
  if (text.typed === '') return { ...text, lead: '' };
  const typed = text.typed.slice(0, -1);
  const open = text.sixteenths && typed.includes(' ');
  return { ...text, typed: open ? typed : typed.trimEnd(), sixteenths: open };
}

/** True when a value can be read: digits behind a lead must be complete. */
export function complete(text: PadText): boolean {
  const digits = text.typed.split('.')[0]?.replace('-', '') ?? '';
  if (text.lead !== '') return digits.length === text.free && !text.typed.endsWith('.');
  return /\d$/.test(text.typed);
}

/** What was entered, as it goes into the record: `7294`, `7294.5` or `287 3/16`. */
export function entered(text: PadText): string {
  if (!text.sixteenths) return text.lead + text.typed;
  const [whole, top] = text.typed.split(' ');
  return top ? `${whole} ${top}/16` : (whole ?? '');
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
  const { typed, lead, free, sixteenths } = (text ?? {}) as Partial<PadText>;
  if (!fits || typeof typed !== 'string' || typeof lead !== 'string' || typeof free !== 'number' || typeof sixteenths !== 'boolean') return undefined;
  return padDraft({ typed, lead, free, sixteenths }, of ?? unit);
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
