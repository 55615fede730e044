// Fields of a form: what a person types, and what it means in the record's units. Pure.
import { parseLength, parseNumber, type LengthUnit } from './length';

export type FieldKind = 'text' | 'long' | 'whole' | 'number' | 'length' | 'force' | 'celsius' | 'day' | 'flag' | 'choice';

export interface Field {
  name: string;
  label: string;
  kind: FieldKind;
  options?: [value: string, label: string][];
  hint?: string;
  need?: boolean;
  /** A length that may be zero or below. */
  signed?: boolean;
  /** Unit of a number as people say it. */
  unit?: string;
  /** How many of the record's whole units one of these is: 4 per cent are 400 parts in 10 000. */
  scale?: number;
}

/** Typed text per field; flags are `yes`, `no` or empty for not asked. */
export type Typed = Record<string, string>;

/** A field's meaning: nm, mN, hundredths of a kelvin are left to the caller; here plain numbers. */
export type Meaning = string | number | boolean | undefined;

/** Reads one field. A string in `fault` says in words what is wrong. */
export function readField(field: Field, text: string, unit: LengthUnit): { value: Meaning; fault?: string } {
  const typed = text.trim();
  if (typed === '') return field.need ? { value: undefined, fault: `${field.label}: fill this in.` } : { value: undefined };
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
      if (nm === undefined) return { value: undefined, fault: `${field.label}: this is not a length in ${unit}.` };
      if (!field.signed && nm < 0) return { value: undefined, fault: `${field.label}: a length is not below zero.` };
      return { value: nm };
    }
    case 'force': {
      const n = parseNumber(typed);
      if (n === undefined || n < 0) return { value: undefined, fault: `${field.label}: type newtons.` };
      return { value: Math.round(n * 1000) };
    }
    case 'whole':
    case 'number':
    case 'celsius': {
      const n = parseNumber(typed);
      if (n === undefined || (field.kind === 'whole' && !Number.isInteger(n))) {
        return { value: undefined, fault: `${field.label}: type a ${field.kind === 'whole' ? 'whole ' : ''}number.` };
      }
      if (field.scale === undefined) return { value: n };
      const whole = n * field.scale;
      if (Math.abs(whole - Math.round(whole)) > 1e-6) return { value: undefined, fault: `${field.label}: too fine. At most ${Math.round(Math.log10(field.scale))} digits behind the point.` };
      return { value: Math.round(whole) };
    }
  }
}

/** Reads a whole form; `faults` is empty when every field can be kept. */
export function readForm(
  fields: Field[],
  typed: Typed,
  unit: LengthUnit
): { values: Record<string, Meaning>; faults: Record<string, string> } {
  const values: Record<string, Meaning> = {};
  const faults: Record<string, string> = {};
  for (const field of fields) {
    const { value, fault } = readField(field, typed[field.name] ?? '', unit);
    if (fault) faults[field.name] = fault;
    else if (value !== undefined) values[field.name] = value;
  }
  return { values, faults };
}
