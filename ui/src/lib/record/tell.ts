// How a value came about, in words, from what stands beside it in the record.
import { length } from '$lib/core/format.svelte';
import { wordFor } from '$lib/words/site';
import { words } from '$lib/words';

type Context = Record<string, unknown>;
const text = (v: unknown) => (typeof v === 'string' ? v : undefined);

/** `Cut, rail on, insert faces, tape`. */
export function howLength(c: Context): string {
  return [
    wordFor(words.purpose, text(c.purpose)),
    wordFor(words.postState, text(c.posts)).toLowerCase(),
    wordFor(words.faces, text(c.faces)).toLowerCase(),
    wordFor(words.instrument, text(c.instrument)).toLowerCase(),
    typeof c.proudNm === 'number' && c.proudNm !== 0 ? words.wire.proud(length(c.proudNm)) : ''
  ]
    .filter(Boolean)
    .join(', ');
}

/** True when a length may become a cut: the program refuses others, the screen says so at once. */
export function forCutting(c: Context): boolean {
  return c.purpose === 'cut' && (c.posts === 'railOn' || c.posts === 'insertsIn');
}
