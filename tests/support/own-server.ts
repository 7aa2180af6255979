import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import { type AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.woff2': 'font/woff2',
  '.webmanifest': 'application/manifest+json',
};

export interface Served {
  /** Ends in a slash. */
  readonly address: string;
  close(): Promise<void>;
}

/** A folder over HTTP with given headers; `change` may give another text of a file, undefined leaves it as it is. */
export async function serveFolder(
  folder: string,
  headers: Readonly<Record<string, string>>,
  change: (path: string, text: () => string, query: string) => string | undefined = () => undefined,
): Promise<Served> {
  const server = createServer((request, response) => {
    const { pathname, search } = new URL(request.url ?? '/', 'http://x');
    const asked = decodeURIComponent(pathname);
    const path = asked.endsWith('/') ? `${asked}index.html` : asked;
    const file = join(folder, normalize(path));
    const type = TYPES[extname(path)] ?? 'application/octet-stream';
    try {
      const body =
        change(path, () => readFileSync(file, 'utf8'), decodeURIComponent(search.slice(1))) ?? readFileSync(file);
      response.writeHead(200, { ...headers, 'Content-Type': type, 'Cache-Control': 'no-store' }).end(body);
    } catch {
      response.writeHead(404, headers).end();
    }
  });
  return listening(server, 'localhost');
}

/** Another origin that answers everything, lets everybody read it, and notes who came: "GET /path", "peer connection". */
export async function stranger(): Promise<Served & { readonly came: Set<string> }> {
  const came = new Set<string>();
  const server = createServer((request, response) => {
    came.add(pathOf(request.url));
    const script = request.headers['sec-fetch-dest']?.match(/script|worklet|worker/);
    response
      .writeHead(200, {
        'Access-Control-Allow-Origin': '*',
        'Cross-Origin-Resource-Policy': 'cross-origin',
        'Content-Type': script ? 'text/javascript' : 'text/plain',
      })
      .end('');
  });
  server.on('upgrade', (request, socket) => {
    came.add(pathOf(request.url));
    socket.destroy();
  });
  const served = await listening(server, '127.0.0.1');
  const { port } = server.address() as AddressInfo;
  // Peer connections ask over UDP (STUN, RFC 8489), at the same port.
  const udp = createSocket('udp4');
  udp.on('message', () => came.add('peer-connection'));
  udp.bind(port, '127.0.0.1');
  await once(udp, 'listening');
  return {
    came,
    address: served.address,
    close: async () => {
      udp.close();
      await served.close();
    },
  };
}

async function listening(server: Server, host: string): Promise<Served> {
  server.listen(0, host);
  await once(server, 'listening');
  return {
    address: `http://${host}:${(server.address() as AddressInfo).port}/`,
    close: () =>
      new Promise((done) => {
        server.closeAllConnections();
        server.close(() => done());
      }),
  };
}

const pathOf = (url = '/'): string => new URL(url, 'http://x').pathname.slice(1);
