import { defineConfig } from 'vite';

/** The command line in one file, its dependencies inside. */
export default defineConfig({
  publicDir: false,
  ssr: { noExternal: true },
  build: {
    ssr: 'src/cli/main.ts',
    target: 'node20',
    outDir: 'dist-cli',
    minify: false,
    rolldownOptions: {
      output: { entryFileNames: 'seedfall.mjs', codeSplitting: false, banner: '#!/usr/bin/env node' },
    },
  },
});
