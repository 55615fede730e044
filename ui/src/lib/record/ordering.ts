// What comes first before ordering: what does not fit, then what asks most. Pure.
import type { BayRow, Finding, NextRow, Source, Verdict } from '$lib/generated/api';

const OUTCOMES = ['notAllowed', 'outside', 'figure'];

/** Bays that a table does not allow or hold, then doubtful ones, then by the tension asked. */
export function worstFirst(bays: BayRow[]): BayRow[] {
  const rank = (b: BayRow) => OUTCOMES.indexOf(b.outcome) * 2 + (b.outcome === 'figure' && b.doubt === null ? 1 : 0);
  return [...bays].sort((a, b) => rank(a) - rank(b) || (b.leastTensionN ?? 0) - (a.leastTensionN ?? 0));
}

/** Where a rule is from, with how it came to be known; common practice stands in no document. */
export function sourceOf(s: Source, statuses: Record<string, string>): string {
  const known = statuses[s.status] ?? s.status;
  return s.status === 'commonPractice' ? known : `${[s.document, s.clause].filter(Boolean).join(', ')} (${known})`;
}

const VERDICTS: Verdict[] = ['notAllowed', 'short', 'outsideTable', 'askFirst', 'asked', 'meetsFigure', 'notAsked'];
const CALM: Verdict[] = ['asked', 'meetsFigure', 'notAsked'];

/** A bay this little over a row of the table costs tension that a closer post would save; the program says so by the same limit. */
const NEARLY_MM = 20;

/** What being just over the row before costs a bay, as the row that it is over; nothing where it costs nothing. */
export function justOver(bay: BayRow): NextRow | undefined {
  const row = bay.shorter;
  return row && row.distanceMm < NEARLY_MM && (row.differenceN ?? 0) < 0 ? row : undefined;
}

/** Findings that someone must act on or that cost something, and the rest; each from the worst. */
export function byWeight(findings: Finding[], bays: BayRow[] = []): { open: Finding[]; calm: Finding[] } {
  const costs = (f: Finding) => f.topic === 'wireTable' && bays.some((b) => b.subject === f.subject && justOver(b));
  const isOpen = (f: Finding) => !CALM.includes(f.verdict) || costs(f);
  const sorted = [...findings].sort((a, b) => VERDICTS.indexOf(a.verdict) - VERDICTS.indexOf(b.verdict));
  return { open: sorted.filter(isOpen), calm: sorted.filter((f) => !isOpen(f)) };
}

/** What falls short of a figure or is not allowed, the worst first. */
export function unfit(findings: Finding[]): Finding[] {
  const found = findings.filter((f) => f.verdict === 'notAllowed' || f.verdict === 'short');
  return found.sort((a, b) => VERDICTS.indexOf(a.verdict) - VERDICTS.indexOf(b.verdict));
}
