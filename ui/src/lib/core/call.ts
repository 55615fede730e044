// One command, typed by the program's own list.
import type { Commands } from '$lib/generated/api';
import { sayFault } from './toasts.svelte';
import { send } from './transport';

export type Name = keyof Commands & string;
export type Request<N extends Name> = Commands[N]['request'];
export type Answer<N extends Name> = Commands[N]['answer'];

export async function call<N extends Name>(name: N, request: Request<N>): Promise<Answer<N>> {
  const answer = (await send(name, request)) as Answer<N>;
  // What was recorded here and is seen by nobody else yet is told wherever it was recorded.
  const told = answer && typeof answer === 'object' && 'notCounting' in answer ? answer.notCounting : undefined;
  if (typeof told === 'string') sayFault(told);
  return answer;
}
