// One host of the program on a data folder of its own, and its commands over HTTP.
// It ends what it started; it knows nothing of screens.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

export const root = resolve(dirname(fileURLToPath(import.meta.url)), '../../..');

/** The command line's program: named by the caller of the tests, or where a plain build puts it. */
export const program = process.env.TAUTBOOK_PROGRAM ?? join(root, 'target/debug/tautbook');

/** The built screens. */
const screens = process.env.TAUTBOOK_UI ?? join(root, 'ui/build');

/** An empty folder that is gone when the test ends. */
export async function folder(t, name) {
  const path = await mkdtemp(join(tmpdir(), `tautbook-${name}-`));
  t.after(() => rm(path, { recursive: true, force: true }));
  return path;
}

/** A host on a data folder of its own, gone when the test ends. */
export async function serve(t, name) {
  const data = await mkdtemp(join(tmpdir(), `tautbook-${name}-`));
  const host = await serveAgain(data).catch(async (error) => {
    await rm(data, { recursive: true, force: true });
    throw error;
  });
  t.after(async () => {
    await host.stop();
    await rm(data, { recursive: true, force: true });
  });
  return host;
}

/** Serves the built screens on a data folder that is there; resolves when the address is printed. */
export async function serveAgain(data) {
  const child = spawn(program, ['--data', data, 'serve', '--ui', screens], { stdio: ['ignore', 'pipe', 'pipe'] });
  let faults = '';
  child.stderr.on('data', (bytes) => (faults += bytes));
  // Resolves with what ended it; a program that is not there never begins.
  const ended = once(child, 'exit').then(([code]) => `it ended with ${code}. ${faults}`, (error) => error.message);
  const stop = async (signal = 'SIGTERM') => {
    child.kill(signal);
    await ended;
  };
  const address = await Promise.race([printed(child.stdout), ended.then((why) => Promise.reject(new Error(`${program} does not serve: ${why}`)))]);
  child.stdout.resume();
  const { origin, hash } = new URL(address);
  const token = hash.replace('#token=', '');
  return { address, origin, data, stop, call: (name, request) => call(origin, token, name, request) };
}

/** The address in the program's first line that has one; waits for ever where there is none. */
async function printed(out) {
  for await (const line of createInterface({ input: out })) {
    if (line.includes('#token=')) return line.trim();
  }
  return new Promise(() => {});
}

/** Calls one command; a refusal throws with the program's own words. */
async function call(origin, token, name, request) {
  const answer = await fetch(`${origin}/api/${name}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', origin, 'x-tautbook-token': token },
    body: JSON.stringify(request)
  });
  const body = await answer.json();
  if (!answer.ok) throw new Error(`${name}: ${body.code}: ${body.message}`);
  return body;
}
