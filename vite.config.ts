import { defineConfig } from 'vitest/config';

/** What the bundler says of essentia.js, which asks for Node's modules only where it runs in Node, and of its own speed. */
const EXPECTED = /externalized for browser compatibility|essentia-wasm|JavaScript callbacks ran/;
const bundling = {
  onLog(
    level: 'info' | 'debug' | 'warn',
    log: { message: string },
    next: (level: 'info' | 'debug' | 'warn', log: { message: string }) => void,
  ) {
    if (!EXPECTED.test(log.message)) next(level, log);
  },
};

// The page's root is src, so that its own paths are short; the tests' root is the top folder.
export default defineConfig({
  root: process.env.VITEST ? '.' : 'src',
  base: './',
  publicDir: process.env.VITEST ? false : '../samples/public',
  build: { outDir: '../dist/web', emptyOutDir: true, target: 'es2022', rolldownOptions: bundling },
  worker: { format: 'es', rolldownOptions: bundling },
  server: { fs: { allow: ['..'] } },
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**', 'tests/cli/**'],
          setupFiles: ['tests/support/seed-properties.ts'],
          testTimeout: 60_000,
          hookTimeout: 120_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts', 'tests/cli/**/*.test.ts'],
          globalSetup: ['tests/support/serve.ts'],
          fileParallelism: false,
          testTimeout: 180_000,
          hookTimeout: 180_000,
        },
      },
    ],
  },
});
