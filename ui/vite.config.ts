import { sveltekit } from '@sveltejs/kit/vite';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [sveltekit()],
  // An inlined asset would need data: in more places of the content security policy.
  build: { assetsInlineLimit: 0 },
  test: { include: ['src/**/*.test.ts'], environment: 'node' }
});
