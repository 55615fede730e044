// Names of things for people, from the subjects that the record uses.
import { words } from '$lib/words';
import { wordFor } from '$lib/words/site';
import { valueOf, type Job, type Run, type Thing } from './view';

/** `Wire 7, run A`, `Post A3`, `Bay A2–A3`; with words for it where the layout no longer has it. */
export function nameOf(job: Job | undefined, subject: string): string {
  const [kind = '', id = '', part = ''] = subject.split(':');
  if (!job) return kind;
  if (kind === 'job') return words.theJob;
  if (kind === 'wire') {
    const run = job.runs.find((r) => r.id === id);
    const there = run?.wires.some((w) => w.subject === subject);
    if (!there) return goneName(job, subject) ?? `${words.wireName(Number(part))} (${words.noLongerThere})`;
    return `${words.wireName(Number(part))}, ${words.runName(run?.name ?? '?')}`;
  }
  for (const run of job.runs) {
    if (run.subject === subject) return words.runName(run.name);
    const post = run.posts.find((p) => p.subject === subject);
    if (post) return words.postName(post.name);
    const bay = run.bays.find((b) => b.subject === subject);
    if (bay) return words.bayName(bay.name);
  }
  const lists: Thing[][] = [job.tools, job.batches, job.visits, job.defects, job.documents, job.strands, job.fittingSets, job.photos];
  const thing = lists.flat().find((t) => t.subject === subject);
  return thing?.name || goneName(job, subject) || (kind === 'bay' ? `${wordOfKind(kind)} (${words.noLongerThere})` : wordOfKind(kind));
}

/** As the program calls what the layout no longer has. */
function goneName(job: Job, subject: string): string | undefined {
  const name = job.noLonger.find((one) => one.subject === subject)?.name;
  return name && `${name.charAt(0).toUpperCase()}${name.slice(1)}`;
}

function wordOfKind(kind: string): string {
  return (words.kinds as Record<string, string>)[kind] ?? kind;
}

/** The bay's name from its place in a reading, `<post>:<post>`. */
export function bayNameOf(job: Job | undefined, place: string): string {
  for (const run of job?.runs ?? []) {
    const bay = run.bays.find((b) => b.place === place);
    if (bay) return bay.name;
  }
  return words.noLongerThere;
}

/** Everything a picture can be tied to, with its name. */
export function subjectsOf(job: Job | undefined): [string, string][] {
  if (!job) return [];
  const inRuns = job.runs.flatMap((run) => [run, ...run.posts, ...run.bays, ...run.wires]);
  const things = [...inRuns, ...job.defects, ...job.tools, ...job.batches, ...job.visits];
  return [[job.subject, words.theJob], ...new Map(things.map((t) => [t.subject, nameOf(job, t.subject)]))];
}

/** What a run stands on, in words; empty where nobody told. */
export function surfaceName(run: Run): string {
  return wordFor(words.surface, valueOf(run, 'surface'));
}
