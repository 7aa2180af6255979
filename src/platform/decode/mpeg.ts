import { msg } from '@lit/localize';
import { MPEGDecoder } from 'mpg123-decoder';
import { findMpeg, mpegHeader, vbrHeader } from '../../dsp/mpeg-header.js';
import { RecordingProblem } from './problem.js';
import { quiet } from './quiet.js';
import { SLACK, type PcmChunk, type Sound } from './sound.js';
import { ascii, pieces, viewOf, type ByteSource } from './source.js';

const PIECE = 32768;
/** Frames may begin after so much of something else (a second tag, a cut-off frame). */
const SEARCH = 1 << 18;

/**
 * MPEG audio (MP3, also layers I and II) between two bytes of a file. mpg123 takes the encoder's delay and padding off
 * where the first frame tells them; where it does not, the sound is later by the decoder's and encoder's delay.
 */
export async function mpegSound(source: ByteSource, from: number, to: number, name?: string): Promise<Sound> {
  const head = await source.read(from, Math.min(to, from + SEARCH));
  const found = findMpeg(head, head.length === to - from) ?? 0;
  const first = mpegHeader(head, found);
  if (!first)
    throw new RecordingProblem(
      'broken',
      msg('This MP3 file holds no sound that can be read. Download or export it again.'),
    );
  const start = from + found;
  const end = await endOfFrames(source, start, to);
  const vbr = vbrHeader(head, found);
  const promised = vbr?.samples === undefined ? undefined : vbr.samples / first.sampleRate;
  const damage = { places: 0, cutOff: false };
  return {
    format: name ?? (first.layer === 3 ? 'MP3' : `MPEG layer ${'I'.repeat(first.layer)}`),
    channelCount: first.channels,
    sampleRate: first.sampleRate,
    promised,
    expected: (promised ?? (8 * (end - start)) / first.bitrate) + SLACK,
    damage,
    chunks: async function* (): AsyncGenerator<PcmChunk> {
      const decoder = new MPEGDecoder();
      await decoder.ready;
      try {
        for await (const piece of pieces(source, start, end, PIECE)) {
          const chunk = decodeMpeg(decoder, piece, first.channels);
          damage.places += chunk.errors;
          if (chunk.pcm) yield chunk.pcm;
        }
      } finally {
        decoder.free();
      }
    },
  };
}

/** Feeds bytes to mpg123, which always gives two channels. */
export function decodeMpeg(
  decoder: MPEGDecoder,
  bytes: Uint8Array,
  channels: number,
): { readonly pcm?: PcmChunk; readonly errors: number } {
  const { channelData, samplesDecoded, sampleRate, errors } = quiet(() => decoder.decode(bytes));
  if (samplesDecoded === 0) return { errors: errors.length };
  return { pcm: { sampleRate, channels: channelData.slice(0, channels), order: 'wave' }, errors: errors.length };
}

/** Where the frames end: before an ID3v1 tag and an APE tag, which mpg123 would take for damaged frames. */
async function endOfFrames(source: ByteSource, start: number, end: number): Promise<number> {
  let last = end;
  if (ascii(await source.read(Math.max(start, last - 128), last), 0, 3) === 'TAG') last -= 128;
  const footer = await source.read(Math.max(start, last - 32), last);
  if (footer.length === 32 && ascii(footer, 0, 8) === 'APETAGEX') {
    const view = viewOf(footer);
    const size = view.getUint32(12, true) + (view.getUint32(20, true) & 0x80000000 ? 32 : 0);
    if (size <= last - start) last -= size;
  }
  return Math.max(start, last);
}
