// A picture or document on its way into the record: bytes in pieces, then one act that ties it to its subject.
import { sent } from '$lib/core/pieces';
import type { Recorded, ShowsWhat } from '$lib/generated/api';
import { questionOf } from '$lib/core/transport';
import { whereNow, within, type Where } from '$lib/core/where-now';
import { addDocument, addPhoto } from './acts';
import { loadThing, say } from './backend';
import { valueOf } from './view';

export type Tie = ShowsWhat;

/** How long a picture waits for the position, and how long one that comes later still belongs to it. */
const SOON_MS = 3000;
const LATE_MS = 60_000;

/** Takes a picture in, tied to these or to nothing yet. One taken just now carries the app's own time and place; a file brings its own. One that can't be shown is questioned. */
export async function takeIn(
  job: string,
  file: File,
  ties: Tie[],
  caption: string,
  takenNow: boolean,
  confirmed: boolean,
  progress?: (done: number, total: number) => void
): Promise<Recorded> {
  // Asked for while the bytes go in. The answer to a permission may take minutes, or never come: the picture does not wait for it.
  const where = takenNow ? whereNow(LATE_MS) : Promise.resolve(undefined);
  const soon = within(where, takenNow ? SOON_MS : 0);
  const made = await sent(
    file,
    async (source) => {
      const position = await soon;
      return addPhoto(job, { source, name: file.name, caption, shows: ties, takenNow, confirmed, ...(position ? { position } : {}) });
    },
    progress
  );
  const position = await soon;
  if (!position) void where.then((late) => keepLate(job, made.created, late)).catch(() => undefined);
  return made;
}

/** A file on its way in, with what was said of it when it was chosen. */
export interface Chosen {
  file: File;
  captured: boolean;
  said: string;
  ties: Tie[];
}
/** One that waits for a yes. */
export type Questioned = Chosen & { question: string };

/** What came of several files, in the order they were chosen. */
export interface CameIn {
  kept: number;
  asked: Questioned[];
  /** What was not kept and why, and what is to be known of what was, each with its file's name. */
  refused: string[];
  remarks: string[];
  /** How many were not begun, since somebody stopped it. */
  leftOut: number;
}

/**
 * Takes in one after the other; what is refused hides no other. Of several, `at` is told which of how many it is, of one
 * how many of its bytes are there. Goes on while `goOn` says so; the one that is on its way comes in still.
 */
export async function takeAll(job: string, list: Chosen[], confirmed: boolean, at: (name: string, done: number, total: number) => void, goOn: () => boolean, take = takeIn): Promise<CameIn> {
  const came: CameIn = { kept: 0, asked: [], refused: [], remarks: [], leftOut: 0 };
  for (const [n, one] of list.entries()) {
    if (!goOn()) {
      came.leftOut = list.length - n;
      break;
    }
    const { file, captured, said, ties } = one;
    const named = (told: string) => (told.startsWith(file.name) ? told : `${file.name}: ${told}`);
    at(file.name, list.length > 1 ? n + 1 : 0, list.length > 1 ? list.length : 0);
    try {
      const made = await take(job, file, ties, said, captured, confirmed, (done, total) => list.length === 1 && at(file.name, done, total));
      came.remarks.push(...(made.remarks ?? []).map(named));
      came.kept += 1;
    } catch (fault) {
      const question = questionOf(fault);
      if (question) came.asked.push({ ...one, question: named(question) });
      else came.refused.push(named(fault instanceof Error ? fault.message : String(fault)));
    }
  }
  return came;
}

/** A position that came after its picture was kept is said of it then, unless the file brought its own. */
async function keepLate(job: string, subject: string | undefined, late: Where | undefined): Promise<void> {
  if (!late || !subject) return;
  const picture = await loadThing(job, { subject, id: '', name: '' });
  if (valueOf(picture, 'position') === undefined) await say(job, [{ subject, field: 'position', value: late }]);
}

export async function takeInDocument(job: string, file: File, tie: Tie, name: string): Promise<Recorded> {
  const ending = /\.[A-Za-z0-9]{1,8}$/.exec(file.name)?.[0] ?? '';
  const called = name === '' ? file.name : name.endsWith(ending) ? name : name + ending;
  return sent(file, (source) => addDocument(job, { source, name: called, shows: [tie] }));
}
