// Small things a screen remembers on this device: conditions set once, steps skipped. Never part of the record.

export function remembered<T extends object>(key: string, first: T): { value: T } {
  let read: Partial<T> = {};
  try {
    read = JSON.parse(localStorage.getItem(key) ?? '{}') as Partial<T>;
  } catch {
    localStorage.removeItem(key);
  }
  let value: T = $state({ ...first, ...read });
  return {
    get value() {
      return value;
    },
    set value(next: T) {
      value = next;
      localStorage.setItem(key, JSON.stringify(next));
    }
  };
}
