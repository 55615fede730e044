// Which facts a card shows: those that belong to the thing's kind, and every one that somebody said. Pure.
import type { Field, Typed } from '$lib/core/form';
import type { Fact } from './fact';
import { known, type Known, type Thing } from './view';

const said = (k: Known | undefined): boolean => k !== undefined && k.standing !== 'withdrawn';

/** What is known of a thing, as a form would have it: its fields are asked for by what else is known. */
function typedOf(thing: Thing, facts: Fact[], place: string): Typed {
  const agreed = facts.map((fact) => [fact, known(thing, fact.field, place)] as const).filter(([, k]) => k?.standing === 'agreed');
  return Object.assign({}, ...agreed.map(([fact, k]) => fact.fill(k?.value, 'mm'))) as Typed;
}

/** `asked` is a fact whose form is opened, whatever it is. */
export function shownFacts(thing: Thing, facts: Fact[], place = '', asked = ''): Fact[] {
  const typed = typedOf(thing, facts, place);
  const belongs = (input: Field) => input.when?.(typed) ?? true;
  return facts.filter((fact) => fact.field === asked || said(known(thing, fact.field, place)) || fact.inputs.some(belongs));
}
