import { shutOut } from '../guard/own-origin.js';
import { makeTracks } from './make-tracks.js';
import type { TracksReply, TracksRequest } from './tracks-messages.js';

shutOut(self);

const scope = self as unknown as {
  onmessage: (event: MessageEvent<TracksRequest>) => void;
  postMessage(reply: TracksReply): void;
};

scope.onmessage = ({ data }) => {
  const say = (reply: TracksReply): void => scope.postMessage(reply);
  try {
    // A blob of blobs: the browser may keep what is made on disk.
    const pieces: Blob[] = [];
    let told = 0;
    makeTracks(
      data,
      (wasm, imports) =>
        new WebAssembly.Instance(
          new WebAssembly.Module(wasm as Uint8Array<ArrayBuffer>),
          imports as WebAssembly.Imports,
        ).exports,
      (piece) => pieces.push(new Blob([piece])),
      (done) => {
        if (done - told < 0.005) return;
        told = done;
        say({ kind: 'report', done });
      },
    );
    const type = data.jobs.length > 1 ? 'application/zip' : 'audio/wav';
    say({ kind: 'done', file: new Blob(pieces, { type }) });
  } catch (error) {
    say({ kind: 'failed', message: error instanceof Error ? error.message : String(error) });
  }
};
