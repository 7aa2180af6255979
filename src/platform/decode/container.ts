import { msg, str } from '@lit/localize';
import {
  ADTS,
  CustomSource,
  EncodedPacketSink,
  Input,
  Logging,
  LogLevel,
  MATROSKA,
  MP4,
  QTFF,
  WEBM,
  type InputAudioTrack,
} from 'mediabunny';
import { checkIndex } from './mp4-check.js';
import {
  damagedHeader,
  flacPackets,
  mpegPackets,
  opusHead,
  opusPackets,
  pcmPackets,
  vorbisPackets,
} from './packets.js';
import type { PacketDecoder, Piece } from './packets.js';
import type { PcmLayout } from './pcm-bytes.js';
import { RecordingProblem } from './problem.js';
import { SLACK, type PcmChunk, type Sound } from './sound.js';
import type { ByteSource } from './source.js';
import { browserPackets } from './web-codecs.js';

const NAMES: Readonly<Record<string, string>> = {
  aac: 'AAC',
  opus: 'Opus',
  mp3: 'MP3',
  vorbis: 'Vorbis',
  flac: 'FLAC',
  ac3: 'AC-3',
  eac3: 'E-AC-3',
  alac: 'Apple Lossless',
  dts: 'DTS',
};
const BATCH = 32;
const BLOCK = 1 << 18;
const MAX_LOOKS = 1000;

/** The first sound track of an MP4, M4A, QuickTime, Matroska or WebM file, or a bare AAC stream. */
export async function openContainer(source: ByteSource, kind: 'mp4' | 'matroska' | 'adts'): Promise<Sound> {
  Logging.level = LogLevel.Silent;
  if (kind === 'mp4') await checkIndex(source);
  const { track, input } = await soundTrack(source, kind);
  const codec = await track.getCodec();
  const config = codec === null ? null : await track.getDecoderConfig();
  const container = await containerName(input, kind);
  const name =
    codec === null
      ? msg('sound of an unknown coding')
      : (NAMES[codec] ?? (/^pcm|law$/.test(codec) ? 'PCM' : codec.toUpperCase()));
  const format = kind === 'adts' ? 'AAC' : msg(str`${name} in ${container}`);
  const make = codec === null || config === null ? undefined : await decoderFor(codec, config);
  if (!make) throw noDecoder(format, codec === 'aac' || codec === null);
  const start = await track.getFirstTimestamp();
  const end = await track.getDurationFromMetadata().catch(() => null);
  const promised = end === null || !(end > 0) ? undefined : end - Math.max(0, start);
  const damage = { places: 0, cutOff: false };
  return {
    format,
    channelCount: await track.getNumberOfChannels(),
    sampleRate: await track.getSampleRate(),
    promised: kind === 'adts' ? undefined : promised,
    expected: promised === undefined ? undefined : promised + SLACK,
    damage,
    chunks: async function* (): AsyncGenerator<PcmChunk> {
      const { decoder, preSkip } = await make();
      // Sound before time 0, the encoder's delay, is there to be decoded and not heard: an edit list puts it there.
      const early = Math.max(preSkip, -start);
      let skip: number | undefined;
      const heard = function* (piece: Piece): Generator<PcmChunk> {
        damage.places += piece.errors;
        if (!piece.pcm) return;
        skip ??= Math.round(early * piece.pcm.sampleRate);
        const length = piece.pcm.channels[0]!.length;
        const from = Math.min(skip, length);
        skip -= from;
        if (from < length)
          yield { ...piece.pcm, channels: piece.pcm.channels.map((channel) => channel.subarray(from)) };
      };
      try {
        let batch: Uint8Array[] = [];
        for await (const packet of new EncodedPacketSink(track).packets()) {
          if (batch.push(packet.data) < BATCH) continue;
          yield* heard(await decoder.decode(batch));
          batch = [];
        }
        yield* heard(await decoder.decode(batch));
        if (decoder.finish) yield* heard(await decoder.finish());
      } finally {
        decoder.free();
      }
    },
  };
}

async function soundTrack(
  source: ByteSource,
  kind: 'mp4' | 'matroska' | 'adts',
): Promise<{ track: InputAudioTrack; input: Input }> {
  const formats = { mp4: [MP4, QTFF], matroska: [MATROSKA, WEBM], adts: [ADTS] }[kind];
  const input = new Input({
    formats,
    // Without the library's own cache every look of its parsers at the file comes here and can be counted.
    source: new CustomSource({ getSize: () => source.size, read: watchedReads(source), maxCacheSize: 0 }),
  });
  let track: InputAudioTrack | null = null;
  let tracks = 0;
  try {
    tracks = (await input.getTracks()).length;
    track = await input.getPrimaryAudioTrack();
  } catch {
    // Said below: the index is missing or cannot be read.
  }
  if (track) return { track, input };
  if (tracks > 0)
    throw new RecordingProblem(
      'not-audio',
      msg('This video has no sound track. Choose a recording or a video with sound.'),
    );
  throw new RecordingProblem(
    'truncated',
    msg(
      'The index of this file is missing or damaged: it probably breaks off before its end. Copy or download it again.',
    ),
  );
}

/**
 * Reads through a block kept in memory, and ends a parser that looks at one place again and again: on damaged files
 * some of the library's loops make no headway.
 */
function watchedReads(source: ByteSource): (from: number, to: number) => Uint8Array | Promise<Uint8Array> {
  const looks = new Map<number, number>();
  let block = new Uint8Array(0);
  let start = 0;
  return (from, to) => {
    const count = (looks.get(from) ?? 0) + 1;
    looks.set(from, count);
    if (count > MAX_LOOKS) throw new Error('container: its parts lead in a circle');
    if (from >= start && to <= start + block.length) return block.slice(from - start, to - start);
    return source.read(from, Math.max(to, from + BLOCK)).then((bytes) => {
      block = bytes as Uint8Array<ArrayBuffer>;
      start = from;
      return bytes.slice(0, to - from);
    });
  };
}

async function containerName(input: Input, kind: 'mp4' | 'matroska' | 'adts'): Promise<string> {
  if (kind === 'adts') return 'ADTS';
  const name = (await input.getFormat()).name;
  return name === 'QuickTime File Format' ? 'QuickTime' : name;
}

type Make = () => Promise<{ readonly decoder: PacketDecoder; readonly preSkip: number }>;

/** How to make the decoder; undefined when there is none here. `preSkip`: seconds to leave out at the start. */
async function decoderFor(codec: string, config: AudioDecoderConfig): Promise<Make | undefined> {
  const description = config.description === undefined ? undefined : bytesOf(config.description);
  const plain = (decoder: PacketDecoder) => ({ decoder, preSkip: 0 });
  if (codec === 'opus') {
    const head = description && opusHead(description);
    if (!head) throw damagedHeader('Opus');
    return async () => ({ decoder: await opusPackets(head), preSkip: head.preSkip / 48000 });
  }
  if (codec === 'vorbis') {
    const headers = description && vorbisHeaders(description);
    if (!headers) throw damagedHeader('Vorbis');
    return async () => plain(await vorbisPackets(headers.identification, headers.setup));
  }
  if (codec === 'flac') return async () => plain(await flacPackets());
  if (codec === 'mp3') return async () => plain(await mpegPackets(config.numberOfChannels));
  const layout = pcmLayout(codec, config.numberOfChannels);
  if (layout) return () => Promise.resolve(plain(pcmPackets(layout, config.sampleRate)));
  const probe = await browserPackets(config);
  if (!probe) return undefined;
  probe.free();
  return async () => plain((await browserPackets(config))!);
}

/** The three header packets, laced together as Matroska keeps them (RFC 9559, codec mapping A_VORBIS). */
function vorbisHeaders(bytes: Uint8Array): { identification: Uint8Array; setup: Uint8Array } | undefined {
  if (bytes[0] !== 2) return undefined;
  const sizes: number[] = [];
  let at = 1;
  while (sizes.length < 2 && at < bytes.length) {
    let size = 0;
    let byte: number;
    do {
      byte = bytes[at++] ?? 0;
      size += byte;
    } while (byte === 255);
    sizes.push(size);
  }
  const [first = 0, second = 0] = sizes;
  return { identification: bytes.slice(at, at + first), setup: bytes.slice(at + first + second) };
}

function pcmLayout(codec: string, channels: number): PcmLayout | undefined {
  if (codec === 'alaw' || codec === 'ulaw') return { coding: codec, bytes: 1, littleEndian: true, channels };
  const match = /^pcm-([suf])(\d+)(be)?$/.exec(codec);
  if (!match) return undefined;
  const coding = ({ s: 'signed', u: 'unsigned', f: 'float' } as const)[match[1] as 's' | 'u' | 'f'];
  return { coding, bytes: Number(match[2]) / 8, littleEndian: match[3] === undefined, channels };
}

function bytesOf(buffer: AllowSharedBufferSource): Uint8Array {
  return ArrayBuffer.isView(buffer)
    ? new Uint8Array(buffer.buffer, buffer.byteOffset, buffer.byteLength)
    : new Uint8Array(buffer);
}

function noDecoder(format: string, common: boolean): RecordingProblem {
  const browser = typeof AudioDecoder !== 'undefined' || typeof process === 'undefined';
  const text = browser
    ? msg(str`This browser cannot decode ${format}. Convert it to WAV, FLAC or MP3.`)
    : common
      ? msg(str`The command line cannot decode ${format}. Open it in the browser, or convert it to WAV, FLAC or MP3.`)
      : msg(str`The command line cannot decode ${format}. Convert it to WAV, FLAC or MP3.`);
  return new RecordingProblem('no-decoder', text);
}
