// What to tension to, as a form is filled in with it and as it is kept. Pure.
import type { TensionPlan, Tensions } from '$lib/generated/api';
import { number } from '$lib/core/format.svelte';
import type { Meaning, Typed } from '$lib/core/form';
import { plainDigits } from '$lib/core/digits';
import { parseNumber } from '$lib/core/length';
import { within } from '$lib/core/within';
import { words } from '$lib/words';

const text = (n: number | null | undefined) => (typeof n === 'number' ? number(n, 3) : '');
const mn = (n: number) => Math.round(n * 1000);

const least = (...figures: (number | null | undefined)[]): number | undefined => {
  const told = figures.filter((n) => typeof n === 'number');
  return told.length > 0 ? Math.min(...told) : undefined;
};

/** What was decided, else the plan's own figures, to be changed or kept as they are: whoever keeps the form as it stands changes no decision, as long as what is asked and what is known to hold allow it. What was decided above the table stays; a set tension below what has to be shown by now gives way to the suggested one; a limit without a factor is no figure to start from, and a limit that came since bounds the upper tension. Passes that are left empty are the usual ones. */
export function startOf(plan: TensionPlan): Typed {
  const stands = typeof plan.decidedSetN === 'number' && plan.decidedSetN >= (plan.mustShowN ?? 0);
  const set = stands ? plan.decidedSetN : plan.suggestedN;
  const passes = stands && plan.decidedPassesN.length > 0 ? plan.decidedPassesN : plan.usualPassesN;
  const from = plan.decidedRequiredFrom ?? '';
  // As it is held, not as the gauge can tell it: what was decided may lie between the two.
  const upper = typeof plan.decidedUpperN === 'number' ? least(plan.decidedUpperN, plan.ceilingN) : plan.upperBare ? undefined : plan.upperN;
  return { required: text(plan.mustShowN), from, set: text(set), upper: text(upper), passes: typeof set === 'number' && passes.at(-1) === set ? passes.map(text).join(' ') : '' };
}

/** What is decided. An origin is the plan's only where the figure is, else what the person states; throws in words what can't be. */
export function choiceOf(plan: TensionPlan, v: Record<string, Meaning>): Tensions {
  const [requiredMn, setMn, upperMn] = [Number(v.required), Number(v.set), Number(v.upper)];
  const told = String(v.passes ?? '');
  const typedMn = told.split(/[\s;]+/).filter(Boolean).map((p) => mn(parseNumber(plainDigits(p)) ?? 0));
  // Passes left as they stood, beside another set tension: those on the way stay and it is the last.
  const left = told === startOf(plan).passes && typedMn.at(-1) !== setMn;
  const passesMn = left && typedMn.length > 0 ? [...typedMn.slice(0, -1).filter((p) => p < setMn), setMn] : typedMn;
  if (setMn > upperMn) throw new Error(words.tensions.overUpper);
  if (passesMn.length > 0 && passesMn.at(-1) !== setMn) throw new Error(words.tensions.lastPass);
  const originOf = (chosen: number, planned: number | null | undefined, origin: string | undefined, stated = '') =>
    typeof planned === 'number' && chosen === mn(planned) && origin ? origin : stated;
  return {
    requiredMn, setMn, upperMn, passesMn,
    requiredOrigin: originOf(requiredMn, plan.required?.newtons, plan.required?.origin, String(v.from ?? '').trim()),
    upperOrigin: originOf(upperMn, plan.upperN, plan.upperOrigin, originOf(upperMn, plan.decidedUpperN, plan.decidedUpperFrom ?? ''))
  };
}

/** The figures as they were typed, each with what it is. */
export function typedAs(typed: Typed): string {
  const { required, set, upper, passes } = words.tensions;
  const figures = [[required, typed.required], [set, typed.set], [upper, typed.upper], [passes, typed.passes]] as const;
  return figures.flatMap(([label, text]) => (text?.trim() ? [`${within(label)} ${text.trim()} N`] : [])).join('; ');
}
