// Photo and document bytes to the program in pieces, and pictures back.
// Nothing is kept here: the program hashes, checks and stores.
import { call } from '$lib/core/call';
import type { FileSource } from '$lib/generated/api';
import { words } from '$lib/words';
import { ApiFault, asFault, reach, tauri, token } from './transport';

/** Bytes per piece: small enough for every webview's bridge. */
export const PIECE = 256 * 1024;

/** Sends a file and answers the name of its bytes there; who does not use them drops them. */
export async function upload(file: Blob): Promise<string> {
  const name = newUploadName();
  await send(name, file);
  return name;
}

/** Sends a file and does `act` with it. What is refused for good is let go of there, so that it takes no other file's room. */
export async function sent<T>(file: Blob, act: (source: FileSource) => Promise<T>, progress?: (done: number, total: number) => void): Promise<T> {
  const name = newUploadName();
  try {
    await send(name, file, progress);
    return await act({ kind: 'upload', upload: name, bytes: file.size });
  } catch (fault) {
    // Nobody sends these bytes again under this name, whatever the reason was.
    void call('dropUpload', { upload: name }).catch(() => undefined);
    throw fault;
  }
}

/** Sends a file's bytes in order; `name` is a name of our own for them. */
async function send(name: string, file: Blob, progress?: (done: number, total: number) => void): Promise<void> {
  let offset = 0;
  do {
    const piece = new Uint8Array(await file.slice(offset, offset + PIECE).arrayBuffer());
    await sendPiece(name, offset, piece);
    offset += piece.length;
    progress?.(offset, file.size);
  } while (offset < file.size);
}

function newUploadName(): string {
  const letters = 'abcdefghijklmnopqrstuvwxyz234567';
  return Array.from(crypto.getRandomValues(new Uint8Array(26)), (b) => letters[b & 31]).join('');
}

async function sendPiece(name: string, offset: number, piece: Uint8Array<ArrayBuffer>): Promise<void> {
  const ipc = tauri();
  if (ipc) {
    try {
      // Android's bridge turns raw bytes into a list of numbers, four times as large: text is smaller.
      const android = navigator.userAgent.includes('Android');
      if (android) await ipc.invoke('piece', { upload: name, offset, base64: base64(piece) });
      else await ipc.invoke('piece', piece, { headers: { upload: name, offset: String(offset) } });
    } catch (refusal) {
      throw asFault(refusal);
    }
    return;
  }
  const answer = await reach(`/pieces/${name}/${offset}`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream', 'x-tautbook-token': token() },
    body: piece
  });
  if (!answer.ok) throw asFault(await answer.json().catch(() => null), answer.status);
}

function base64(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}

export type PictureSize = 'thumb' | 'view' | 'original';

/** An address that an img element can show; give it back with `letGo`. */
export async function pictureAddress(sha256: string, size: PictureSize): Promise<string> {
  if (tauri()) {
    const windows = /Android|Windows/.test(navigator.userAgent);
    return `${windows ? 'http://photo.localhost' : 'photo://localhost'}/${sha256}?size=${size}`;
  }
  const answer = await reach(`/photo/${sha256}?size=${size}`, { headers: { 'x-tautbook-token': token() } });
  if (!answer.ok) throw new ApiFault('photo', `${words.pictures.notHere}.`, true);
  return URL.createObjectURL(await answer.blob());
}

/**
 * Hands a PDF that the program wrote into its own folder to the person: as a download of the browser, or as a copy
 * where the device keeps downloads. Answers where that is; nothing where the browser tells it itself.
 */
export async function handOver(file: string): Promise<string | undefined> {
  if (tauri()) return (await call('handOut', { file })).file;
  const pdf = await written(file);
  save(pdf, pdf.name);
  return undefined;
}

/**
 * Hands a document out as it was taken in, the same two ways; the program lets its bytes go only where their hash is the
 * record's. Whatever it is, it is saved and never shown as a page.
 */
export async function handOverDocument(job: string, document: string, sha256: string, name: string): Promise<string | undefined> {
  if (tauri()) return (await call('handOutDocument', { job, document })).file;
  // Of no type that a browser would open.
  save(new Blob([await original(sha256)], { type: 'application/octet-stream' }), name);
  return undefined;
}

/** The bytes of an object as it was taken in. */
export async function original(sha256: string): Promise<BlobPart> {
  const ipc = tauri();
  if (ipc) return (await ipc.invoke('original', { sha256 }).catch((refusal: unknown) => Promise.reject(asFault(refusal)))) as ArrayBuffer;
  const answer = await reach(`/photo/${sha256}?size=original`, { headers: { 'x-tautbook-token': token() } });
  if (!answer.ok) throw asFault(await answer.json().catch(() => null), answer.status);
  return answer.blob();
}

function save(bytes: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(bytes);
  link.download = name;
  link.click();
  // The browser has taken it by then; without this it would stay in memory as long as the page.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** A PDF that the program wrote into its own folder, with its bytes. */
export async function written(file: string): Promise<File> {
  const [folder = '', name = ''] = file.split(/[\\/]/).slice(-2);
  return new File([await bytesOf(file, folder, name)], name, { type: 'application/pdf' });
}

async function bytesOf(file: string, folder: string, name: string): Promise<BlobPart> {
  const ipc = tauri();
  if (ipc) return (await ipc.invoke('written', { file }).catch((refusal: unknown) => Promise.reject(asFault(refusal)))) as ArrayBuffer;
  const answer = await reach(`/written/${folder}/${name}`, { headers: { 'x-tautbook-token': token() } });
  if (!answer.ok) throw asFault(await answer.json().catch(() => null), answer.status);
  return answer.blob();
}

export function letGo(address: string): void {
  if (address.startsWith('blob:')) URL.revokeObjectURL(address);
}
