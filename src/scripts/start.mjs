// npm start: installs if needed, builds if needed, serves the page on this machine and says where.
import { checkNode, ensureBuilt, ensureInstalled, BUILD_WEB, TOP } from './steps.mjs';

checkNode();
ensureInstalled();
ensureBuilt(...BUILD_WEB);

const { preview } = await import('vite');
const desktop =
  process.platform === 'darwin' || process.platform === 'win32' || process.env.DISPLAY || process.env.WAYLAND_DISPLAY;
const wanted = Number(process.env.PORT ?? 4173);
const server = await preview({
  root: `${TOP}/src`,
  configFile: `${TOP}/vite.config.ts`,
  logLevel: 'warn',
  preview: { port: wanted, host: 'localhost', open: Boolean(desktop) && !process.env.CI },
});
const address = server.resolvedUrls?.local[0] ?? `http://localhost:${wanted}/`;
process.stdout.write(
  `Barwright is at ${address}\nIt runs in the browser on this machine; recordings stay there. Ctrl+C ends it.\n`,
);
