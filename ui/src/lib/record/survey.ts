// A survey file on its way into the record: bytes in pieces, then one command that checks the file whole.
import { call } from '$lib/core/call';
import { upload } from '$lib/core/pieces';
import type { Imported } from '$lib/generated/api';

/** Imports a survey into a new job, or into one that is there; `confirmed` says yes to values that were questioned. */
export async function importSurvey(file: File, job?: string, confirmed = false): Promise<Imported> {
  const name = await upload(file);
  return call('importSurvey', { source: { kind: 'upload', upload: name, bytes: file.size }, confirmed, ...(job ? { job } : {}) });
}

/** How many things were recorded, all parts together. */
export function recordedOf(made: Imported): number {
  return Object.values(made.recorded as Record<string, number>).reduce((sum, n) => sum + n, 0);
}
