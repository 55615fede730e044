// What comes first before ordering: what does not fit, then what asks most. Pure.
import type { BayRow, Finding, Verdict } from '$lib/generated/api';

const OUTCOMES = ['notAllowed', 'outside', 'figure'];

/** Bays that a table does not allow or hold, then doubtful ones, then by the tension asked. */
export function worstFirst(bays: BayRow[]): BayRow[] {
  const rank = (b: BayRow) => OUTCOMES.indexOf(b.outcome) * 2 + (b.outcome === 'figure' && b.doubt === null ? 1 : 0);
  return [...bays].sort((a, b) => rank(a) - rank(b) || (b.leastTensionN ?? 0) - (a.leastTensionN ?? 0));
}

const VERDICTS: Verdict[] = ['notAllowed', 'short', 'outsideTable', 'askFirst', 'asked', 'meetsFigure', 'notAsked'];
const CALM: Verdict[] = ['asked', 'meetsFigure', 'notAsked'];

/** Findings that someone must act on, and the rest; each from the worst. */
export function byWeight(findings: Finding[]): { open: Finding[]; calm: Finding[] } {
  const sorted = [...findings].sort((a, b) => VERDICTS.indexOf(a.verdict) - VERDICTS.indexOf(b.verdict));
  return { open: sorted.filter((f) => !CALM.includes(f.verdict)), calm: sorted.filter((f) => CALM.includes(f.verdict)) };
}
