// Half-entered values: kept on this device when typing pauses, offered again where they were typed, dropped when they
// are saved or cancelled. A draft is never taken for a value: a person says that it goes on.
import { keepHere, namesHere, readJsonHere } from './kept-here';

const BEGIN = 'draft-';
const PAUSE_MS = 400;
/** Older ones are of another day's work and only fill the device. */
const LONGEST_MS = 30 * 86_400_000;

interface Kept {
  atMs: number;
  typed: unknown;
}

const waiting = new Map<string, { typed: unknown; atMs?: number; timer: ReturnType<typeof setTimeout> }>();

/** What was typed and not saved under this name. */
export function readDraft(name: string): unknown {
  return waiting.get(name)?.typed ?? keptOf(readJsonHere(BEGIN + name))?.typed;
}

/** When it was typed; nothing where nothing was, or where it is being typed. */
export function draftSince(name: string): number | undefined {
  return keptOf(readJsonHere(BEGIN + name))?.atMs;
}

/** Keeps what is typed once typing pauses; nothing typed is no draft. `atMs` is when it was typed, where that is not now. */
export function keepDraft(name: string, typed: unknown, atMs?: number): void {
  if (typed === undefined) return dropDraft(name);
  dropTimer(name);
  waiting.set(name, { typed, atMs, timer: setTimeout(() => write(name), PAUSE_MS) });
}

/** What was typed under one name is of another from here on; nothing takes the place of what is kept there. */
export function moveDraft(from: string, to: string): void {
  const typed = readDraft(from);
  if (from === to || typed === undefined) return;
  if (readDraft(to) === undefined) keepDraft(to, typed);
  dropDraft(from);
}

export function dropDraft(name: string): void {
  dropTimer(name);
  keepHere(BEGIN + name, undefined);
}

/** Writes what still waits for a pause: the app may be closed at any moment from here on. */
export function keepDraftsNow(): void {
  for (const name of [...waiting.keys()]) write(name);
}

/** Forgets what nobody came back to. */
export function dropOldDrafts(now = Date.now()): void {
  for (const name of namesHere(BEGIN)) {
    const kept = keptOf(readJsonHere(name));
    if (!kept || now - kept.atMs > LONGEST_MS) keepHere(name, undefined);
  }
}

function write(name: string): void {
  const { typed, atMs = Date.now() } = waiting.get(name) ?? {};
  dropTimer(name);
  keepHere(BEGIN + name, JSON.stringify({ atMs, typed } satisfies Kept));
}

function dropTimer(name: string): void {
  clearTimeout(waiting.get(name)?.timer);
  waiting.delete(name);
}

function keptOf(found: unknown): Kept | undefined {
  return found !== null && typeof found === 'object' && 'atMs' in found && typeof found.atMs === 'number' && 'typed' in found ? (found as Kept) : undefined;
}
