// Makes the built page installable and usable without a network: manifest, icons, and the service worker with its list.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve, sep } from 'node:path';
import { build } from 'vite';

const WORKER = 'service-worker.js';

/** Web Application Manifest (W3C); every address is relative, so that it holds under any path. */
const MANIFEST = {
  id: './',
  name: 'Barwright',
  short_name: 'Barwright',
  description:
    'A recording in, a bar-by-bar map out: correct it, mark it, play along. Everything stays on this machine.',
  lang: 'en-GB',
  start_url: './',
  scope: './',
  display: 'standalone',
  background_color: '#fdfcfa',
  theme_color: '#fdfcfa',
  categories: ['music', 'education'],
  icons: [
    { src: 'icons/192.png', sizes: '192x192', type: 'image/png' },
    { src: 'icons/512.png', sizes: '512x512', type: 'image/png' },
    { src: 'icons/512-maskable.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
  ],
};

const ICONS = ['192.png', '512.png', '512-maskable.png'];

/** A plugin for the build of the page; other builds are left alone. */
export function offline() {
  let folder;
  return {
    name: 'offline',
    apply: (config, { command }) => command === 'build' && !config.build?.ssr,
    configResolved(config) {
      folder = resolve(config.root, config.build.outDir);
    },
    transformIndexHtml: () => [
      { tag: 'link', attrs: { rel: 'manifest', href: './manifest.webmanifest' }, injectTo: 'head' },
      { tag: 'link', attrs: { rel: 'apple-touch-icon', href: './icons/192.png' }, injectTo: 'head' },
    ],
    generateBundle() {
      this.emitFile({ type: 'asset', fileName: 'manifest.webmanifest', source: JSON.stringify(MANIFEST, null, 2) });
      for (const icon of ICONS) {
        const source = readFileSync(new URL(`../icons/${icon}`, import.meta.url));
        this.emitFile({ type: 'asset', fileName: `icons/${icon}`, source });
      }
    },
    async closeBundle() {
      const files = listed(folder);
      await build({
        configFile: false,
        root: new URL('../..', import.meta.url).pathname,
        publicDir: false,
        logLevel: 'warn',
        define: { BUILT_FILES: JSON.stringify(files), BUILT_VERSION: JSON.stringify(versionOf(files)) },
        build: {
          outDir: folder,
          emptyOutDir: false,
          target: 'es2022',
          lib: {
            entry: new URL('../platform/offline/service-worker.ts', import.meta.url).pathname,
            formats: ['iife'],
            name: 'worker',
            fileName: () => WORKER,
          },
        },
      });
    },
  };
}

/** Every file of the build with its SHA-256, in the order of their names. */
export function listed(folder) {
  const files = readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name !== WORKER)
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort();
  return Object.fromEntries(files.map((path) => [path, sha256(readFileSync(join(folder, path)))]));
}

function versionOf(files) {
  return sha256(JSON.stringify(files)).slice(0, 16);
}

function sha256(bytes) {
  return createHash('sha256').update(bytes).digest('hex');
}
