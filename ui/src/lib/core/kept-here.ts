// This device's own small things: look, conditions, skipped acts, drafts. Never part of the record.
// The program keeps them beside the record; here they are read once at the start, and written through as they change.
// Screens read and keep at once, without waiting: what the program refuses or does not answer is kept until the page goes,
// and asked again at the next start. Nothing unsafe follows from that: what is not kept is asked, never guessed.
import { call } from './call';
import { within } from './where-now';

/** The program's own mark on these names: nothing else of its settings can be reached. */
const MARK = 'ui:';
/** No screen waits longer than this for what was kept. */
const PATIENCE_MS = 3000;

const texts = new Map<string, string>();
/** Names whose newest text is still to be written, in the order they were kept. */
const unwritten = new Set<string>();
let writing = false;

/** Reads all that is kept; once, before the first screen. Never fails. */
export async function readAllHere(): Promise<void> {
  const found = await within(call('readKept', {}).catch(() => undefined), PATIENCE_MS);
  for (const [name, text] of Object.entries(found?.texts ?? {})) texts.set(name.slice(MARK.length), text);
}

/** What was kept under this name. */
export function readHere(name: string): string | undefined {
  return texts.get(name);
}

/** Names that begin so. */
export function namesHere(beginning: string): string[] {
  return [...texts.keys()].filter((name) => name.startsWith(beginning));
}

/** Keeps a text under this name, or forgets it. */
export function keepHere(name: string, text: string | undefined): void {
  if (texts.get(name) === text) return;
  if (text === undefined) texts.delete(name);
  else texts.set(name, text);
  unwritten.add(name);
  void writeThrough();
}

/** One after the other, so that the newest text of a name is the last to arrive. */
async function writeThrough(): Promise<void> {
  if (writing) return;
  writing = true;
  for (const name of unwritten) {
    unwritten.delete(name);
    const value = texts.get(name);
    try {
      await call('keep', { name: MARK + name, ...(value === undefined ? {} : { value }) });
    } catch {
      // As told: it is there until the page goes, and asked again next time.
    }
  }
  writing = false;
}

/** As `readHere`, for a list or an object kept as JSON; what can't be read counts as nothing. */
export function readJsonHere(name: string): unknown {
  try {
    return JSON.parse(readHere(name) ?? 'null');
  } catch {
    return null;
  }
}
