// What the last exchange told, as far as a screen shows it: the program's own sentences, and where a file lies. Pure.
// Kinds and counts stand in those sentences; a key of the program is never shown.
import { words } from '$lib/words';

/** The fields that are read here; the whole report has more. */
interface Report {
  waiting: { words: string }[];
  aside: { path: string; reason: string }[];
  faults: { message: string }[];
  forked: boolean;
  strange: string[];
}

export interface Line {
  text: string;
  /** Where in the shared folder it is about, if at one place. */
  path: string;
}

export interface Told {
  waiting: string[];
  aside: Line[];
  forked: boolean;
  /** Paths of files and folders there that are none of the record's; those of services left out. */
  strange: string[];
}

/** The lines of the last report; none before the first exchange. */
export function toldOf(last: Partial<Report> | null | undefined): Told {
  const aside = (last?.aside ?? []).map((a): Line => ({ text: said(a.reason), path: a.path }));
  const faults = (last?.faults ?? []).map((f): Line => ({ text: said(f.message), path: '' }));
  return { waiting: (last?.waiting ?? []).map((w) => said(w.words)), aside: [...aside, ...faults], forked: last?.forked === true, strange: last?.strange ?? [] };
}

/** A report of an older version may lack a sentence. */
const said = (sentence: string | undefined) => (sentence ? sentence : words.notKnown);
