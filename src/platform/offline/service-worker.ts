import { ownOriginOnly } from '../egress/own-origin.js';

/**
 * Keeps the built page for visits without a network: every file of the build, told apart by what is in it. A new version is
 * fetched whole and checked before it counts, and waits until no page of the old one is open or the user lets it take over.
 */

/** Written in by the build: path below this file, SHA-256 in hexadecimal. */
declare const BUILT_FILES: Readonly<Record<string, string>>;
declare const BUILT_VERSION: string;

/** What is used of ServiceWorkerGlobalScope, which the compiler's DOM does not have. */
interface Scope {
  readonly location: Location;
  readonly caches: CacheStorage;
  readonly registration: { readonly scope: string };
  readonly clients: { claim(): Promise<void>; matchAll(options: object): Promise<readonly unknown[]> };
  fetch: typeof fetch;
  skipWaiting(): Promise<void>;
  addEventListener(type: 'install' | 'activate', listener: (event: Lasting) => void): void;
  addEventListener(type: 'message', listener: (event: Lasting & { readonly data: unknown }) => void): void;
  addEventListener(type: 'fetch', listener: (event: Fetching) => void): void;
}

interface Lasting {
  waitUntil(work: Promise<unknown>): void;
}

interface Fetching {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}

const scope = self as unknown as Scope;
const { caches } = scope;
ownOriginOnly(scope);

const FILES = BUILT_FILES;
const PREFIX = 'barwright-';
const OWN = `${PREFIX}${BUILT_VERSION}`;
const PAGE = 'index.html';

/** Where a file of this build is kept: the same place in every version that has the same file. */
function keyOf(path: string): string {
  const url = new URL(path, scope.registration.scope);
  url.search = `?sha256=${FILES[path] ?? ''}`;
  return url.href;
}

async function install(): Promise<void> {
  const own = await caches.open(OWN);
  try {
    for (const [path, hash] of Object.entries(FILES)) {
      const key = keyOf(path);
      const kept = (await own.match(key)) ?? (await caches.match(key));
      await own.put(key, kept ?? (await fetched(path, hash)));
    }
  } catch (error) {
    await caches.delete(OWN);
    throw error;
  }
}

/** A file as it was built; rejects when the server has another one already, or something in between changed it. */
async function fetched(path: string, hash: string): Promise<Response> {
  const answer = await scope.fetch(new URL(path, scope.registration.scope).href, { cache: 'no-cache' });
  const bytes = await answer.clone().arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
  if (!answer.ok || found !== hash) throw new Error(`fetched: ${path} is not the file that belongs to this version`);
  // A redirected answer may not be given for a page.
  return new Response(bytes, { headers: answer.headers });
}

/** Pages of an older version that are still open go on with their own files. */
async function activate(): Promise<void> {
  if (await isAlone()) await forgetOthers();
  await scope.clients.claim();
}

async function forgetOthers(): Promise<void> {
  for (const name of await caches.keys()) if (name.startsWith(PREFIX) && name !== OWN) await caches.delete(name);
}

async function isAlone(): Promise<boolean> {
  return (await scope.clients.matchAll({ type: 'window', includeUncontrolled: true })).length <= 1;
}

async function answer(request: Request): Promise<Response> {
  const url = new URL(request.url);
  const path = decodeURIComponent(url.pathname.slice(new URL(scope.registration.scope).pathname.length)) || PAGE;
  if (Object.hasOwn(FILES, path)) {
    const kept = await caches.match(keyOf(path));
    if (kept) return kept;
  }
  // A file of an older version whose page is still open.
  const older = path === PAGE ? undefined : await caches.match(request, { ignoreSearch: true });
  return older ?? scope.fetch(request);
}

scope.addEventListener('install', (event) => event.waitUntil(install()));
scope.addEventListener('activate', (event) => event.waitUntil(activate()));
scope.addEventListener('message', (event) => {
  if (event.data === 'take over') event.waitUntil(scope.skipWaiting());
  if (event.data === 'take over when alone') {
    event.waitUntil(isAlone().then((alone) => (alone ? scope.skipWaiting() : undefined)));
  }
});
scope.addEventListener('fetch', (event) => {
  const { method, url } = event.request;
  if (method === 'GET' && url.startsWith(scope.registration.scope)) event.respondWith(answer(event.request));
});
