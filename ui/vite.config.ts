import { sveltekit } from '@sveltejs/kit/vite';
import { defineConfig } from 'vitest/config';
import { licences } from './licences.js';

export default defineConfig({
  plugins: [sveltekit(), licences()],
  // An inlined asset would need data: in more places of the content security policy.
  build: { assetsInlineLimit: 0 },
  test: { include: ['src/**/*.test.ts', 'licences.test.js'], environment: 'node', css: true }
});
