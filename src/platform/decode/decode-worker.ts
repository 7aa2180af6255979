import { shutOut } from '../egress/own-origin.js';
import { packedSound } from '../../dsp/packed-sound.js';
import { takeUpLanguage } from '../../text/worker-language.js';
import { decodeSound } from './decode-sound.js';
import { pieceHasher } from './hash.js';
import type { Decoded } from '../../app/kit/ports.js';
import type { DecodeReply, DecodeRequest } from './messages.js';
import { RecordingProblem } from './problem.js';
import { blobSource } from './source.js';

shutOut(globalThis);
const language = takeUpLanguage();

const page = globalThis as unknown as {
  postMessage(reply: DecodeReply, transfer?: Transferable[]): void;
  onmessage: ((event: MessageEvent<DecodeRequest>) => void) | null;
};

page.onmessage = ({ data }) => void decode(data);

async function decode({ file, fileName, soundOnly }: DecodeRequest): Promise<void> {
  await language;
  try {
    const { pcm, ...rest } = await decodeSound(blobSource(file), fileName, {
      hasher: pieceHasher(),
      soundOnly,
      report: (done) => page.postMessage({ kind: 'report', done }),
      outline: (from, data) => page.postMessage({ kind: 'outline', from, data }, [data.buffer]),
    });
    const decoded: Decoded = { ...rest, pcm: packedSound(pcm) };
    const buffers = [...decoded.pcm.channels, decoded.signal, decoded.peaks.data].map(({ buffer }) => buffer);
    page.postMessage({ kind: 'done', decoded }, [...new Set(buffers as ArrayBuffer[])]);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    if (error instanceof RecordingProblem) page.postMessage({ kind: 'problem', problem: error.kind, message });
    else page.postMessage({ kind: 'failed', message });
  }
}
