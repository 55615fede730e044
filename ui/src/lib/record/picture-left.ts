// The form for a picture as it was left: kept on this device before the camera opens, since a phone may end the app while it
// is open. Gone once the picture is kept or the form is cancelled.
import { dropDraft, keepDraft, keepDraftsNow, readDraft } from '$lib/core/drafts';

/** `spot` is which form: what it is tied to, and where it stands. */
const nameOf = (spot: string) => `picture-${spot}`;

export interface Left {
  caption: string;
  /** What the picture was to show. */
  shows: string;
  /** The camera or a list of files was open when this was kept. */
  opened: boolean;
}

export function leftAt(spot: string): Left | undefined {
  const found = readDraft(nameOf(spot));
  if (found === null || typeof found !== 'object') return undefined;
  const { caption, shows, opened } = found as Partial<Record<keyof Left, unknown>>;
  return typeof caption === 'string' && typeof shows === 'string' ? { caption, shows, opened: opened === true } : undefined;
}

/** Keeps the form as it is; at once where something is about to be opened over the app. */
export function keepLeft(spot: string, left: Left): void {
  keepDraft(nameOf(spot), left);
  if (left.opened) keepDraftsNow();
}

export function dropLeft(spot: string): void {
  dropDraft(nameOf(spot));
}
