// Where a screen stands, told finer than by the link that led there: a page that is read again opens there.
import { tick } from 'svelte';
import { standsAt } from './last-place';

/** Tells where the screen stands whenever that changes; `here` is its address without more, nothing while there is nothing to tell. */
export function tellsPlace(here: () => string, more: () => string | undefined): void {
  const there = (address: string) => location.hash === address || location.hash.startsWith(`${address}?`);
  $effect(() => {
    const [address, at] = [here(), more()];
    if (at === undefined) return;
    standsAt(address + at);
    // A link that leads on has changed the address by then.
    void tick().then(() => {
      if (there(address) && location.hash !== address + at) history.replaceState(history.state, '', address + at);
    });
  });
}
