/**
 * Ways by which code could tell another machine something. Each runs in the place it is named for, by its source text, so it
 * may use nothing from outside; `to` is the address that it has to try, with its own name at the end.
 */
export type Attempts = Readonly<Record<string, ((to: string) => unknown) | string>>;

/** As text, because the test runner would put a loader of its own in the place of import(). */
const MODULE = '(to) => import(to)';

/** Wherever there is a scope with them: pages, workers, service workers. */
const ANYWHERE: Attempts = {
  fetch: (to) => fetch(to, { mode: 'no-cors' }),
  'web-socket': (to) => new WebSocket(to.replace('http', 'ws')),
  'event-source': (to) => new EventSource(to),
  request: (to) => {
    const request = new XMLHttpRequest();
    request.open('GET', to);
    request.send();
  },
  cache: async (to) => (await caches.open('tried')).add(to),
  'font-face': (to) => new FontFace('tried', `url(${to})`).load(),
};

export const IN_WORKER: Attempts = {
  ...ANYWHERE,
  'hidden-fetch': (to) => {
    // What a scope was rid of could still be found further up.
    for (let holder: object | null = self; holder; holder = Object.getPrototypeOf(holder) as object | null) {
      const found = Object.getOwnPropertyDescriptor(holder, 'fetch')?.value as typeof fetch | undefined;
      if (found) void found.call(self, to, { mode: 'no-cors' });
    }
  },
};

/** Not to be taken from a worker: only a policy stops it, which a worker gets from its server's headers alone. */
export const BY_POLICY: Attempts = { module: MODULE };

export const IN_PAGE: Attempts = {
  ...ANYWHERE,
  beacon: (to) => navigator.sendBeacon(to, 'x'),
  picture: (to) => {
    new Image().src = to;
  },
  script: (to) => {
    const script = document.createElement('script');
    script.src = to;
    document.body.append(script);
  },
  style: (to) => {
    const link = document.createElement('link');
    link.rel = 'stylesheet';
    link.href = to;
    document.head.append(link);
  },
  prefetch: (to) => {
    const link = document.createElement('link');
    link.rel = 'prefetch';
    link.href = to;
    document.head.append(link);
  },
  background: (to) => {
    document.body.style.backgroundImage = `url(${to})`;
    document.body.getBoundingClientRect();
  },
  frame: (to) => {
    const frame = document.createElement('iframe');
    frame.src = to;
    document.body.append(frame);
  },
  object: (to) => {
    const object = document.createElement('object');
    object.data = to;
    document.body.append(object);
  },
  media: (to) => {
    const audio = new Audio(to);
    audio.preload = 'auto';
    audio.load();
  },
  form: (to) => {
    const frame = document.createElement('iframe');
    frame.name = 'answer';
    const form = document.createElement('form');
    form.action = to;
    form.target = 'answer';
    document.body.append(frame, form);
    form.submit();
  },
  module: MODULE,
  'worklet-module': (to) => new AudioContext().audioWorklet.addModule(to),
  'worklet-import': (to) => new AudioContext().audioWorklet.addModule(`probe.js?${encodeURIComponent(to)}`),
  'peer-connection': async (to) => {
    const peer = new RTCPeerConnection({ iceServers: [{ urls: `stun:${new URL(to).host}` }] });
    peer.createDataChannel('x');
    await peer.setLocalDescription(await peer.createOffer());
  },
};

/** The audio thread has none of the others. */
export const IN_WORKLET: Attempts = {
  fetch: (to) => fetch(to),
  module: MODULE,
};

/** A statement that makes every attempt; `place` goes before their names. */
export function trying(attempts: Attempts, place: string, address: string): string {
  const each = Object.entries(attempts).map(
    ([name, attempt]) =>
      `try{Promise.resolve((${String(attempt)})(${JSON.stringify(address + place + name)})).catch(()=>{})}catch{}`,
  );
  return `(()=>{${each.join('\n')}})();`;
}
