import { defineConfig } from 'vitest/config';

// The page's root is src, so that its own paths are short; the tests' root is the top folder.
export default defineConfig({
  root: process.env.VITEST ? '.' : 'src',
  base: './',
  publicDir: process.env.VITEST ? false : '../samples/public',
  build: { outDir: '../dist/web', emptyOutDir: true, target: 'es2022' },
  worker: { format: 'es' },
  server: { fs: { allow: ['..'] } },
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**', 'tests/cli/**'],
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
