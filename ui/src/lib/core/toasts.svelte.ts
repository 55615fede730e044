// Short notes on the screen. One with `undo` stays five seconds: long enough for a glove.

export interface Toast {
  id: number;
  text: string;
  bad: boolean;
  undo?: () => Promise<void>;
}

let next = 0;
export const toasts: { list: Toast[] } = $state({ list: [] });

export function say(text: string, undo?: () => Promise<void>): void {
  push({ id: next++, text, bad: false, undo }, 5000);
}

/** Answers which note it is. */
export function sayFault(fault: unknown): number {
  const id = next++;
  push({ id, text: fault instanceof Error ? fault.message : String(fault), bad: true }, 12_000);
  return id;
}

export function dismiss(id: number): void {
  toasts.list = toasts.list.filter((t) => t.id !== id);
}

function push(toast: Toast, ms: number): void {
  // One of each sort: what was just kept, and what went wrong.
  toasts.list = [...toasts.list.filter((t) => t.bad !== toast.bad), toast];
  setTimeout(() => dismiss(toast.id), ms);
}
