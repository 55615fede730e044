// What is kept here and what is shared, as one short line for every screen.
import { loadExchange, type ExchangeState } from '$lib/record/crew';
import { words } from '$lib/words';

export const exchange: { state: ExchangeState | undefined; short: string; allShared: boolean } = $state({
  state: undefined,
  short: words.exchange.here,
  allShared: false
});

/** Reads how things stand. Quiet on failure: the chip is no place for a fault. */
export async function readExchange(): Promise<void> {
  try {
    const state = await loadExchange();
    exchange.state = state;
    exchange.allShared = state.folder !== '' && state.unshared === 0;
    exchange.short = state.folder === '' ? words.exchange.here : state.unshared === 0 ? words.exchange.shared : words.exchange.toShare(state.unshared);
  } catch {
    exchange.short = words.exchange.here;
    exchange.allShared = false;
  }
}
