// Whether the glass takes touches. A wet one is locked with one touch and opened by holding.

/** The rooms of a run where somebody stands with wet gloves and both hands full. */
const ON_SITE: readonly string[] = ['measure', 'work', 'tension', 'gaps'];

/** `offered`: the lock is there to be touched; `locked`: nothing else is. */
export const glass = $state({ offered: false, locked: false });

/** Whether the screen of this route is one of those. */
export function isOnSite(route: string | null): boolean {
  return ON_SITE.includes(route?.split('/').at(-1) ?? '');
}

/** How long is held until it opens: longer than a drop that runs down, or a sleeve. */
export const HOLD_MS = 1000;

/** A press that has to last. `begin` again while it lasts changes nothing. */
export class Hold {
  #timer: ReturnType<typeof setTimeout> | undefined;
  constructor(private readonly done: () => void) {}
  begin() {
    this.#timer ??= setTimeout(() => {
      this.#timer = undefined;
      this.done();
    }, HOLD_MS);
  }
  end() {
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }
}
