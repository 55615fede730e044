// The real window, driven through WebKitWebDriver on a display of its own. Every click and key goes
// through the window system; elements are found by what they say.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { readFile, readdir } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { root } from './host.js';

const WINDOW = process.env.TAUTBOOK_WINDOW ?? join(root, 'target/debug/tautbook-window');
const DRIVER = '/usr/bin/WebKitWebDriver';
const DISPLAY_SERVER = '/usr/bin/Xvfb';
const ELEMENT = 'element-6066-11e4-a52e-4f735466cecf';
const PATIENCE_MS = 20_000;
/** In an XPath: the text of an element as it is read, with plain blanks. */
const PLAIN = "translate(normalize-space(), '\u00a0', ' ')";

/** A driver on a display of its own; both end with the test. `more` are variables for the window. */
export async function driver(t, more = {}) {
  assert.ok(existsSync(DRIVER), `${DRIVER} is not there. Install the package webkit2gtk-driver.`);
  assert.ok(existsSync(DISPLAY_SERVER), `${DISPLAY_SERVER} is not there. Install the package xvfb.`);
  assert.ok(existsSync(WINDOW), `${WINDOW} is not there. Build it: cargo build --workspace --features shell/custom-protocol.`);
  const server = spawn(DISPLAY_SERVER, ['-displayfd', '3', '-screen', '0', '1280x960x24', '-nolisten', 'tcp'], { stdio: ['ignore', 'ignore', 'ignore', 'pipe'] });
  const [number] = await once(server.stdio[3], 'data');
  const port = await freePort();
  const env = { ...process.env, DISPLAY: `:${String(number).trim()}`, TAURI_WEBVIEW_AUTOMATION: 'true', ...more };
  const child = spawn(DRIVER, [`--port=${port}`], { env, stdio: 'ignore' });
  t.after(async () => {
    for (const process of [child, server]) {
      process.kill('SIGTERM');
      await once(process, 'exit');
    }
  });
  const address = `http://127.0.0.1:${port}`;
  await until('the driver answers', () => fetch(`${address}/status`).then((r) => r.ok, () => false));
  return address;
}

async function freePort() {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address();
  server.close();
  await once(server, 'close');
  return port;
}

/** Opens the window on a data folder. */
export async function openWindow(address, data) {
  const options = { binary: WINDOW, args: ['--data', data] };
  const { sessionId } = await ask(address, 'POST', '/session', { capabilities: { alwaysMatch: { 'webkitgtk:browserOptions': options } } });
  const session = `/session/${sessionId}`;
  const program = await programOf(data);
  const get = (path) => ask(address, 'GET', session + path);
  const post = (path, body = {}) => ask(address, 'POST', session + path, body);
  const execute = (script, args = []) => post('/execute/sync', { script, args });
  /** A script that answers by a call of its last argument. */
  const later = (script, args = []) => post('/execute/async', { script, args });

  /** Waits until one shown element matches; answers its id. */
  async function find(xpath) {
    return until(`the window shows ${xpath}`, async () => {
      for (const found of await post('/elements', { using: 'xpath', value: xpath })) {
        if (await get(`/element/${found[ELEMENT]}/displayed`).catch(() => false)) return found[ELEMENT];
      }
      return undefined;
    });
  }
  /** As a person does: scrolls to it first, since the driver alone does not reach what lies below the glass. */
  async function click(xpath) {
    const id = await find(xpath);
    await execute('arguments[0].scrollIntoView({ block: "center" })', [{ [ELEMENT]: id }]);
    return post(`/element/${id}/click`);
  }
  /** What a person does and sees in a part of the window; `part` is where it is looked for. */
  const hand = (part) => {
    const field = (label) => `${part}//*[@id = //label[normalize-space() = ${quoted(label)} or starts-with(normalize-space(), ${quoted(`${label}, `)})]/@for]`;
    const heard = (name) => `${part}//*[self::button or self::a][normalize-space() = ${quoted(name)} or @aria-label = ${quoted(name)}]`;
    return {
      shows: (title) => find(`${part}//h1[normalize-space() = ${quoted(title)}]`),
      row: (name, figure) => find(`${part}//li[.//*[normalize-space() = ${quoted(name)}] and .//*[${PLAIN} = ${quoted(figure)}]]`),
      press: (name) => click(heard(name)),
      // A row may begin with a sign that readers do not hear: then its name is a part of its own.
      follow: (words) => click(`${part}//*[self::button or self::a][starts-with(normalize-space(), ${quoted(words)}) or starts-with(@aria-label, ${quoted(words)}) or .//*[normalize-space() = ${quoted(words)}]]`),
      type: async (label, text) => post(`/element/${await find(field(label))}/value`, { text }),
      choose: (label, words) => click(`${field(label)}//option[normalize-space() = ${quoted(words)} or starts-with(normalize-space(), concat(${quoted(words)}, ' · '))]`),
      says: (words) => find(`${part}//*[contains(${PLAIN}, ${quoted(words)}) and not(*[contains(${PLAIN}, ${quoted(words)})])]`),
      /** Gives a file to a chooser; the chooser itself is the system's, and what takes its answer lies out of sight. */
      give: async (label, path) => {
        const [taker] = await post('/elements', { using: 'xpath', value: field(label) });
        assert.ok(taker, `the window has ${label}`);
        return post(`/element/${taker[ELEMENT]}/value`, { text: path });
      },
      /** Waits until a picture stands there with its bytes read; answers its width and height as the glass has them upright. */
      picture: async (caption) => {
        const img = { [ELEMENT]: await find(`${part}//img[@alt = ${quoted(caption)}]`) };
        return later('const [img, done] = arguments; img.decode().then(() => done([img.naturalWidth, img.naturalHeight]), (fault) => done(String(fault)))', [img]);
      },
      /** Waits until a value of an element’s style is as it should be. */
      styled: (xpath, name, fits) => until(`${name} of ${xpath}`, async () => fits(await get(`/element/${await find(part + xpath)}/css/${name}`).catch(() => '')))
    };
  };
  /** A card that is open, or opens; `gone` waits until it is closed. */
  const card = (name) => {
    const own = `//*[@role = "dialog" and @aria-label = ${quoted(name)}]`;
    return { ...hand(own), gone: () => until(`${name} is closed`, async () => (await post('/elements', { using: 'xpath', value: own })).length === 0) };
  };
  return {
    ...hand(''),
    card,
    /** Types on the keyboard, whatever has the focus. */
    keys: (text) => post('/actions', { actions: [{ type: 'key', id: 'keyboard', actions: [...text].flatMap((value) => [{ type: 'keyDown', value }, { type: 'keyUp', value }]) }] }),
    execute,
    later,
    sight: () => get('/screenshot'),
    close: async () => {
      await ask(address, 'DELETE', session);
      // The folder is free only when the program is gone, which is after its window.
      await until('the window’s program ends', () => !existsSync(`/proc/${program}`));
    }
  };
}

/** The process of the window's program that was started with this data folder. */
async function programOf(data) {
  for (const pid of (await readdir('/proc')).filter((name) => /^\d+$/.test(name))) {
    const started = await readFile(`/proc/${pid}/cmdline`, 'utf8').catch(() => '');
    if (started.split('\0').includes(data)) return pid;
  }
  throw new Error(`no program was started on ${data}`);
}

/** One request to the driver; its refusals are thrown with its own words. */
async function ask(address, method, path, body) {
  const answer = await fetch(address + path, { method, body: body && JSON.stringify(body), headers: body && { 'content-type': 'application/json' } });
  const { value } = await answer.json();
  if (!answer.ok) throw new Error(`${method} ${path.replace(/\/session\/[^/]+/, '')}: ${value.error}: ${value.message}`);
  return value;
}

/** Asks again until there is an answer; a driver has no way to be told. */
async function until(what, look) {
  const end = Date.now() + PATIENCE_MS;
  for (;;) {
    const found = await look();
    if (found) return found;
    if (Date.now() > end) throw new Error(`not seen in ${PATIENCE_MS / 1000} s: ${what}`);
    await pause(40);
  }
}

function quoted(words) {
  assert.ok(!words.includes('"'), words);
  return `"${words}"`;
}
