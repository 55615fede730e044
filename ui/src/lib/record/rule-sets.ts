// Rule sets: how each stands to the permit, figures changed by the crew, files in and out. Pure but for the calls.
import { call } from '$lib/core/call';
import type { Typed } from '$lib/core/form';
import { bareLength, day } from '$lib/core/format.svelte';
import { NM_PER_MM, parseLength, type LengthUnit } from '$lib/core/length';
import type { Recorded, RuleChange, RuleChoice, RuleFigure, RuleFigures, RuleSetsFor } from '$lib/generated/api';
import { words } from '$lib/words';

/** No rule set is larger: what is would not fit into the record. */
export const LARGEST_KIB = 48;

export const loadRuleSetsFor = (job: string): Promise<RuleSetsFor> => call('ruleSetsFor', { job });
/** For a job that is still to be begun. */
export const loadRuleSetsOn = (permit: string | undefined): Promise<RuleSetsFor> => call('ruleSetsOn', permit ? { permit } : {});
export const loadFigures = (name: string): Promise<RuleFigures> => call('ruleFigures', { name });
/** Copies a rule set whole into the job; where something rests on the one that stands it is questioned, and `confirmed` says yes to it. */
export const useRuleSet = (job: string, name: string, confirmed = false): Promise<Recorded> => call('useRuleSet', { job, name, confirmed });
/** Figures far from what is usual, and places of a table that ask less for more, are questioned; `confirmed` says that the document prints them so. */
export const keepFile = (text: string, why: string, confirmed: boolean): Promise<Recorded> => call('keepRuleSet', { from: { kind: 'file', text }, why, confirmed });
/** One of the crew's own is told anew; one of the program's becomes a new one. */
export const keepChanges = (name: string, own: boolean, title: string, changes: RuleChange[], why: string, confirmed: boolean): Promise<Recorded> =>
  call('keepRuleSet', { from: { kind: 'changes', name, title, changes }, why, confirmed, ...(own ? { id: name } : {}) });
export const dropOwn = (subject: string, reason: string): Promise<Recorded> => call('dropOwn', { subject, reason });

/** Names of the form's fields: a pointer holds signs that a form would not. */
const nameOf = (index: number) => `figure${index}`;

/** What a form of the figures begins with. */
export function startOf(figures: RuleFigure[], unit: LengthUnit): Typed {
  return Object.fromEntries(figures.map((f, i) => [nameOf(i), bareLength(Math.round(f.mm * NM_PER_MM), unit)]));
}

/**
 * Figures that were typed anew. One that was left as it was shown is no change: inches on screen are rounded to
 * sixteenths, and the rounding is nobody's decision.
 */
export function changesOf(figures: RuleFigure[], typed: Typed, unit: LengthUnit): RuleChange[] {
  const start = startOf(figures, unit);
  return figures.flatMap((f, i) => {
    const text = (typed[nameOf(i)] ?? '').trim();
    const nm = text === start[nameOf(i)] ? undefined : parseLength(text, unit);
    return nm === undefined ? [] : [{ path: f.path, value: nm / NM_PER_MM }];
  });
}

export const figureName = nameOf;

const w = words.ruleSets;
/** A set that did not count on the permit's day. */
export const outOfDate = (choice: RuleChoice | null | undefined): boolean => choice?.fit === 'replaced' || choice?.fit === 'notYet';

/** A set in one line of a choice: its country, edition and first day, and how it stands to the permit's day where that is told. */
export function choiceLine(choice: RuleChoice, permit: string | null): string {
  const edition = w.edition(choice.edition.split(':')[0] ?? '');
  const from = choice.firstDay === null ? w.noFirstDay : w.firstDay(day(choice.firstDay));
  const fit = permit === null ? '' : (w.fits[choice.fit] ?? choice.fit);
  const mark = outOfDate(choice) ? '✕ ' : choice.changed ? '△ ' : '';
  return `${mark}${[choice.title, choice.country ?? '', edition, from, fit].filter(Boolean).join(' · ')}`;
}

/** What a choice of rule sets offers: those of the job's country first, in each what counted on the permit's day first. */
export function choiceOptions(sets: RuleSetsFor | undefined): [string, string][] {
  if (!sets) return [];
  return grouped(sets.choices, sets.standing).flatMap(([, list]) => list.map((c): [string, string] => [c.name, choiceLine(c, sets.permit)]));
}

/** By country, the one in force first; those of other countries after the job's own. */
export function grouped(choices: RuleChoice[], standing: RuleChoice | null): [string, RuleChoice[]][] {
  const found = new Map<string, RuleChoice[]>();
  for (const choice of choices) found.set(choice.country ?? '', [...(found.get(choice.country ?? '') ?? []), choice]);
  const own = standing?.country ?? '';
  return [...found].sort(([a], [b]) => Number(b === own) - Number(a === own) || a.localeCompare(b));
}
