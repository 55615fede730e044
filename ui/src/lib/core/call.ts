// One command, typed by the program's own list.
import type { Commands } from '$lib/generated/api';
import { send } from './transport';

export type Name = keyof Commands & string;
export type Request<N extends Name> = Commands[N]['request'];
export type Answer<N extends Name> = Commands[N]['answer'];

export function call<N extends Name>(name: N, request: Request<N>): Promise<Answer<N>> {
  return send(name, request) as Promise<Answer<N>>;
}
