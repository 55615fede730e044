// Many pictures from one: a comment behind the first marker gives each bytes of its own.
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { root } from './host.js';

/** The bytes of so many pictures of 2 kB. */
export async function copies(count) {
  const bytes = await readFile(join(root, 'fixtures/photos/no-offset.jpg'));
  return Array.from({ length: count }, (_, n) => {
    const comment = Buffer.from([0xff, 0xfe, 0, 6, 0, 0, n >> 8, n & 255]);
    return Buffer.concat([bytes.subarray(0, 2), comment, bytes.subarray(2)]);
  });
}
