import adapter from '@sveltejs/adapter-static';
import { vitePreprocess } from '@sveltejs/vite-plugin-svelte';

/** Static pages with routes in the hash: one index.html for the window and the loopback host. */
export default {
  preprocess: vitePreprocess(),
  kit: {
    adapter: adapter({ fallback: 'index.html', precompress: false }),
    router: { type: 'hash' },
    output: { bundleStrategy: 'single' },
    // Fixed, so that the one inline script keeps its hash from build to build.
    version: { name: 'tautbook' }
  }
};
