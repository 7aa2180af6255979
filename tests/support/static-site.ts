import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.wasm': 'application/wasm',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

/** The built page on a server as plain as they come, below a path of its own: no headers, no rewriting, can be stopped. */
export class StaticSite {
  readonly folder = mkdtempSync(join(tmpdir(), 'barwright-site-'));
  private server: Server | undefined;
  private port = 0;

  constructor(private readonly path: string) {
    cpSync('dist/web', this.folder, { recursive: true });
  }

  /** Ends in a slash. */
  get address(): string {
    return `http://localhost:${this.port}${this.path}`;
  }

  text(file: string): string {
    return readFileSync(join(this.folder, file), 'utf8');
  }

  write(file: string, text: string): void {
    writeFileSync(join(this.folder, file), text);
  }

  /** At the same port each time. */
  async start(): Promise<void> {
    this.server = createServer((request, response) => {
      const asked = decodeURIComponent(new URL(request.url ?? '', 'http://localhost').pathname);
      const inside = asked.startsWith(this.path) ? normalize(asked.slice(this.path.length)) : '..';
      const file = inside === '.' ? 'index.html' : inside;
      try {
        if (file.startsWith('..')) throw new Error('outside');
        const bytes = readFileSync(join(this.folder, file));
        response.writeHead(200, { 'content-type': TYPES[extname(file)] ?? 'application/octet-stream' }).end(bytes);
      } catch {
        response.writeHead(404).end();
      }
    });
    await new Promise<void>((resolve) => this.server!.listen(this.port, '127.0.0.1', resolve));
    this.port = (this.server.address() as AddressInfo).port;
  }

  async stop(): Promise<void> {
    const { server } = this;
    this.server = undefined;
    server?.closeAllConnections();
    if (server) await new Promise((resolve) => server.close(resolve));
  }

  async remove(): Promise<void> {
    await this.stop();
    rmSync(this.folder, { recursive: true });
  }
}
