// Where this device was left: the program opens there again, at the last wire, without a touch. Kept on this device, never
// part of the record.
import { keepHere, readHere } from './kept-here';

const NAME = 'place';
const HOME = '#/';
/** This tab's own mark. */
const OPEN = 'tautbook-open';
const bare = (address: string) => address.split('?')[0];

/** The address that was come to, and the same screen told finer: at which wire, card or act. */
let address = '';
let finer = '';
/** The start is over once a screen was asked for, or the place was handed out. */
const isStart = begins();
let starting = isStart;

/** A page that is read again, or whose address somebody changed, is no start: its tab was open already. */
function begins(): boolean {
  const tab = globalThis.sessionStorage;
  const open = tab?.getItem(OPEN);
  tab?.setItem(OPEN, '1');
  return !open;
}

const isHome = (hash: string) => hash === '' || bare(hash) === HOME;

/** A screen is come to; `first` is the one that the start shows. Jobs at a start says nothing of where the person was. */
export function cameTo(hash: string, first: boolean): void {
  if (!first || !isHome(hash)) starting = false;
  address = isStart && first && isHome(hash) ? '' : hash;
  note();
}

/** The screen at hand, with what it stands at; it may be said before or after the screen is come to. */
export function standsAt(place: string): void {
  finer = place;
  note();
}

/** Other rooms, like the exchange, are no place to go on at. */
function note(): void {
  if (isHome(address) && address !== '') keepHere(NAME, undefined);
  else if (address.startsWith('#/job/')) keepHere(NAME, bare(finer) === bare(address) ? finer : address);
}

/** The job's screen that was left, with the job; once a start, and nothing where the start leads elsewhere or Jobs was left. */
export function leftAt(): { job: string; place: string } | undefined {
  const place = starting ? readHere(NAME) : undefined;
  starting = false;
  const job = /^#\/job\/([^/?]+)/.exec(place ?? '')?.[1];
  return place !== undefined && job !== undefined ? { job, place } : undefined;
}
