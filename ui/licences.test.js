import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { licencesOf, packageOf, permissive } from './licences.js';
import shipped from './src/lib/licences.txt?raw';

const folder = mkdtempSync(join(tmpdir(), 'tautbook-licences-'));
afterAll(() => rmSync(folder, { recursive: true }));
function put(name, license, text) {
  mkdirSync(join(folder, name), { recursive: true });
  writeFileSync(join(folder, name, 'package.json'), JSON.stringify({ license }));
  if (text !== undefined) writeFileSync(join(folder, name, 'LICENSE.md'), text);
}

it.each([
  ['/a/ui/src/lib/x.ts', undefined],
  ['/a/ui/node_modules/uqr/dist/index.mjs', 'uqr'],
  ['/a/ui/node_modules/@sveltejs/kit/src/runtime/client.js', '@sveltejs/kit'],
  ['/a/node_modules/one/node_modules/two/x.js', 'two'],
  ['\0vite/preload-helper.js', 'vite'],
  ['\0virtual:__sveltekit/environment', undefined]
])('%j is of %s', (module, name) => expect(packageOf(module)).toBe(name));

it('passes on name and whole text', () => {
  put('good', 'MIT', 'Do as you like.\n');
  expect(licencesOf(['good'], folder)).toBe('good: MIT\n\nDo as you like.\n');
});

it('ships nothing under other terms, without terms, or without their text', () => {
  put('strict', 'GPL-3.0', 'Share alike.');
  put('bare', undefined, 'x');
  put('silent', 'MIT');
  expect(() => licencesOf(['strict'], folder)).toThrow(/GPL-3.0/);
  expect(() => licencesOf(['bare'], folder)).toThrow(/undefined/);
  expect(() => licencesOf(['silent'], folder)).toThrow(/without the text/);
});

it('the file that is shipped tells each with a permissive licence', () => {
  const heads = [...shipped.matchAll(/^(\S+): (\S+)$/gm)].map((m) => [m[1], m[2]]);
  expect(heads.map(([name]) => name)).toEqual(expect.arrayContaining(['@sveltejs/kit', 'svelte', 'uqr']));
  for (const [, licence] of heads) expect(permissive(licence)).toBe(true);
});
