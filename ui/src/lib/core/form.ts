// Fields of a form: what a person types, and what it means in the record's units. Pure.
import { words } from '$lib/words';
import { plainDigits } from './digits';
import { asSaid, BETWEEN_LENGTHS, farUnit, parseFar, parseLength, parseLengths, parseNumber, splitLengths, type LengthUnit, type TypedLength } from './length';
import { within } from './within';

export type FieldKind = 'text' | 'long' | 'whole' | 'number' | 'length' | 'lengths' | 'far' | 'force' | 'celsius' | 'day' | 'flag' | 'choice';

export interface Field {
  name: string;
  label: string;
  kind: FieldKind;
  options?: [value: string, label: string][];
  /** Of a choice: what nothing chosen is called, where it says something. */
  none?: string;
  /** Of a choice: what comes first, under a name of its own; all others stand below under theirs. */
  first?: { name: string; values: string[]; others: string };
  hint?: string;
  /** Texts that are taken by a touch instead of being typed. */
  offers?: string[];
  need?: boolean;
  /** A length that may be zero or below. */
  signed?: boolean;
  /** A length that can't be zero. */
  aboveZero?: boolean;
  /** Lengths as they may be typed here, for who typed them otherwise. */
  example?: Record<LengthUnit, string>;
  /** Unit of a number as people say it. */
  unit?: string;
  /** Asked only where what else was typed calls for it. */
  when?: (typed: Typed) => boolean;
  /** What its change makes meaningless: fields that are emptied when this one becomes `value`. */
  clears?: (typed: Typed, value: string) => string[];
  /** How many of the record's whole units one of these is: 4 per cent are 400 parts in 10 000. */
  scale?: number;
}

/** Typed text per field; flags are `yes`, `no` or empty for not asked. */
export type Typed = Record<string, string>;

/** A field's meaning: nm, mN, hundredths of a kelvin are left to the caller; here plain numbers. */
export type Meaning = string | number | number[] | boolean | undefined;

const WRITTEN: FieldKind[] = ['text', 'long', 'choice', 'day', 'flag'];

/** What was typed, its figures in the digits that the record holds; words stay as they are. */
export function inPlainDigits(fields: Field[], typed: Typed): Typed {
  const plain = (name: string, text: string) => (fields.some((f) => f.name === name && !WRITTEN.includes(f.kind)) ? plainDigits(text) : text);
  return Object.fromEntries(Object.entries(typed).map(([name, text]) => [name, plain(name, text)]));
}

/** Reads one field. A string in `fault` says in words what is wrong. */
export function readField(field: Field, text: string, unit: LengthUnit): { value: Meaning; fault?: string } {
  const typed = text.trim();
  if (typed === '') return field.need ? { value: undefined, fault: words.form.need(field.label) } : { value: undefined };
  switch (field.kind) {
    case 'text':
    case 'long':
    case 'choice':
    case 'day':
      return { value: typed };
    case 'flag':
      return { value: typed === 'yes' };
    case 'length': {
      const nm = parseLength(typed, unit);
      if (nm === undefined) return { value: undefined, fault: words.form.notALength(field.label, unit) };
      return { value: nm, ...outside(field, [nm]) };
    }
    case 'far': {
      const nm = parseFar(typed, unit);
      if (nm === undefined) return { value: undefined, fault: words.form.notFar(field.label, farUnit(unit)) };
      return nm < 0 ? { value: undefined, fault: words.form.belowZero(field.label) } : { value: nm };
    }
    case 'lengths': {
      const nm = parseLengths(typed, unit);
      if (nm === undefined) return { value: undefined, fault: words.form.notLengths(field.label, unit, field.example?.[unit]) };
      return { value: nm, ...outside(field, nm) };
    }
    case 'force': {
      const n = parseNumber(typed);
      if (n === undefined) return { value: undefined, fault: words.form.newtons(field.label) };
      if (n < 0) return { value: undefined, fault: words.form.newtonsBelowZero(field.label) };
      return { value: Math.round(n * 1000) };
    }
    case 'whole':
    case 'number':
    case 'celsius': {
      const n = parseNumber(typed);
      if (n === undefined || (field.kind === 'whole' && !Number.isInteger(n))) {
        return { value: undefined, fault: field.kind === 'whole' ? words.form.whole(field.label) : words.form.number(field.label) };
      }
      if (field.scale === undefined) return { value: n };
      const whole = n * field.scale;
      if (Math.abs(whole - Math.round(whole)) > 1e-6) return { value: undefined, fault: words.form.tooFine(field.label, Math.round(Math.log10(field.scale))) };
      return { value: Math.round(whole) };
    }
  }
}

/** Lengths that can't be there, in words. */
function outside(field: Field, nm: number[]): { value?: undefined; fault?: string } {
  if (field.aboveZero && nm.some((one) => one <= 0)) return { value: undefined, fault: words.form.zero(field.label) };
  if (!field.signed && nm.some((one) => one < 0)) return { value: undefined, fault: words.form.belowZero(field.label) };
  return {};
}

/**
 * What is typed once a field was changed: what that makes meaningless is emptied, and stands again as the form began where
 * the field is turned back and no other one stands against it.
 */
export function changed(fields: Field[], start: Typed, typed: Typed, name: string, value: string): Typed {
  const gone = fields.find((f) => f.name === name)?.clears?.(typed, value) ?? [];
  const after = { ...typed, [name]: value };
  const against = new Set(fields.flatMap((f) => f.clears?.(start, after[f.name] ?? '') ?? []));
  const back = (one: string) => value === (start[name] ?? '') && !against.has(one);
  return { ...after, ...Object.fromEntries(gone.map((one) => [one, back(one) ? (start[one] ?? '') : ''])) };
}

/** A form once a half that was typed before is taken in: what a changed field makes meaningless is emptied before the half's own. */
export function takenIn(fields: Field[], start: Typed, typed: Typed, half: Typed): Typed {
  const turned = fields.filter((f) => f.clears && (half[f.name] ?? '') !== (typed[f.name] ?? ''));
  const emptied = turned.reduce((now, f) => changed(fields, start, now, f.name, half[f.name] ?? ''), typed);
  const own = Object.fromEntries(Object.entries(half).filter(([name, text]) => text !== (typed[name] ?? '')));
  return { ...emptied, ...own };
}

/** Reads a whole form; `faults` is empty when every field can be kept. */
export function readForm(
  fields: Field[],
  typed: Typed,
  unit: LengthUnit
): { values: Record<string, Meaning>; faults: Record<string, string> } {
  const values: Record<string, Meaning> = {};
  const faults: Record<string, string> = {};
  for (const field of fields.filter((f) => f.when?.(typed) ?? true)) {
    const { value, fault } = readField(field, typed[field.name] ?? '', unit);
    if (fault) faults[field.name] = fault;
    else if (value !== undefined) values[field.name] = value;
  }
  return { values, faults };
}

/** Lengths of a list with the unit that they were read in: once behind the last, or with each where one has its own. */
function listSaid(typed: string, unit: LengthUnit): string {
  const all = splitLengths(typed);
  return all.some((one) => asSaid(one, unit) === one) ? all.map((one) => asSaid(one, unit)).join(BETWEEN_LENGTHS) : asSaid(typed, unit);
}

/** What was typed into a field that has a unit, with it. */
function withUnit(field: Field, text: string, unit: LengthUnit): string {
  const typed = text.trim();
  if (!typed) return '';
  if (field.kind === 'length') return asSaid(typed, unit);
  if (field.kind === 'lengths') return listSaid(typed, unit);
  if (field.kind === 'far') return asSaid(typed, farUnit(unit));
  if (field.kind === 'force') return `${typed} N`;
  return field.kind === 'number' && field.unit ? `${typed} ${field.unit}` : '';
}

/**
 * What was typed with its unit, kept beside the value in the record; where several figures make one value each with what
 * it is. Nothing where nothing with a unit was typed: what still stands as the form began was typed by nobody here.
 */
export function typedText(fields: Field[], typed: Typed, unit: LengthUnit, start: Typed = {}): string | undefined {
  const touched = (f: Field) => (typed[f.name] ?? '').trim() !== (start[f.name] ?? '').trim();
  const asked = fields.filter((f) => (f.when?.(typed) ?? true) && touched(f));
  const said = asked.map((f) => [f, withUnit(f, typed[f.name] ?? '', unit)] as const).filter(([, text]) => text);
  if (said.length === 0) return undefined;
  const alone = fields.filter((f) => withUnit(f, '1', unit)).length === 1;
  return said.map(([f, text]) => (alone ? text : `${within(f.label).replace('?', '')} ${text}`)).join('; ');
}

/** The same as what stands beside a value: nothing where nothing was typed. */
export function contextOf(fields: Field[], typed: Typed, unit: LengthUnit, start: Typed = {}): { entered?: string } {
  const entered = typedText(fields, typed, unit, start);
  return entered ? { entered } : {};
}

/** The lengths of a form that were read, as they were typed. */
export function typedLengths<N extends string>(values: Record<string, Meaning>, typed: Typed, unit: LengthUnit, names: readonly N[]): Partial<Record<N, TypedLength>> {
  const read = names.filter((name) => values[name] !== undefined && typed[name]?.trim());
  return Object.fromEntries(read.map((name) => [name, { text: (typed[name] ?? '').trim(), unit }])) as Partial<Record<N, TypedLength>>;
}

/** What of a draft goes on in this form: text of its own fields that differs from what it begins with. */
export function draftOf(fields: Field[], start: Typed, found: unknown): Typed | undefined {
  if (found === null || typeof found !== 'object') return undefined;
  const left: Typed = {};
  for (const [name, text] of Object.entries(found)) {
    if (typeof text === 'string' && fields.some((f) => f.name === name) && text !== (start[name] ?? '')) left[name] = text;
  }
  return Object.keys(left).length > 0 ? left : undefined;
}

/** Most letters of a draft that are told; it only has to be known again. */
const TOLD = 60;

/** What was typed, in one line: `72, Oak …`. */
export function toldTyped(fields: Field[], typed: Typed): string {
  const told = fields
    .map((f) => {
      const text = (typed[f.name] ?? '').trim();
      // Emptied on purpose: what was taken out is told as well.
      if (typed[f.name] !== undefined && !text) return words.form.emptied(f.label);
      if (f.kind === 'flag') return text ? `${f.label} ${text}` : '';
      return f.options?.find(([value]) => value === text)?.[1] ?? text;
    })
    .filter(Boolean)
    .join(', ');
  return told.length > TOLD ? `${told.slice(0, TOLD).trimEnd()} …` : `${told} …`;
}
