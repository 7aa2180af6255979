import { msg } from '@lit/localize';
import { PEAK_RATE, type Peaks } from '../../dsp/peaks.js';
import type { Decoded, DecoderPort } from '../../app/kit/ports.js';
import type { DecodeReply, DecodeRequest } from './messages.js';
import { RecordingProblem } from './problem.js';
import { workerName } from '../../text/worker-language.js';

/** A worker that has said nothing for so many checks in a row, 5 s apart, hangs. */
const SILENT_CHECKS = 12;

/** Decodes each file in a worker of its own, which is gone with its memory when the file is done or called off. */
export function browserDecoder(): DecoderPort {
  return {
    decode,
    artist: async (file) => (await import('./tags.js')).artistOf(file),
  };
}

function decode(file: Blob, fileName: string, options: Parameters<DecoderPort['decode']>[2] = {}): Promise<Decoded> {
  const { signal, report, outline, soundOnly } = options;
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason as Error);
    const worker = new Worker(new URL('./decode-worker.ts', import.meta.url), {
      type: 'module',
      name: workerName('decode'),
    });
    const soFar = new OutlineSoFar();
    let silent = 0;
    const watch = setInterval(() => {
      if (++silent >= SILENT_CHECKS) fail(stuck());
    }, 5000);
    const end = () => {
      clearInterval(watch);
      signal?.removeEventListener('abort', abort);
      worker.terminate();
    };
    const fail = (error: Error) => {
      end();
      reject(error);
    };
    const abort = () => fail(signal!.reason as Error);
    signal?.addEventListener('abort', abort);
    worker.onerror = (event) => {
      event.preventDefault();
      fail(broken(event.message));
    };
    worker.onmessageerror = () => fail(broken(msg('not enough memory to hand over the sound')));
    worker.onmessage = ({ data }: MessageEvent<DecodeReply>) => {
      silent = 0;
      switch (data.kind) {
        case 'report':
          return report?.(data.done);
        case 'outline':
          return outline?.(soFar.add(data.from, data.data));
        case 'done':
          end();
          return resolve(data.decoded);
        case 'problem':
          return fail(new RecordingProblem(data.problem, data.message));
        case 'failed':
          return fail(broken(data.message));
      }
    };
    const request: DecodeRequest = { file, fileName, soundOnly };
    worker.postMessage(request);
  });
}

/** Joins the pieces of the outline; each Peaks given out stays as it is while later ones grow. */
class OutlineSoFar {
  #data = new Int8Array(1 << 14);

  add(from: number, piece: Int8Array): Peaks {
    const end = 2 * from + piece.length;
    if (end > this.#data.length) {
      const longer = new Int8Array(Math.max(end, 2 * this.#data.length));
      longer.set(this.#data);
      this.#data = longer;
    }
    this.#data.set(piece, 2 * from);
    return { rate: PEAK_RATE, data: this.#data.subarray(0, end) };
  }
}

function stuck(): RecordingProblem {
  return new RecordingProblem(
    'broken',
    msg('Decoding came to a standstill: this file is probably damaged. Copy, download or export it again.'),
  );
}

function broken(detail: string | undefined): RecordingProblem {
  return new RecordingProblem(
    'broken',
    msg('This file could not be decoded. Try it again, or convert it to WAV, FLAC or MP3 first.'),
    { cause: detail },
  );
}
