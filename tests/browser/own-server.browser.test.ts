import { spawn, type ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { connect } from 'node:net';
import { networkInterfaces } from 'node:os';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HEADERS } from '../../src/scripts/content-policy.mjs';

// What `npm start` serves, asked by raw requests: a browser would tidy up their paths.

const TOP = fileURLToPath(new URL('../..', import.meta.url));

let page: string;
let server: ChildProcess;
let port: number;

beforeAll(async () => {
  server = spawn(process.execPath, ['src/scripts/start.mjs'], {
    cwd: TOP,
    env: { ...process.env, PORT: '0', CI: '1', VITEST: '' },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const said = await new Promise<string>((resolve, reject) => {
    let text = '';
    server.stdout!.on('data', (piece: Buffer) => {
      text += String(piece);
      if (text.includes('Ctrl+C')) resolve(text);
    });
    server.on('exit', () => reject(new Error(`it ended: ${text}`)));
  });
  page = readFileSync(`${TOP}dist/web/index.html`, 'utf8').slice(0, 200);
  port = Number(/http:\/\/localhost:(\d+)\//.exec(said)?.[1]);
});

afterAll(() => {
  server.kill();
});

interface Answer {
  readonly status: number;
  readonly head: string;
  readonly body: string;
}

/** The answer to a request as it is written here; status 0 where the connection is closed without one. */
function ask(target: string, host = `localhost:${port}`): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const pieces: Buffer[] = [];
    const socket = connect(port, 'localhost', () => {
      socket.write(
        `GET ${target} HTTP/1.1\r\nHost: ${host}\r\nAccept: text/html,*/*\r\nConnection: close\r\n\r\n`,
        'latin1',
      );
    });
    socket.on('data', (piece) => pieces.push(piece));
    socket.on('error', reject);
    socket.on('close', () => {
      const text = Buffer.concat(pieces).toString('utf8');
      const [head = '', ...rest] = text.split('\r\n\r\n');
      resolve({ status: Number(/^HTTP\/1\.1 (\d+)/.exec(head)?.[1] ?? 0), head, body: rest.join('\r\n\r\n') });
    });
  });
}

/** True when something answers at an address of this machine. */
function listensAt(address: string): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, address, () => {
      socket.destroy();
      resolve(true);
    });
    socket.on('error', () => resolve(false));
  });
}

describe('the server of npm start', () => {
  it('gives the page with its headers', async () => {
    const { status, head, body } = await ask('/');
    expect(status).toBe(200);
    expect(body).toContain(page);
    for (const [name, value] of Object.entries(HEADERS))
      expect(head.toLowerCase()).toContain(`${name}: ${value}`.toLowerCase());
  });

  it('answers on this machine alone', async () => {
    expect((await listensAt('127.0.0.1')) || (await listensAt('::1'))).toBe(true);
    const outside = Object.values(networkInterfaces())
      .flatMap((list) => list ?? [])
      .filter(({ internal }) => !internal);
    for (const { address, scopeid } of outside)
      expect(await listensAt(scopeid ? `${address}%${scopeid}` : address), address).toBe(false);
    // All of 127.0.0.0/8 is this machine on Linux, and a server of all addresses answers at each of them (RFC 1122, 3.2.1.3).
    if (process.platform === 'linux') expect(await listensAt('127.9.8.7')).toBe(false);
  });

  it('refuses other names for this machine, which another site could have led here', async () => {
    for (const host of [
      'example.org',
      `example.org:${port}`,
      'localhost.example.org',
      'xlocalhost',
      '192.168.0.1.example.org',
    ])
      expect(await ask('/', host), host).toMatchObject({
        status: 403,
        body: expect.not.stringContaining('<script') as string,
      });
    expect((await ask('/', 'localhost')).status).toBe(200);
  });

  const up = (depth: number, dots: string, slash: string): string => `${dots}${slash}`.repeat(depth);
  const paths = [
    '..',
    '%2e%2e',
    '%2E.',
    '.%2e',
    '%252e%252e',
    '%c0%ae%c0%ae',
    '\u2025'.replace(/./, '%e2%80%a5'),
  ].flatMap((dots) =>
    ['/', '%2f', '%5c', '\\', '%252f', '//', '/./', '%00/'].flatMap((slash) => [
      `/${up(2, dots, slash)}package.json`,
      `/assets/${up(3, dots, slash)}package.json`,
      `/${up(12, dots, slash)}etc/passwd`,
    ]),
  );

  it.each([
    ['ways up', paths],
    [
      'other names of files',
      [
        '/package.json',
        '/src/app.ts',
        '/.git/config',
        '/node_modules/lit/package.json',
        '//etc/passwd',
        '/etc/passwd',
        '/@fs/etc/passwd',
        `/@fs${TOP}package.json`,
        `/@fs/${TOP}package.json?raw`,
        '/@id/package.json',
        '/package.json?import&raw',
        '/index.html%00.json',
        '/%00',
        '/%',
        '/%ff',
        '/assets/%2e%2e%00/package.json',
        'file:///etc/passwd',
        'http://localhost/../../package.json',
        'http://example.org/../../../etc/passwd',
        'package.json',
        '*',
        `/${'a/../'.repeat(2000)}../../package.json`,
      ],
    ],
  ])('gives nothing outside of the build: %s', async (_, targets) => {
    for (const target of targets) {
      const { status, body } = await ask(target);
      const shown = target.slice(0, 100);
      expect(body, shown).not.toMatch(/"devDependencies"|"version"|root:.*:0:0|\[core\]|import .* from/);
      // Either an error, or the page itself, which an address within it leads to.
      if (status >= 200 && status < 300) expect(body.includes(page), shown).toBe(true);
      else expect(status === 0 || status >= 300, shown).toBe(true);
    }
    expect((await ask('/')).status).toBe(200);
  });
});
