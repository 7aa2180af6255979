import { ownOriginOnly, shutOut } from '../egress/own-origin.js';
import { takeUpLanguage } from '../../text/worker-language.js';
import { analysisService } from './analysis-service.js';
import { CHECK } from './stopped.js';
import { loadTools } from './tools-loader.js';
import type { Request } from './protocol.js';

ownOriginOnly(self);

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<Request>) => void) | null;
  postMessage(message: unknown): void;
};

async function load(): ReturnType<typeof loadTools> {
  const tools = await loadTools();
  // Where the network could not be loaded, the next analysis tries again.
  void Promise.resolve(tools.net).then(
    () => shutOut(self),
    () => undefined,
  );
  return tools;
}

const handle = analysisService(
  load,
  (reply) => scope.postMessage(reply),
  (work) => setTimeout(work, 0),
);
// One request after the other, in the order they came.
let last = takeUpLanguage();
scope.onmessage = ({ data }) => {
  last = last.then(async () => {
    const pulse = setInterval(() => scope.postMessage({ kind: 'alive' }), CHECK);
    await handle(data);
    clearInterval(pulse);
  });
};
