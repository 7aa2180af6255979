import { msg } from '@lit/localize';
import { FLACDecoder } from '@wasm-audio-decoders/flac';
import { RecordingProblem } from './problem.js';
import { quiet } from './quiet.js';
import type { PcmChunk, Sound } from './sound.js';
import { pieces, viewOf, type ByteSource } from './source.js';

const PIECE = 65536;

export interface StreamInfo {
  readonly sampleRate: number;
  readonly channels: number;
  /** Samples a channel; 0 when the encoder did not know. */
  readonly samples: number;
}

/** The STREAMINFO block's content (RFC 9639, 8.2), 34 bytes. */
export function streamInfo(bytes: Uint8Array): StreamInfo | undefined {
  if (bytes.length < 34) return undefined;
  const view = viewOf(bytes);
  const packed = view.getUint32(10);
  const samples = (view.getUint8(13) & 15) * 2 ** 32 + view.getUint32(14);
  return { sampleRate: packed >>> 12, channels: ((packed >>> 9) & 7) + 1, samples };
}

/** A FLAC file that begins at byte `at`. */
export async function openFlac(source: ByteSource, at: number): Promise<Sound> {
  const head = await source.read(at, at + 42);
  const info = streamInfo(head.subarray(8));
  if (!info || (head[4]! & 0x7f) !== 0)
    throw new RecordingProblem(
      'broken',
      msg('This FLAC file breaks off or is damaged in its header. Copy or download it again.'),
    );
  const frames = await firstFrame(source, at);
  const promised = info.samples > 0 && info.sampleRate > 0 ? info.samples / info.sampleRate : undefined;
  const damage = { places: 0, cutOff: false };
  return {
    format: 'FLAC',
    channelCount: info.channels,
    sampleRate: info.sampleRate,
    promised,
    expected: promised,
    damage,
    chunks: async function* (): AsyncGenerator<PcmChunk> {
      const decoder = new FLACDecoder();
      await decoder.ready;
      try {
        // The header without its pictures and comments: those are searched for frames otherwise.
        const stripped = head.slice();
        stripped[4] = 0x80;
        const parts: Uint8Array[] = [stripped];
        for await (const piece of pieces(source, frames, source.size, PIECE)) {
          parts.push(piece);
          for (const part of parts.splice(0)) {
            const chunk = flacChunk(await quiet(() => decoder.decode(part)));
            damage.places += chunk.errors;
            if (chunk.pcm) yield chunk.pcm;
          }
        }
        const rest = flacChunk(await quiet(() => decoder.flush()));
        if (rest.pcm) yield rest.pcm;
      } finally {
        decoder.free();
      }
    },
  };
}

type FlacAudio = Awaited<ReturnType<FLACDecoder['decode']>>;

export function flacChunk(audio: FlacAudio): { readonly pcm?: PcmChunk; readonly errors: number } {
  const { channelData, samplesDecoded, sampleRate, errors } = audio;
  if (samplesDecoded === 0 || channelData.length === 0) return { errors: errors.length };
  return { pcm: { sampleRate, channels: channelData, order: 'wave' }, errors: errors.length };
}

/** Skips the metadata blocks; where their lengths lead out of the file, the frames are looked for after the first. */
async function firstFrame(source: ByteSource, at: number): Promise<number> {
  let next = at + 4;
  for (let n = 0; n < 1000; n++) {
    const head = await source.read(next, next + 4);
    if (head.length < 4) break;
    next += 4 + (viewOf(head).getUint32(0) & 0xffffff);
    if (next >= source.size) break;
    if (head[0]! & 0x80) return next;
  }
  return at + 42;
}
