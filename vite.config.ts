import { readFileSync } from 'node:fs';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';
import { CONTENT_POLICY, HEADERS } from './src/scripts/content-policy.mjs';
import { offline } from './src/scripts/offline.mjs';
import { adoptedStyles, plainClosures } from './src/scripts/plain-code.mjs';

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

/** Offers the WebAssembly of signalsmith-stretch by itself: its package has it only inside a script for a blob. */
function stretchWasm(): Plugin {
  const name = 'virtual:stretch-wasm';
  return {
    name,
    resolveId: (id) => (id === name ? `\0${name}` : undefined),
    load(id) {
      if (id !== `\0${name}`) return undefined;
      const script = readFileSync('node_modules/signalsmith-stretch/SignalsmithStretch.mjs', 'utf8');
      const binary = /data:application\/octet-stream;base64,([\w+/=]{1000,})/.exec(script)?.[1];
      if (!binary) throw new Error('signalsmith-stretch: its WebAssembly was not found in its script');
      return `export default ${JSON.stringify(binary)};`;
    },
  };
}

/** Makes packages run where text must not be evaluated and styles not be written inline. */
function plainCode(): Plugin {
  return {
    name: 'plain-code',
    enforce: 'pre',
    transform(code, id) {
      const file = id.split('?', 1)[0]!;
      if (file.endsWith('essentia-wasm.es.js')) return { code: plainClosures(code), map: null };
      if (file.endsWith('wavesurfer.esm.js')) return { code: adoptedStyles(code), map: null };
      return undefined;
    },
  };
}

/** The policy as the built page's first word; what is served from sources goes without, because its tools write styles inline. */
function contentPolicy(): Plugin {
  return {
    name: 'content-policy',
    apply: 'build',
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: CONTENT_POLICY },
        injectTo: 'head-prepend',
      },
      { tag: 'meta', attrs: { name: 'referrer', content: 'no-referrer' }, injectTo: 'head-prepend' },
    ],
  };
}

const plugins = (): Plugin[] => [stretchWasm(), plainCode()];

// The page's root is src, so that its own paths are short; the tests' root is the top folder.
export default defineConfig({
  root: process.env.VITEST ? '.' : 'src',
  base: './',
  publicDir: process.env.VITEST ? false : '../samples/public',
  plugins: [...plugins(), contentPolicy(), offline()],
  build: {
    outDir: '../dist/web',
    emptyOutDir: true,
    assetsInlineLimit: 0,
    // What the first screen loads is held by a test; what loads later (PDF, analysis) may be large.
    chunkSizeWarningLimit: 1000,
    target: 'es2022',
    rolldownOptions: bundling,
  },
  worker: { format: 'es', plugins, rolldownOptions: bundling },
  server: { fs: { allow: ['..'] } },
  preview: { headers: HEADERS },
  test: {
    projects: [
      {
        plugins: plugins(),
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**', 'tests/cli/**'],
          setupFiles: ['tests/support/seed-properties.ts'],
          // Twenty times as many random cases in the long run.
          testTimeout: process.env.BARWRIGHT_LONG ? 1_200_000 : 60_000,
          hookTimeout: 120_000,
        },
      },
      {
        plugins: plugins(),
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
