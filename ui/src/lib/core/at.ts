// Addresses of screens, in one place.

export const home = '#/';

export function jobAt(job: string, room = ''): string {
  return `#/job/${job}${room ? `/${room}` : ''}`;
}

export function runAt(job: string, run: string, room = ''): string {
  return `#/job/${job}/run/${run}${room ? `/${room}` : ''}`;
}
