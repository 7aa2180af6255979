/**
 * What a page or a worker could reach another machine with, or start something that could: the policy of the page covers
 * neither workers, where the server sends no headers, nor peer connections.
 */
const WAYS_OUT =
  'fetch fetchLater XMLHttpRequest WebSocket WebSocketStream EventSource WebTransport RTCPeerConnection webkitRTCPeerConnection importScripts Worker SharedWorker caches Cache CacheStorage FontFace fonts Notification';

/** Takes every way out from the scope of a worker whose own files are all loaded. */
export function shutOut(scope: object): void {
  remove(scope, WAYS_OUT.split(' '));
}

/**
 * Takes every way out from the scope of a worker that still has files of its own to load: fetch() stays, for the worker's own
 * origin alone, and rejects with a TypeError for any other.
 */
export function ownOriginOnly(scope: { fetch: typeof fetch; readonly location: { readonly origin: string } }): void {
  const { fetch, location } = scope;
  shutOut(scope);
  scope.fetch = (input, init) => {
    // A redirection would lead away unseen.
    const request = new Request(input, { ...init, redirect: 'error' });
    if (new URL(request.url).origin === location.origin) return fetch.call(scope, request);
    return Promise.reject(new TypeError(`Nothing is fetched from elsewhere: ${request.url}`));
  };
}

/** Peer connections, which no policy stops and the page never makes. */
export function noPeers(scope: object): void {
  remove(scope, ['RTCPeerConnection', 'webkitRTCPeerConnection']);
}

function remove(scope: object, names: readonly string[]): void {
  for (const name of names) {
    for (let holder: object | null = scope; holder; holder = Object.getPrototypeOf(holder) as object | null) {
      if (Object.hasOwn(holder, name) && !Reflect.deleteProperty(holder, name)) {
        Object.defineProperty(holder, name, { value: undefined });
      }
    }
  }
}
