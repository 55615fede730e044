// How a value came about, in words, from what stands beside it in the record.
import { length, newtons } from '$lib/core/format.svelte';
import { wordFor } from '$lib/words/site';
import { words } from '$lib/words';

/** Any value of the record in words, for what has no form of its own. */
export function tellAny(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'boolean') return value ? words.yes.toLowerCase() : words.no.toLowerCase();
  if (typeof value !== 'object') return String(value);
  const v = value as Record<string, unknown>;
  const parts = [
    ...['nm', 'cutNm'].filter((k) => typeof v[k] === 'number').map((k) => length(Number(v[k]))),
    typeof v.mn === 'number' ? newtons(v.mn / 1000) : '',
    typeof v.turns === 'number' ? words.ends.turnsIn(v.turns, Number(v.flats ?? 0)) : '',
    wordFor({ ...words.crimpResult, ...words.probeResult }, text(v.result)),
    ...['reason', 'how', 'statement'].map((k) => text(v[k]) ?? '')
  ];
  const told = parts.filter(Boolean).join(', ');
  return told || Object.entries(v).map(([name, one]) => member(name, one)).filter(Boolean).join(', ');
}

/** A member of a value that nothing above knows, by the unit that its name ends with. */
function member(name: string, value: unknown): string {
  if (typeof value === 'number' && name.endsWith('Nm')) return length(value);
  if (typeof value === 'number' && name.endsWith('Mn')) return newtons(value / 1000);
  return tellAny(value);
}

type Context = Record<string, unknown>;
const text = (v: unknown) => (typeof v === 'string' ? v : undefined);

/** `Cut, rail on, insert faces, tape`. */
export function howLength(c: Context): string {
  return [
    wordFor(words.purpose, text(c.purpose)),
    wordFor(words.postState, text(c.posts)).toLowerCase(),
    wordFor(words.faces, text(c.faces)).toLowerCase(),
    wordFor(words.instrument, text(c.instrument)).toLowerCase(),
    typeof c.spreadNm === 'number' ? words.wire.deviation(length(c.spreadNm)) : '',
    typeof c.proudNm === 'number' && c.proudNm !== 0 ? (c.proudNm > 0 ? words.wire.proud : words.wire.recessed)(length(Math.abs(c.proudNm))) : ''
  ]
    .filter(Boolean)
    .join(', ');
}

/** `Along the slope, tape`; of a rake it is told either way. */
export function howBay(c: Context, raked = false): string {
  const slope = c.along === 'slope' ? words.along.slope : raked ? words.along.level : '';
  const instrument = wordFor(words.instrument, text(c.instrument));
  return slope ? `${slope}, ${instrument.toLowerCase()}` : instrument;
}

/** True when a length may become a cut: the program refuses others, the screen says so at once. */
export function forCutting(c: Context): boolean {
  return c.purpose === 'cut' && (c.posts === 'railOn' || c.posts === 'insertsIn');
}
