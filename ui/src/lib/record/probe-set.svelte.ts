// Which probe is offered and with what push: set once, for every bay of every run on this device.
import { remembered } from '$lib/core/remembered.svelte';
import { plainDigits } from '$lib/core/digits';
import { parseNumber } from '$lib/core/length';
import { words } from '$lib/words';

export const probeSet = remembered<{ tool: string; push: string }>('probe-set', { tool: '', push: '' });

/** The push as it is sent: nothing where it is by hand. Throws in words when it is no force. */
export function pushTyped(text: string): { push?: string } {
  const typed = plainDigits(text).trim();
  if (!typed) return {};
  if ((parseNumber(typed) ?? 0) <= 0) throw new Error(words.probeSet.badPush);
  return { push: typed };
}
