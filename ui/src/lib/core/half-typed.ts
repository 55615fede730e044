// Half-typed forms: what an earlier visit left stands beside what is typed now until a person decides. Pure.
import { draftOf, type Field, type Typed } from './form';
import { asSaid, BETWEEN_LENGTHS, splitLengths, type LengthUnit } from './length';

/** What is kept under a form's name: one draft, or several where the same field was typed twice and nobody decided. */
export type Halves = Typed | Typed[] | undefined;

/** Drafts with the unit that bare figures in them were typed in. */
interface InUnit {
  unit: LengthUnit;
  halves: NonNullable<Halves>;
}

/** As it is kept: figures go on meaning what they meant, whatever unit the device shows by then. */
export function inUnit(halves: Halves, unit: LengthUnit): InUnit | undefined {
  return halves === undefined ? undefined : { unit, halves };
}

/** Every draft of this form in what was kept, the last one first; lengths of another unit than this one name it. */
export function halvesOf(fields: Field[], start: Typed, found: unknown, unit: LengthUnit): Typed[] {
  const kept = isInUnit(found) ? found : undefined;
  const halves: unknown = kept ? kept.halves : found;
  const all: unknown[] = Array.isArray(halves) ? halves : [halves];
  const drafts = all.map((one) => draftOf(fields, start, one)).filter((one) => one !== undefined);
  return kept && kept.unit !== unit ? drafts.map((one) => naming(fields, one, kept.unit)) : drafts;
}

const isInUnit = (found: unknown): found is InUnit => found !== null && typeof found === 'object' && 'halves' in found && 'unit' in found && (found.unit === 'mm' || found.unit === 'in');

/** Lengths with the unit that they were typed in. */
function naming(fields: Field[], half: Typed, unit: LengthUnit): Typed {
  const kindOf = (name: string) => fields.find((f) => f.name === name)?.kind;
  const named = (name: string, text: string) => {
    if (text.trim() === '') return text;
    if (kindOf(name) === 'length') return asSaid(text, unit);
    return kindOf(name) === 'lengths' ? splitLengths(text).map((one) => asSaid(one, unit)).join(BETWEEN_LENGTHS) : text;
  };
  return Object.fromEntries(Object.entries(half).map(([name, text]) => [name, named(name, text)]));
}

/** Of drafts that are undecided, what the form does not say already: neither the same text nor one that begins so. */
export function offered(fields: Field[], start: Typed, typed: Typed, left: Typed[]): Typed[] {
  return left.map((one) => pick(one, (name, text) => !says(fields, start, typed, name, text))).filter((one) => Object.keys(one).length > 0);
}

/**
 * What is kept while both stand. What was typed now joins an earlier draft where it says nothing of it otherwise; where a
 * field was typed anew, each stays as a draft of its own: they may be of two things.
 */
export function kept(fields: Field[], start: Typed, typed: Typed, left: Typed[]): Halves {
  const now = draftOf(fields, start, typed) ?? {};
  const rest = offered(fields, start, typed, left);
  if (Object.keys(now).length === 0) return rest.length > 1 ? rest : rest[0];
  const [first, ...older] = rest;
  const otherwise = Object.keys(first ?? {}).some((name) => name in now && now[name] !== first?.[name]);
  const all = otherwise ? [now, ...rest] : [{ ...first, ...now }, ...older];
  return all.length > 1 ? all : all[0];
}

/** Whether every field of a draft is typed anew: it can only take the place of what stands. */
export function takesPlace(start: Typed, typed: Typed, half: Typed): boolean {
  return Object.keys(half).every((name) => touched(start, typed, name));
}

/**
 * Going on with a draft: it fills in what is not touched. Where all of it was typed anew it takes the place of that, and what
 * stood there becomes the draft.
 */
export function goOn(start: Typed, typed: Typed, half: Typed): { typed: Typed; rest: Typed | undefined } {
  const all = takesPlace(start, typed, half);
  const free = pick(half, (name) => all || !touched(start, typed, name));
  const rest = all ? pick(typed, (name) => name in half) : pick(half, (name) => !(name in free));
  return { typed: { ...typed, ...free }, rest: Object.keys(rest).length > 0 ? rest : undefined };
}

const touched = (start: Typed, typed: Typed, name: string) => (typed[name] ?? '') !== (start[name] ?? '');

/** Chosen things are alike or not; a text goes on where another one ended. */
function says(fields: Field[], start: Typed, typed: Typed, name: string, text: string): boolean {
  const now = typed[name] ?? '';
  const kind = fields.find((f) => f.name === name)?.kind;
  if (now === text) return true;
  return kind !== 'choice' && kind !== 'flag' && kind !== 'day' && touched(start, typed, name) && now.startsWith(text);
}

function pick(of: Typed, which: (name: string, text: string) => boolean): Typed {
  return Object.fromEntries(Object.entries(of).filter(([name, text]) => which(name, text)));
}
