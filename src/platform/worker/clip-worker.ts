import { FACES } from '../../export/chart/faces/latin.js';
import { shutOut } from '../egress/own-origin.js';
import { takeUpLanguage } from '../../text/worker-language.js';
import type { ClipReply, ClipRequest } from './clip-messages.js';
import { instantiate } from './instantiate.js';
import { inSteps } from './job.js';
import { makeClip } from './make-clip.js';

const scope = self as unknown as {
  onmessage: (event: MessageEvent<ClipRequest>) => void;
  postMessage(reply: ClipReply): void;
  readonly fonts: FontFaceSet;
};

/** The faces are bundled with the worker; nothing is left to be fetched when they are there. */
const faces = [
  new FontFace('Barwright Music', bytesOf(FACES.serifBold), { weight: '600' }),
  new FontFace('Barwright Plain', bytesOf(FACES.sans), { weight: '400' }),
];
for (const face of faces) scope.fonts.add(face);
shutOut(self);
const language = takeUpLanguage();

scope.onmessage = ({ data }) => void make(data);

async function make({ job, pcm }: ClipRequest): Promise<void> {
  await language;
  try {
    await Promise.all(faces.map((face) => face.load()));
    const report = inSteps((reply) => scope.postMessage(reply));
    const file = await makeClip(job, pcm, { instantiate, report });
    scope.postMessage({ kind: 'made', file });
  } catch (error) {
    scope.postMessage({ kind: 'failed', message: error instanceof Error ? error.message : String(error) });
  }
}

function bytesOf(address: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(address.slice(address.indexOf(',') + 1)), (letter) => letter.charCodeAt(0));
}
