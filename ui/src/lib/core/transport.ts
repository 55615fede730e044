// The one way to the program behind the page: the window's IPC or the loopback host.
// Owns the host's token. Knows no command: names and types come from the caller.

import { words } from '$lib/words';

/** What the program answers instead of a result. `message` is fit to be shown. */
export class ApiFault extends Error {
  constructor(
    readonly code: string,
    message: string,
    readonly retryable: boolean
  ) {
    super(message);
    this.name = 'ApiFault';
  }
}

/** The program's question about an odd value, where a fault is one. */
export function questionOf(fault: unknown): string | undefined {
  return fault instanceof ApiFault && fault.code === 'questioned' ? fault.message : undefined;
}

/** A question of the screen's own, answered like one of the program's. */
export function questioned(question: string): ApiFault {
  return new ApiFault('questioned', question, false);
}

interface Tauri {
  invoke(command: string, args?: unknown, options?: { headers?: Record<string, string> }): Promise<unknown>;
  convertFileSrc?(path: string, protocol: string): string;
}

const TOKEN = 'tautbook-token';

/** The window's IPC, where the page runs inside the window. */
export function tauri(): Tauri | undefined {
  return (globalThis as { __TAURI_INTERNALS__?: Tauri }).__TAURI_INTERNALS__;
}

/** Moves the token from the address into this tab's storage and clears the address. */
export function keepToken(): void {
  const found = /^#token=([^&]+)/.exec(location.hash);
  if (!found?.[1]) return;
  sessionStorage.setItem(TOKEN, decodeURIComponent(found[1]));
  history.replaceState(null, '', location.pathname + '#/');
}

export function token(): string {
  return sessionStorage.getItem(TOKEN) ?? '';
}

/** Sends one command. Throws `ApiFault` when the program refuses or can't be reached. */
export async function send(name: string, request: unknown): Promise<unknown> {
  const ipc = tauri();
  if (ipc) {
    try {
      return await ipc.invoke('call', { name, request });
    } catch (refusal) {
      throw asFault(refusal);
    }
  }
  const answer = await reach(`/api/${name}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'x-tautbook-token': token() },
    body: JSON.stringify(request)
  });
  const body: unknown = await answer.json().catch(() => null);
  if (!answer.ok) throw asFault(body, answer.status);
  return body;
}

/** A request to the loopback host; an unreachable host becomes a fault in words. */
export async function reach(path: string, init: RequestInit): Promise<Response> {
  try {
    return await fetch(path, init);
  } catch {
    throw new ApiFault(
      'unreachable',
      words.fault.unreachable,
      true
    );
  }
}

export function asFault(body: unknown, status = 0): ApiFault {
  if (body && typeof body === 'object' && 'message' in body) {
    const { code, message, retryable } = body as { code?: string; message: string; retryable?: boolean };
    return new ApiFault(code ?? 'other', message, retryable ?? false);
  }
  if (status === 401 || status === 403) {
    return new ApiFault('token', words.fault.noKey, false);
  }
  const said = typeof body === 'string' ? body : words.fault.answered(status);
  return new ApiFault('other', said, status >= 500);
}
