// Back closes the uppermost card before it leaves a screen. An open card has an entry of its own in the browser's history, of
// the same address. One whose card was closed otherwise stays behind, serves the next card, and is passed over on the way back:
// closing a card never moves through the history, which a screen that is left at the same time would do as well.
import { tick } from 'svelte';

/** What an entry says of itself: of which screen it is a part, and how many cards stood open. */
interface Mark {
  of: string;
  depth: number;
}
const KEY = 'cards';

/** How to close each open card, the uppermost last. */
const open: { own: symbol; close: () => void }[] = [];
let mark: Mark | undefined;
/** What the entry said before the page was read again: the router begins with a state of its own. */
let left = typeof history === 'undefined' ? undefined : read();

/** A card opened; answers how to say that it is gone. */
export function opened(own: symbol, close: () => void): () => void {
  open.push({ own, close });
  stand();
  return () => void open.splice(open.findIndex((one) => one.own === own), 1);
}

export function uppermost(own: symbol): boolean {
  return open.at(-1)?.own === own;
}

/** A screen was come to: what its entry says counts from here on, also after the page was read again. */
export function cameTo(): void {
  mark = here();
}

/** The browser went to another entry. */
export function popped(): void {
  const before = mark;
  mark = read();
  // Other screens are the router's.
  if (!before || !mark || before.of !== mark.of || mark.depth >= before.depth) return;
  if (open.length <= mark.depth) return history.back();
  open.at(-1)?.close();
  // One that asks a further question stays.
  void tick().then(stand);
}

/** An address that is said anew at the same place: its entry stays what it was. */
export async function sameEntry(work: () => Promise<void>): Promise<void> {
  const before = read();
  await work();
  if (before) mark = write('replaceState', before);
}

/** Every open card has its entry. */
function stand(): void {
  mark = here();
  if (open.length === 0) return;
  if (!mark) mark = write('replaceState', { of: `${Date.now()}-${Math.random()}`, depth: 0 });
  while (mark.depth < open.length) mark = write('pushState', { of: mark.of, depth: mark.depth + 1 });
}

function here(): Mark | undefined {
  const before = left;
  left = undefined;
  return read() ?? (before && write('replaceState', before));
}

function write(how: 'pushState' | 'replaceState', said: Mark): Mark {
  history[how]({ ...(history.state as object | null), [KEY]: said }, '');
  return said;
}

function read(): Mark | undefined {
  return (history.state as { [KEY]?: Mark } | null)?.[KEY];
}
