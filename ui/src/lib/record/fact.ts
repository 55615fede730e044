// A fact: one field of the record, how it is typed, what value it becomes and how it is told.
// The tables of facts stand in `facts-*.ts`; this file only knows how to make them. Pure.
import type { Field, FieldKind, Meaning, Typed } from '$lib/core/form';
import { bareLength, celsius, day, distance, length, NBSP, newtons, number } from '$lib/core/format.svelte';
import { BETWEEN_LENGTHS, NM_PER_FAR, farUnit, splitLengths, type LengthUnit } from '$lib/core/length';
import { within } from '$lib/core/within';
import { words } from '$lib/words';

/** One figure of a fact as a list shows it: what it is, its value, and where that is from; an origin of all of them has no value. */
export interface FactLine {
  label: string;
  value: string;
  origin?: string;
}

export interface Fact {
  /** Name of the field in the record, without the subject. */
  field: string;
  label: string;
  inputs: Field[];
  /** The record's value of what was read from the form; nothing when the form was left empty. */
  compose: (values: Record<string, Meaning>) => unknown;
  /** The same where a value stands already, which the form was filled from: what was left keeps where it is from. */
  onto?: (values: Record<string, Meaning>, before: unknown) => unknown;
  /** What to put into the form for a value that stands. */
  fill: (value: unknown, unit: LengthUnit) => Typed;
  /** The very figures that `fill` rounds for the form, under the inputs' names. */
  exact?: (value: unknown) => Record<string, Meaning>;
  /** Whether a figure that was left as it stood is still that figure, after what was typed beside it; all are where it is not told. */
  goesOn?: (name: string, values: Record<string, Meaning>, before: unknown) => boolean;
  /** The value in words, with its unit. */
  tell: (value: unknown) => string;
  /** The same as a list, for where there is room: nothing in it stands without its label. */
  lines: (value: unknown) => FactLine[];
  /** Fewer of them, where a list of things is no place for all. */
  brief?: (value: unknown) => FactLine[];
}

/** The inputs as the form of this fact alone asks them: its own kind calls for some, what other facts say plays no part. */
export const ownInputs = (fact: Fact): Field[] => (fact.inputs.some((i) => i.name === 'kind') ? fact.inputs : fact.inputs.map(({ when: _, ...field }) => field));

/** More figures than these are no sentence any more. */
const A_SENTENCE = 3;

/** The lines of a fact that a sentence would not carry: many figures, or some with where they are from; none of others. */
export function asList(fact: Fact, value: unknown): FactLine[] {
  const lines = fact.lines(value);
  return lines.length > A_SENTENCE || lines.some((l) => l.origin) ? lines : [];
}

type Extra = Partial<Pick<Field, 'options' | 'offers' | 'hint' | 'need' | 'signed' | 'unit' | 'scale' | 'when'>>;

/** A fact with one input. Lengths and forces become `{nm}` and `{mn}`, the rest stays as it is. */
export function one(field: string, label: string, kind: FieldKind, extra: Extra = {}): Fact {
  const input: Field = { name: field, label, kind, need: true, ...extra };
  const wrap = kind === 'length' || kind === 'far' ? 'nm' : kind === 'force' ? 'mn' : undefined;
  return {
    field,
    label,
    inputs: [input],
    compose: (values) => {
      const v = values[field];
      return v === undefined ? undefined : wrap ? { [wrap]: v } : v;
    },
    fill: (value, unit) => ({ [field]: fillOne(input, wrap ? pick(value, wrap) : value, unit) }),
    exact: (value) => ({ [field]: (wrap ? pick(value, wrap) : value) as Meaning }),
    tell: (value) => tellOne(input, wrap ? pick(value, wrap) : value),
    lines: (value) => linesOf([input], () => (wrap ? pick(value, wrap) : value))
  };
}

/** An input named like the one before it and `Origin` tells where that one is from. */
function linesOf(inputs: Field[], valueOf: (input: Field) => unknown): FactLine[] {
  const lines: (FactLine & { of: string })[] = [];
  for (const input of inputs) {
    const value = tellOne(input, valueOf(input));
    if (!value) continue;
    const before = lines.at(-1);
    if (input.name.endsWith('Origin') && before?.of.startsWith(input.name.slice(0, -'Origin'.length))) before.origin = value;
    else lines.push({ label: input.label.replace('?', ''), value, of: input.name });
  }
  return lines.map(({ of: _, ...line }) => line);
}

/** A fact of several inputs: an object whose keys are the inputs' names, in the record's units. */
export function group(field: string, label: string, inputs: Field[], fixed: Record<string, unknown> = {}): Fact {
  return {
    field,
    label,
    inputs,
    compose: (values) => {
      const own = Object.fromEntries(inputs.map((i) => [i.name, values[i.name]]).filter(([, v]) => v !== undefined));
      return Object.keys(own).length === 0 ? undefined : { ...fixed, ...own };
    },
    fill: (value, unit) => Object.fromEntries(inputs.map((i) => [i.name, fillOne(i, pick(value, i.name), unit)])),
    exact: (value) => Object.fromEntries(inputs.map((i) => [i.name, pick(value, i.name) as Meaning])),
    tell: (value) =>
      inputs
        .map((i) => [i, pick(value, i.name)] as const)
        .filter(([, v]) => v !== undefined && v !== null && v !== '')
        .map(([i, v]) => (inputs.length > 1 ? `${within(i.label).replace('?', '')}${i.kind === 'length' || i.kind === 'force' || i.kind === 'whole' || i.kind === 'number' ? '' : ':'} ${tellOne(i, v)}` : tellOne(i, v)))
        .join(', '),
    lines: (value) => linesOf(inputs, (input) => pick(value, input.name))
  };
}

/** A fact of lengths that are typed one after the other. */
export function several(field: string, label: string, extra: Extra = {}): Fact {
  const list = (value: unknown) => (pick(value, 'nm') as number[] | undefined) ?? [];
  return {
    field,
    label,
    inputs: [{ name: field, label, kind: 'lengths', need: true, ...extra }],
    compose: (values) => (values[field] === undefined ? undefined : { nm: values[field] }),
    fill: (value, unit) => ({ [field]: lengthsText(list(value), unit) }),
    exact: (value) => ({ [field]: list(value) }),
    tell: (value) => lengthsText(list(value)),
    lines: (value) => [{ label, value: lengthsText(list(value)) }]
  };
}

/** A fact of one length that may run to many metres, typed and told so. */
export function far(field: string, label: string, extra: Extra = {}): Fact {
  return one(field, label, 'far', extra);
}

export function pick(value: unknown, key: string): unknown {
  return value && typeof value === 'object' ? (value as Record<string, unknown>)[key] : undefined;
}

function fillOne(input: Field, value: unknown, unit: LengthUnit): string {
  if (value === undefined || value === null) return '';
  if (input.kind === 'flag') return value === true ? 'yes' : 'no';
  if (input.kind === 'length') return bareLength(Number(value), unit);
  if (input.kind === 'far') return number(Number(value) / NM_PER_FAR[farUnit(unit)], 3);
  if (input.kind === 'force') return number(Number(value) / 1000, 3);
  if (input.scale) return number(Number(value) / input.scale, 6);
  return String(value);
}

function tellOne(input: Field, value: unknown): string {
  if (value === undefined || value === null || value === '') return '';
  switch (input.kind) {
    case 'flag':
      return value === true ? words.yes.toLowerCase() : words.no.toLowerCase();
    case 'length':
      return length(Number(value));
    case 'far':
      return distance(Number(value));
    case 'force':
      return newtons(Number(value) / 1000);
    case 'celsius':
      return celsius(Number(value));
    case 'day':
      return day(String(value));
    case 'choice':
      return input.options?.find(([v]) => v === value)?.[1] ?? String(value);
    case 'whole':
    case 'number':
      return `${number(Number(value) / (input.scale ?? 1), 4)}${input.unit ? `${NBSP}${input.unit}` : ''}`;
    default:
      return String(value);
  }
}

/** Lengths one after the other, in the unit on screen. */
export function lengthsText(nm: number[], unit?: LengthUnit): string {
  return nm.map((one) => bareLength(one, unit)).join(BETWEEN_LENGTHS);
}

/**
 * What a form means where a length was left as it stood: the very figure that it was filled from. Inches on screen are
 * rounded to sixteenths, and the rounding is nobody's decision.
 */
export function asItStood(fact: Fact, value: unknown, values: Record<string, Meaning>, typed: Typed, unit: LengthUnit): Record<string, Meaning> {
  const start = fact.fill(value, unit);
  const kept = { ...values };
  for (const { name, kind, when } of fact.inputs) {
    // What the form doesn't ask for goes nowhere.
    if (when && !when(typed)) continue;
    if (!(fact.goesOn?.(name, values, value) ?? true)) continue;
    const stood = fact.exact?.(value)[name];
    const text = (typed[name] ?? '').trim();
    if ((kind === 'length' || kind === 'far') && typeof stood === 'number' && text === start[name]) kept[name] = stood;
    const read = values[name];
    if (kind === 'lengths' && Array.isArray(stood) && Array.isArray(read)) {
      const [before, now] = [splitLengths(start[name] ?? ''), splitLengths(text)];
      kept[name] = read.map((nm, i) => (now[i] === before[i] ? (stood[i] ?? nm) : nm));
    }
  }
  return kept;
}
