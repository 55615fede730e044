// The local day while a screen stands: a phone is left open over night and taken out of the pocket in the morning.
import { today } from './format.svelte';

const LOOK_MS = 30_000;

/** Says the local day now, whenever the screen is seen again, and as it goes on; for as long as the screen stands. */
export function eachDay(say: (day: string) => void): void {
  $effect(() => {
    const look = () => say(today());
    const timer = setInterval(look, LOOK_MS);
    document.addEventListener('visibilitychange', look);
    return () => {
      clearInterval(timer);
      document.removeEventListener('visibilitychange', look);
    };
  });
}
