// How the edge was left at the end of a day: of which visit it is asked, and what is offered to be touched. Pure.
import type { Field } from '$lib/core/form';
import { words } from '$lib/words';
import { pick } from './fact';
import { known, valueOf, type Run, type Thing } from './view';
import { isHeld } from './wires';

/** More than these are no choice for a thumb. */
const OFFERED = 4;

const dayOf = (visit: Thing): string => valueOf<string>(visit, 'day') ?? '';

/** Visits by their day, the newest first. */
const byDay = (visits: Thing[]): Thing[] => [...visits].sort((a, b) => dayOf(b).localeCompare(dayOf(a)));

/** Whether nobody's word stands of how its edge was left. */
export function isUnsaid(visit: Thing): boolean {
  const k = known(visit, 'leftSafe');
  return k === undefined || k.standing === 'withdrawn';
}

/** When it was last said how a visit's edge was left. */
const saidAt = (visit: Thing): number => Math.max(0, ...(known(visit, 'leftSafe')?.tips ?? []).map((t) => t.at.ms));

/** Whether an edge stands open: no run is told yet, or a wire of one is not held at its tension. */
export const edgeOpen = (runs: Run[]): boolean => runs.length === 0 || runs.some((r) => r.wires.length === 0 || !r.wires.every(isHeld));

/** The visit of which it is asked: today's; of several the one that was not left yet, else the one that was left last, whose
 *  picture is still to come. None where nobody was there today. */
export function visitNow(visits: Thing[], today: string): Thing | undefined {
  const here = visits.filter((v) => dayOf(v) === today);
  return here.find(isUnsaid) ?? [...here].sort((a, b) => saidAt(b) - saidAt(a))[0];
}

/** What was said on other days comes first, the newest day first; then what is usual. */
function offered(visits: Thing[], name: 'how' | 'told', usual: string[]): string[] {
  const said = byDay(visits).flatMap((v) => {
    const k = known(v, 'leftSafe');
    const text = k?.standing === 'agreed' ? pick(k.value, name) : undefined;
    return typeof text === 'string' && text !== '' ? [text] : [];
  });
  return [...new Set([...said, ...usual])].slice(0, OFFERED);
}

/** The fields of a visit's word, with what can be touched instead of typed. */
export function withOffers(inputs: Field[], visits: Thing[]): Field[] {
  const { how, told } = words.leftSafe;
  return inputs.map((input) => {
    if (input.name === 'how') return { ...input, offers: offered(visits, 'how', how) };
    return input.name === 'told' ? { ...input, offers: offered(visits, 'told', told) } : input;
  });
}
