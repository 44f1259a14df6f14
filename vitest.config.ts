import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

/** Tests of state and components name happy-dom in their first line: they then compile for the browser, runes and all. */
export default defineConfig({
  plugins: [svelte()],
  test: {
    include: ['tests/unit/**/*.test.ts', 'tests/reference/**/*.test.ts'],
    environment: 'node',
    testTimeout: 60_000,
    // A worker reads each module once for all of its test files: a third of the time. What a test puts into the world it takes out again.
    isolate: false,
    // All cores: by default one of them is left to somebody who watches.
    maxWorkers: '100%',
  },
  resolve: { conditions: ['browser', 'module', 'import', 'development'] },
});
