import { defineConfig } from 'vite';

// Root is src so that the page's own paths are short; samples are served beside it.
export default defineConfig({
  root: 'src',
  base: './',
  publicDir: '../samples/public',
  build: { outDir: '../dist/web', emptyOutDir: true, target: 'es2022' },
  worker: { format: 'es' },
  server: { fs: { allow: ['..'] } },
});
