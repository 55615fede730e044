// What is marked on a picture: as it stands, by whose word, in words, and as it was left before it was kept.
import { call } from '$lib/core/call';
import { dropDraft, keepDraft, readDraft } from '$lib/core/drafts';
import type { Mark, Recorded } from '$lib/generated/api';
import { words } from '$lib/words';
import type { Known } from './view';

/** The marks of a value of the record; none where it holds none. */
export function marksIn(value: unknown): Mark[] {
  const marks = value !== null && typeof value === 'object' ? (value as { marks?: unknown }).marks : undefined;
  return Array.isArray(marks) ? marks.filter(isMark) : [];
}

/** The marks that are shown on a picture; none of those that people differ on. */
export const standing = (known: Known | undefined): Mark[] => (known?.standing === 'agreed' ? marksIn(known.value) : []);

/** A sign in the corner of a small picture, beside words: marked, differed on, or marked by a newer version. */
export const signOf = (known: Known | undefined): string => ({ agreed: standing(known).length > 0 ? '↗' : '', disputed: '≠', newer: '?', withdrawn: '' })[known?.standing ?? 'withdrawn'];

/** That it is marked, in words; nothing where it is not. */
export function markedWords(known: Known | undefined): string {
  if (known?.standing === 'disputed') return words.marking.differs;
  if (known?.standing === 'newer') return words.marking.markedNewer;
  const told = tellMarks(standing(known));
  return told && words.marking.marked(told);
}

/** A caption with that. */
export const altOf = (caption: string, known: Known | undefined): string => [caption, markedWords(known)].filter(Boolean).join(', ');

/** The entries that stand on a picture's marks. */
export const seenOf = (known: Known | undefined): string[] => known?.tips.map((tip) => tip.claim) ?? [];

/** Whether two lists draw the same. */
export const same = (one: Mark[], other: Mark[]): boolean => JSON.stringify(one.map(plain)) === JSON.stringify(other.map(plain));
/** Its members in one order, however they were read. */
const plain = (m: Mark) => (m.kind === 'text' ? [m.kind, m.x, m.y, m.text] : [m.kind, m.x, m.y, m.toX, m.toY]);

/** `2 arrows, a ring, “rust”`. */
export function tellMarks(marks: Mark[]): string {
  const count = (kind: Mark['kind']) => marks.filter((mark) => mark.kind === kind).length;
  const [arrows, rings] = [count('arrow'), count('ring')];
  return [
    arrows > 0 ? words.marking.arrows(arrows) : '',
    rings > 0 ? words.marking.rings(rings) : '',
    ...marks.map((mark) => (mark.kind === 'text' ? words.marking.quoted(mark.text) : ''))
  ].filter(Boolean).join(', ');
}

/** One mark with where it lies, for whoever does not see it. */
export function tellMark(mark: Mark): string {
  const at = words.marking.at(mark.x, mark.y);
  if (mark.kind === 'text') return `${words.marking.quoted(mark.text)}, ${at}`;
  return `${words.marking.tools[mark.kind]}, ${words.marking.fromTo(at, words.marking.at(mark.toX, mark.toY))}`;
}

/** Says all marks of a picture, in the place of those that the person saw; none takes them back. */
export function markPicture(job: string, picture: string, marks: Mark[], seen: string[]): Promise<Recorded> {
  return call('markPicture', { job, picture, marks, seen });
}

/** Marks that were drawn and not kept. */
export interface LeftMarks {
  marks: Mark[];
  text: string;
}
const nameOf = (picture: string) => `marks-${picture}`;

export function leftMarks(picture: string): LeftMarks | undefined {
  const found = readDraft(nameOf(picture));
  if (found === null || typeof found !== 'object') return undefined;
  const { text } = found as { text?: unknown };
  return { marks: marksIn(found), text: typeof text === 'string' ? text : '' };
}

export function keepLeftMarks(picture: string, left: LeftMarks): void {
  keepDraft(nameOf(picture), left);
}

export function dropLeftMarks(picture: string): void {
  dropDraft(nameOf(picture));
}

function isMark(one: unknown): one is Mark {
  if (one === null || typeof one !== 'object') return false;
  const mark = one as Record<string, unknown>;
  const numbers = (...names: string[]) => names.every((name) => typeof mark[name] === 'number');
  if (mark.kind === 'text') return numbers('x', 'y') && typeof mark.text === 'string';
  return (mark.kind === 'arrow' || mark.kind === 'ring') && numbers('x', 'y', 'toX', 'toY');
}
