// A disk of its own, as small as one likes, that can be filled to its last byte. Permissions do not stop the superuser and a
// quota is not everywhere, so it is a real file system in memory; mounting one needs the superuser, or `sudo` that asks for no
// password.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { closeSync, openSync, rmSync, writeSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

function mounted(...words) {
  const plain = spawnSync(words[0], words.slice(1), { encoding: 'utf8' });
  const done = plain.status === 0 ? plain : spawnSync('sudo', ['-n', ...words], { encoding: 'utf8' });
  assert.equal(done.status, 0, `this test needs a small disk of its own: run it as root, or let sudo -n mount work (${plain.stderr}${done.stderr})`);
}

/** A small disk, gone when the test ends. */
export async function smallDisk(t, megabytes) {
  const path = await mkdtemp(join(tmpdir(), 'tautbook-disk-'));
  mounted('mount', '-t', 'tmpfs', '-o', `size=${megabytes}m,mode=777`, 'tautbook-test', path);
  t.after(async () => {
    // Let go of even while a program still has files open there.
    mounted('umount', '-l', path);
    await rm(path, { recursive: true, force: true });
  });
  const filler = join(path, 'filler');
  return {
    path,
    /** Fills it to the last byte. */
    fill() {
      const file = openSync(filler, 'a');
      try {
        for (const block = Buffer.alloc(4096); ; ) writeSync(file, block);
      } catch (error) {
        assert.equal(error.code, 'ENOSPC');
      } finally {
        closeSync(file);
      }
    },
    /** Gives back what `fill` took. */
    free: () => rmSync(filler)
  };
}
