import type { Plugin } from 'vite';

/** Ends the build when `src/lib/licences.txt` does not tell exactly what the bundle carries. */
export function licences(): Plugin;
