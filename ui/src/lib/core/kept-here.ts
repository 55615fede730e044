// The one place where this device's own small things are kept: look, conditions, skipped acts. Never part of the record.
// The browser keeps them by the page's origin. In the window that stays the same; on the loopback address the port, and
// with it the origin, may differ at the next start, and what was kept here is asked again. Nothing unsafe follows from
// that: what is not kept is asked, never guessed.

/** What was kept under this name; nothing where there is none or the browser refuses. */
export function readHere(name: string): string | undefined {
  try {
    return localStorage.getItem(name) ?? undefined;
  } catch {
    return undefined;
  }
}

/** Keeps a text under this name, or forgets it. A browser that refuses keeps nothing, and no screen fails over it. */
export function keepHere(name: string, text: string | undefined): void {
  try {
    if (text === undefined) localStorage.removeItem(name);
    else localStorage.setItem(name, text);
  } catch {
    // As told: it is asked again next time.
  }
}

/** As `readHere`, for a list or an object kept as JSON; what can't be read counts as nothing. */
export function readJsonHere(name: string): unknown {
  try {
    return JSON.parse(readHere(name) ?? 'null');
  } catch {
    return null;
  }
}
