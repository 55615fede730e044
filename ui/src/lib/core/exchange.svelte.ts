// What is kept here and what is shared, as one short line for every screen.
import { loadExchange, type ExchangeState } from '$lib/record/crew';
import { words } from '$lib/words';

export const exchange: { state: ExchangeState | undefined; short: string; allShared: boolean; fault: string } = $state({
  state: undefined,
  fault: '',
  short: words.exchange.here,
  allShared: false
});

/** Whether others can read all that was kept here: what a device shares counts with them once it is admitted. */
export const allShared = (state: ExchangeState): boolean => state.folder !== '' && state.admitted && state.unshared === 0;

/** How things stand in a word or two. */
export function inShort(state: ExchangeState): string {
  if (state.folder === '') return words.exchange.here;
  if (!state.admitted) return words.exchange.notYet;
  return state.unshared === 0 ? words.exchange.shared : words.exchange.toShare(state.unshared);
}

/** Reads how things stand. The chip stays quiet on failure; the exchange screen tells it. */
export async function readExchange(): Promise<void> {
  try {
    const state = await loadExchange();
    exchange.state = state;
    exchange.fault = '';
    exchange.allShared = allShared(state);
    exchange.short = inShort(state);
  } catch (fault) {
    exchange.fault = fault instanceof Error ? fault.message : String(fault);
    exchange.short = words.exchange.here;
    exchange.allShared = false;
  }
}
