// A picture or document on its way into the record: bytes in pieces, then one act that ties it to its subject.
import { upload } from '$lib/core/pieces';
import type { Recorded, ShowsWhat } from '$lib/generated/api';
import { addDocument, addPhoto } from './acts';

export type Tie = ShowsWhat;

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

/** Takes a picture in. One taken just now carries the app's own time and place; a file brings its own. */
export async function takeIn(
  job: string,
  file: File,
  tie: Tie,
  caption: string,
  takenNow: boolean,
  progress?: (done: number, total: number) => void
): Promise<Recorded> {
  const position = takenNow ? await whereNow() : undefined;
  const name = await upload(file, progress);
  return addPhoto(job, { upload: name, bytes: file.size, name: file.name, caption, shows: [tie], takenNow, ...(position ? { position } : {}) });
}

export async function takeInDocument(job: string, file: File, tie: Tie, name: string): Promise<Recorded> {
  const ending = /\.[A-Za-z0-9]{1,8}$/.exec(file.name)?.[0] ?? '';
  const called = name === '' ? file.name : name.endsWith(ending) ? name : name + ending;
  return addDocument(job, { upload: await upload(file), bytes: file.size, name: called, shows: [tie] });
}
