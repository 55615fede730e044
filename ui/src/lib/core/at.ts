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

/** The room of the job that leads back where a person came from, told in the address as `from=materials/new-run`. */
export function cameFrom(hash: string): string {
  const [room = '', ...before] = asked(hash, 'from').split('/').filter((part) => /^[a-z-]+$/.test(part));
  return before.length > 0 ? comingFrom(room, ...before) : room;
}

/** The address of a room that leads back to others, the nearest first. */
export function comingFrom(room: string, ...back: string[]): string {
  return `${room}?from=${back.join('/')}`;
}
