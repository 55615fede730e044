// Licences of what others wrote and the built screens carry, gathered from the packages themselves while building.
// The committed file must tell exactly what is in the bundle, or the build ends; `npm run licences` writes it anew.
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const MODULES = fileURLToPath(new URL('./node_modules', import.meta.url));
const FILE = fileURLToPath(new URL('./src/lib/licences.txt', import.meta.url));
/** Licences that ask for their text to be passed on, and nothing else. */
const PERMISSIVE = ['0BSD', 'Apache-2.0', 'BSD-2-Clause', 'BSD-3-Clause', 'ISC', 'MIT', 'Zlib'];

/** The package that a module of the bundle is from; none for the project's own. Helpers of the bundler are its own. */
export function packageOf(module) {
  const helper = /^\0(vite|rolldown)\//.exec(module);
  if (helper) return helper[1];
  const inside = module.split('/node_modules/').at(-1);
  if (inside === undefined || inside === module) return undefined;
  return /^(@[^/]+\/[^/]+|[^/]+)/.exec(inside)?.[1];
}

/** True when the licence may be shipped by naming it and passing its text on. */
export function permissive(licence) {
  return typeof licence === 'string' && PERMISSIVE.includes(licence);
}

/** Name, licence and its whole text, package by package. Throws where one has no such licence or no text. */
export function licencesOf(packages, from = MODULES) {
  return packages.map((name) => {
    const folder = join(from, name);
    const { license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    if (!permissive(license)) throw new Error(`${name} is shipped under ${license}, which is not on the list of permissive licences.`);
    const file = readdirSync(folder).find((f) => /^licen[cs]e(\.(md|txt))?$/i.test(f));
    if (!file) throw new Error(`${name} is shipped without the text of its licence.`);
    // What a bundler itself bundles is not in these screens.
    const [text = ''] = readFileSync(join(folder, file), 'utf8').split('\n# Licenses of bundled dependencies');
    return `${name}: ${license}\n\n${text.trim()}\n`;
  }).join('\n\n');
}

export function licences() {
  return {
    name: 'licences',
    apply: 'build',
    applyToEnvironment: (environment) => environment.name === 'client',
    generateBundle(_, bundle) {
      const modules = Object.values(bundle).flatMap((part) => (part.type === 'chunk' ? part.moduleIds : []));
      const packages = [...new Set(modules.map(packageOf).filter((name) => name !== undefined))].sort();
      const text = licencesOf(packages);
      if (readFileSync(FILE, 'utf8') === text) return;
      if (process.env.TAUTBOOK_LICENCES !== 'write') this.error('src/lib/licences.txt does not tell what is shipped. Run npm run licences and look at what changed.');
      writeFileSync(FILE, text);
    }
  };
}
