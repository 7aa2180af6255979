import { analysisService } from './analysis-service.js';
import { loadTools } from './tools-loader.js';
import type { Request } from './protocol.js';

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<Request>) => void) | null;
  postMessage(message: unknown): void;
};

const handle = analysisService(loadTools, (reply) => scope.postMessage(reply));
// One request after the other, in the order they came.
let last: Promise<void> = Promise.resolve();
scope.onmessage = ({ data }) => {
  last = last.then(() => handle(data));
};
