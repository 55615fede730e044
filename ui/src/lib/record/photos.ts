// A picture or document on its way into the record: bytes in pieces, then one act that ties it to its subject.
import { upload } from '$lib/core/pieces';
import { addDocument, addPhoto } from './backend';

export interface Tie {
  subject: string;
  evidence: string;
}

/** Where the device is, or nothing: never waits long, never insists. */
export function whereNow(): Promise<{ latE7: number; lonE7: number; accuracyNm?: number } | undefined> {
  if (!('geolocation' in navigator)) return Promise.resolve(undefined);
  return new Promise((answer) => {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) =>
        answer({
          latE7: Math.round(coords.latitude * 1e7),
          lonE7: Math.round(coords.longitude * 1e7),
          accuracyNm: Math.round(coords.accuracy * 1e9)
        }),
      () => answer(undefined),
      { maximumAge: 120_000, timeout: 4000 }
    );
  });
}

/** Takes a file in. `taken` is the moment of capture as the app saw it; a file chosen later has none. */
export async function takeIn(
  job: string,
  file: File,
  tie: Tie,
  caption: string,
  captured: boolean,
  progress?: (done: number, total: number) => void
): Promise<void> {
  const at = captured ? { ms: Date.now(), offsetMin: -new Date().getTimezoneOffset() } : undefined;
  const position = captured ? await whereNow() : undefined;
  const name = await upload(file, progress);
  await addPhoto(job, { upload: name, bytes: file.size, name: file.name, caption, tie, at, position });
}

export async function takeInDocument(job: string, file: File, tie: Tie, name: string): Promise<void> {
  const sent = await upload(file);
  await addDocument(job, { upload: sent, bytes: file.size, name, file: file.name, tie });
}
