// The content security policy forbids style attributes, and user text must never become markup.
import { expect, it } from 'vitest';

const files = import.meta.glob<string>('/src/**/*.{svelte,html}', { query: '?raw', import: 'default', eager: true });

it('finds the components', () => expect(Object.keys(files).length).toBeGreaterThan(50));

it.each(Object.entries(files))('%s', (_, text) => {
  expect(text).not.toMatch(/\sstyle[=:]/);
  expect(text).not.toContain('{@html');
  // A blank at the edge of an element is dropped when it is built: a sign would touch the words behind it.
  expect(text).not.toMatch(/<span\b[^>]*> \{/);
  expect(text).not.toMatch(/<(b|i|span)\b[^>]*>[!?△✓≠] <\//);
  // The project's own limit for components.
  expect(text.split('\n').length).toBeLessThanOrEqual(200);
});
