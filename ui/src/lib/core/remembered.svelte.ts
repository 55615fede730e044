// Small things a screen remembers on this device: conditions set once, steps skipped. Never part of the record.
import { keepHere, readJsonHere } from './kept-here';

export function remembered<T extends object>(key: string, first: T): { value: T } {
  const read = readJsonHere(key);
  let value: T = $state({ ...first, ...(read !== null && typeof read === 'object' ? (read as Partial<T>) : {}) });
  return {
    get value() {
      return value;
    },
    set value(next: T) {
      value = next;
      keepHere(key, JSON.stringify(next));
    }
  };
}
