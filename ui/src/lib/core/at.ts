// Addresses of screens, in one place.

export const home = '#/';

export function jobAt(job: string, room = ''): string {
  return `#/job/${job}${room ? `/${room}` : ''}`;
}

export function runAt(job: string, run: string, room = ''): string {
  return `#/job/${job}/run/${run}${room.startsWith('?') || !room ? room : `/${room}`}`;
}

/** A parameter behind the `?` of a hash address. */
export function asked(hash: string, name: string): string {
  return new URLSearchParams(hash.split('?')[1] ?? '').get(name) ?? '';
}
