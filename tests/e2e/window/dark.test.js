// The real window by night: it follows the device, its own switch goes before that, and what it says can be read.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import axe from 'axe-core';
import { root, serve } from '../lib/host.js';
import { driver, openWindow } from '../lib/window.js';
import { surveyed } from '../steps/surveyed.js';

/** How a device of this toolkit is told to be dark. */
const DARK = { GTK_THEME: 'Adwaita:dark' };
const LIGHT = { GTK_THEME: 'Adwaita' };
/** WCAG 2.2, 1.4.3, for text of every size: large text might have 3. */
const LEAST = 4.5;
/** So many are looked at on each screen. */
const LEAST_TEXTS = 8;

/** The colours of the screens by name, by day and by night, as a window tells them. */
async function tokens() {
  const css = await readFile(join(root, 'ui/src/app.css'), 'utf8');
  const rgb = (hex) => hex.match(/../g).map((two) => Number.parseInt(two, 16)).join(', ');
  const found = [...css.matchAll(/--([\w-]+): light-dark\(#([0-9a-f]{6}), #([0-9a-f]{6})\)/g)];
  const of = (which) => Object.fromEntries(found.map((one) => [one[1], rgb(one[which])]));
  return { day: of(2), night: of(3) };
}

/** Waits until a style has a colour; the way its transparency is told plays no part. */
const stands = (window, xpath, name, colour) => window.styled(xpath, name, (value) => value.replace(/^rgba?\(|(, 1)?\)$/g, '') === colour);

/** The window in one of the two: its ground, its text, and what is pressed. */
async function wears(window, colours, pressed) {
  await stands(window, '//body', 'background-color', colours.paper);
  await stands(window, '//h1', 'color', colours.ink);
  if (!pressed) return;
  const button = `//button[@aria-pressed = "true" and normalize-space() = "${pressed}"]`;
  await stands(window, button, 'background-color', colours.chalk);
  await stands(window, button, 'color', colours['on-chalk']);
}

/**
 * The texts on the screen with their contrast, worked out by the general checker of the browser journeys. What lies out of sight
 * or under something else, and what is drawn, it leaves out: drawings and lists take their colours from the same tokens.
 */
const read = (window) => window.later(`
  const [done, kinds] = [arguments[0], ['passes', 'violations', 'incomplete']];
  const of = (node) => ({ html: node.html, ratio: node.any[0].data?.contrastRatio });
  axe.run({ runOnly: ['color-contrast'], resultTypes: kinds }).then(
    (found) => done(kinds.flatMap((kind) => found[kind].flatMap((rule) => rule.nodes.map(of))).filter(({ ratio }) => ratio >= 1)),
    (fault) => done([{ html: String(fault), ratio: 1 }])
  );`);

const unreadable = (texts) => texts.filter(({ ratio }) => ratio < LEAST).map(({ html }) => html);

async function readable(window) {
  await window.execute(axe.source);
  const texts = await read(window);
  assert.ok(texts.length >= LEAST_TEXTS, `${texts.length} texts were looked at`);
  assert.deepEqual(unreadable(texts), []);
}

/** From the list of jobs to the settings of this device. */
async function onDevice(window) {
  await window.shows('Jobs');
  await window.follow('Name, light or dark, units');
  await window.shows('This device');
}

test('the window is dark as its device is, until its own switch says otherwise', { timeout: 100_000 }, async (t) => {
  const { day, night } = await tokens();
  assert.notEqual(day.paper, night.paper);
  const host = await serve(t, 'window-dark');
  const { title } = await surveyed(host);
  await host.stop();
  const window = await openWindow(await driver(t, DARK), host.data);
  await window.shows('Jobs');
  await wears(window, night);
  await readable(window);
  await window.follow(title);
  await window.shows(title);
  await wears(window, night);
  await readable(window);
  await window.press('Back');
  await onDevice(window);
  await wears(window, night, 'As the device');
  await window.press('Light');
  await wears(window, day, 'Light');
  await readable(window);
  await window.press('Dark');
  await wears(window, night, 'Dark');
  await readable(window);
  // The check itself sees a fault: this one is made.
  await window.execute('document.querySelector("h1").style.color = "rgb(60, 70, 80)"');
  assert.deepEqual(unreadable(await read(window)).map((html) => html.replace(/<[^>]+>/g, '')), ['This device']);
  await window.close();

  // The switch is kept, whatever the device is by then.
  const again = await openWindow(await driver(t, LIGHT), host.data);
  await again.shows('Jobs');
  await wears(again, night);
  await onDevice(again);
  await again.press('As the device');
  await wears(again, day, 'As the device');
  await again.close();
});
