import { msg, str } from '@lit/localize';
import { mpegSound } from './mpeg.js';
import { deinterleave, isReadable, type PcmLayout } from './pcm-bytes.js';
import { RecordingProblem } from './problem.js';
import type { PcmChunk, Sound } from './sound.js';
import { ascii, pieces, viewOf, type ByteSource } from './source.js';

/** Chunks looked at before giving up: a damaged file may hold millions of empty ones. */
const MAX_CHUNKS = 1000;
const PIECE = 1 << 18;

interface Body {
  readonly layout: PcmLayout;
  readonly sampleRate: number;
  /** First byte of the samples, and the byte after the last that is there. */
  readonly start: number;
  readonly end: number;
  /** Bytes of samples that the header promises; undefined when it does not know, as in a stream. */
  readonly promised?: number;
  readonly format: string;
}

/** A WAV file: RIFF, big-endian RIFX, or RF64 and BW64 for more than 4 GB (EBU Tech 3306, ITU-R BS.2088). */
export async function openWave(source: ByteSource): Promise<Sound> {
  const head = await source.read(0, 12);
  const little = ascii(head, 0, 4) !== 'RIFX';
  let long: number | undefined;
  let format: Format | undefined;
  let data: { start: number; size: number } | undefined;
  for await (const chunk of chunksOf(source, little)) {
    if (chunk.id === 'ds64') {
      const sizes = await source.read(chunk.start, chunk.start + 24);
      if (sizes.length >= 16) long = Number(viewOf(sizes).getBigUint64(8, little));
    } else if (chunk.id === 'fmt ') {
      format = readFormat(await source.read(chunk.start, chunk.start + Math.min(chunk.size, 64)), little);
    } else if (chunk.id === 'data') {
      data ??= chunk;
    }
    if (format && data) break;
  }
  if (!data) throw new RecordingProblem('broken', msg('This WAV file holds no sound data. Export or copy it again.'));
  if (!format)
    throw new RecordingProblem('broken', msg('This WAV file does not say how its sound is stored. Export it again.'));
  const size = data.size === 0xffffffff && long !== undefined ? long : data.size;
  // Programs that write while recording leave 0 or the largest number where the size belongs.
  const promised =
    size === 0 || (size >= 0x7ffff000 && size !== long && data.start + size > source.size) ? undefined : size;
  const end = Math.min(source.size, data.start + (promised ?? Infinity));
  if (format.tag === 0x55 || format.tag === 0x50) return mpegSound(source, data.start, end, 'MP3 in WAV');
  const coding = CODINGS[format.tag];
  if (!coding) throw foreignCoding('WAV', `coding ${format.tag}`);
  const signed = coding === 'signed' && format.bytes === 1 ? 'unsigned' : coding;
  const layout = { coding: signed, bytes: format.bytes, littleEndian: little, channels: format.channels };
  return pcmSound(source, { layout, sampleRate: format.sampleRate, start: data.start, end, promised, format: 'WAV' });
}

const CODINGS: Readonly<Record<number, PcmLayout['coding']>> = { 1: 'signed', 3: 'float', 6: 'alaw', 7: 'ulaw' };

interface Format {
  readonly tag: number;
  readonly channels: number;
  readonly sampleRate: number;
  readonly bytes: number;
}

function readFormat(bytes: Uint8Array, little: boolean): Format | undefined {
  if (bytes.length < 14) return undefined;
  const view = viewOf(bytes);
  const plain = view.getUint16(0, little);
  const channels = view.getUint16(2, little);
  const block = view.getUint16(12, little);
  const bits = bytes.length >= 16 ? view.getUint16(14, little) : 8;
  // WAVEFORMATEXTENSIBLE keeps the real coding in the first bytes of its GUID.
  const tag = plain === 0xfffe && bytes.length >= 26 ? view.getUint16(24, little) : plain;
  // 20-bit samples stand in 3 bytes, 12-bit in 2, at the upper end: the block says how many bytes.
  const size = block > 0 && block % channels === 0 ? block / channels : Math.ceil(bits / 8);
  return { tag, channels, sampleRate: view.getUint32(4, little), bytes: size };
}

/** An AIFF or AIFF-C file (Apple's Audio Interchange File Format, 1.3 and C draft of 1991). */
export async function openAiff(source: ByteSource): Promise<Sound> {
  let common: Uint8Array | undefined;
  let data: { start: number; size: number } | undefined;
  for await (const chunk of chunksOf(source, false)) {
    if (chunk.id === 'COMM') common = await source.read(chunk.start, chunk.start + Math.min(chunk.size, 64));
    else if (chunk.id === 'SSND') data ??= chunk;
    if (common && data) break;
  }
  if (!data) throw new RecordingProblem('broken', msg('This AIFF file holds no sound data. Export or copy it again.'));
  if (!common || common.length < 18)
    throw new RecordingProblem('broken', msg('This AIFF file does not say how its sound is stored. Export it again.'));
  const view = viewOf(common);
  const kind = common.length >= 22 ? ascii(common, 18, 4).toLowerCase() : 'none';
  const coding = AIFF_CODINGS[kind];
  if (!coding) throw foreignCoding('AIFF', `coding "${kind.trim()}"`);
  const bytes = coding === 'alaw' || coding === 'ulaw' ? 1 : kind === 'fl64' ? 8 : Math.ceil(view.getInt16(6) / 8);
  const channels = view.getInt16(0);
  const layout = { coding, bytes, littleEndian: kind === 'sowt', channels };
  const offset = viewOf(await source.read(data.start, data.start + 8));
  const start = data.start + 8 + (offset.byteLength >= 4 ? offset.getUint32(0) : 0);
  const promised = view.getUint32(2) * bytes * channels;
  const end = Math.min(source.size, start + promised);
  return pcmSound(source, { layout, sampleRate: extended(view, 8), start, end, promised, format: 'AIFF' });
}

const AIFF_CODINGS: Readonly<Record<string, PcmLayout['coding']>> = {
  none: 'signed',
  twos: 'signed',
  sowt: 'signed',
  in24: 'signed',
  in32: 'signed',
  'raw ': 'unsigned',
  fl32: 'float',
  fl64: 'float',
  alaw: 'alaw',
  ulaw: 'ulaw',
};

/** An 80-bit extended number (IEEE 754-1985), as AIFF writes its sample rate. */
function extended(view: DataView, at: number): number {
  const exponent = (view.getUint16(at) & 0x7fff) - 16383;
  return view.getUint32(at + 2) * 2 ** (exponent - 31) + view.getUint32(at + 6) * 2 ** (exponent - 63);
}

interface Chunk {
  readonly id: string;
  readonly start: number;
  readonly size: number;
}

async function* chunksOf(source: ByteSource, little: boolean): AsyncGenerator<Chunk> {
  let at = 12;
  for (let n = 0; n < MAX_CHUNKS && at + 8 <= source.size; n++) {
    const head = await source.read(at, at + 8);
    if (head.length < 8) return;
    const size = viewOf(head).getUint32(4, little);
    yield { id: ascii(head, 0, 4), start: at + 8, size };
    at += 8 + size + (size & 1);
  }
}

function pcmSound(source: ByteSource, body: Body): Sound {
  const { layout, sampleRate } = body;
  if (!isReadable(layout)) {
    const found = msg(str`${layout.channels} channels of ${8 * layout.bytes} bits (${layout.coding})`);
    throw new RecordingProblem(
      'broken',
      msg(str`This ${body.format} file says that it holds ${found}. Export it again as 16 or 24 bit.`),
    );
  }
  const frame = layout.bytes * layout.channels;
  const there = Math.floor((body.end - body.start) / frame) / sampleRate;
  const promised = body.promised === undefined ? undefined : body.promised / frame / sampleRate;
  return {
    format: body.format,
    channelCount: layout.channels,
    sampleRate,
    promised,
    expected: Number.isFinite(there) ? Math.max(0, there) : undefined,
    damage: { places: 0, cutOff: promised !== undefined && promised > there + 0.001 },
    chunks: async function* (): AsyncGenerator<PcmChunk> {
      const step = frame * Math.max(1, Math.floor(PIECE / frame));
      let room: readonly Float32Array[] = [];
      for await (const piece of pieces(source, body.start, body.end, step)) {
        const channels = deinterleave(piece, layout, room);
        if (room.length === 0) room = channels;
        yield { sampleRate, channels, order: layout.channels > 8 ? 'unknown' : 'wave' };
      }
    },
  };
}

function foreignCoding(container: string, coding: string): RecordingProblem {
  return new RecordingProblem(
    'no-decoder',
    msg(
      str`This ${container} file holds sound in a form that is not read here (${coding}). Export it as 16 or 24 bit ${container}.`,
    ),
  );
}
