// A picture or document on its way into the record: bytes in pieces, then one act that ties it to its subject.
import { sent } from '$lib/core/pieces';
import type { Recorded, ShowsWhat } from '$lib/generated/api';
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
