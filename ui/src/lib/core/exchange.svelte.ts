// What is kept here and what is shared, as one short line for every screen.
import { loadExchange, type ExchangeState } from '$lib/record/crew';
import { words } from '$lib/words';

export const exchange: { state: ExchangeState | undefined; short: string; allShared: boolean; fault: string } = $state({
  state: undefined,
  fault: '',
  short: words.exchange.here,
  allShared: false
});

/** Reads how things stand. The chip stays quiet on failure; the exchange screen tells it. */
export async function readExchange(): Promise<void> {
  try {
    const state = await loadExchange();
    exchange.state = state;
    exchange.fault = '';
    exchange.allShared = state.folder !== '' && state.unshared === 0;
    exchange.short = state.folder === '' ? words.exchange.here : state.unshared === 0 ? words.exchange.shared : words.exchange.toShare(state.unshared);
  } catch (fault) {
    exchange.fault = fault instanceof Error ? fault.message : String(fault);
    exchange.short = words.exchange.here;
    exchange.allShared = false;
  }
}
