import { msg, str } from '@lit/localize';
import { streamInfo } from './flac.js';
import { lastGranule, oggPages, type OggPage } from './ogg-pages.js';
import {
  damagedHeader,
  flacPackets,
  opusHead,
  opusPackets,
  vorbisHead,
  vorbisPackets,
  type PacketDecoder,
} from './packets.js';
import { RecordingProblem } from './problem.js';
import { SLACK, type Damage, type PcmChunk, type Sound } from './sound.js';
import { ascii, type ByteSource } from './source.js';

/** What the first packet of a stream tells. */
interface Head {
  readonly format: string;
  readonly sampleRate: number;
  readonly channels: number;
  /** Samples to leave out at the start. */
  readonly preSkip: number;
  /** A first position below what was decoded means that the start is left out (Vorbis I, A.2); Opus has its pre-skip. */
  readonly startsEarly: boolean;
  /** Whether a packet is a header and not sound; `count`: packets before it. */
  readonly isHeader: (packet: Uint8Array, count: number) => boolean;
  readonly decoder: (headers: readonly Uint8Array[]) => Promise<PacketDecoder>;
}

/** An Ogg file with Opus (RFC 7845), Vorbis or FLAC in it, alone or beside other streams, one after another or not. */
export async function openOgg(source: ByteSource, at: number): Promise<Sound> {
  let head: Head | undefined;
  let serial = 0;
  const others: string[] = [];
  let pages = 0;
  for await (const page of oggPages(source, at)) {
    if (!page.first || pages++ > 50) break;
    head = page.packets[0] && headOf(page.packets[0]);
    serial = page.serial;
    if (head) break;
    others.push(page.packets[0] ? foreign(page.packets[0]) : msg('nothing'));
  }
  if (!head && others.length === 0) throw damagedHeader('Ogg');
  if (!head) {
    const listed = others.reduce((all, other) => msg(str`${all} and ${other}`));
    throw new RecordingProblem(
      'no-decoder',
      msg(str`This Ogg file holds ${listed}, but no Vorbis, Opus or FLAC sound. Convert it to WAV, FLAC or MP3.`),
    );
  }
  const end = await lastGranule(source, serial);
  const damage: Damage = { places: 0, cutOff: false };
  return {
    format: head.format,
    channelCount: head.channels,
    sampleRate: head.sampleRate,
    expected: end === undefined ? undefined : Math.max(0, end - head.preSkip) / head.sampleRate + SLACK,
    damage,
    chunks: () => chunks(source, at, damage),
  };
}

async function* chunks(source: ByteSource, at: number, damage: Damage): AsyncGenerator<PcmChunk> {
  let link: Link | undefined;
  damage.cutOff = true;
  try {
    for await (const page of oggPages(source, at)) {
      // Streams that begin while ours runs are beside it; one that begins after its end goes on from it.
      if (page.first && (!link || link.begun) && page.packets[0]) {
        const head = headOf(page.packets[0]);
        if (head && (!link || link.ended || link.serial !== page.serial)) {
          link?.decoder?.free();
          link = new Link(page.serial, head, damage);
        }
      }
      if (page.serial !== link?.serial) continue;
      yield* link.take(page);
    }
    damage.cutOff = link === undefined || !link.ended;
  } finally {
    link?.decoder?.free();
  }
}

/** One stream from its first to its last page. */
class Link {
  readonly serial: number;
  readonly #head: Head;
  readonly #damage: Damage;
  readonly #headers: Uint8Array[] = [];
  decoder: PacketDecoder | undefined;
  /** Sound has come. */
  begun = false;
  ended = false;
  #sequence: number | undefined;
  /** Samples decoded before the first position is known wait here. */
  #waiting: PcmChunk[] = [];
  /** The file's position of our sample 0; undefined until the first page with sound. */
  #origin: number | undefined;
  /** Samples decoded, those left out at the start included. */
  #decoded = 0;
  #lost = false;

  constructor(serial: number, head: Head, damage: Damage) {
    this.serial = serial;
    this.#head = head;
    this.#damage = damage;
  }

  async *take(page: OggPage): AsyncGenerator<PcmChunk> {
    if (this.#sequence !== undefined && page.sequence !== this.#sequence + 1) {
      this.#lost = true;
      this.#damage.places++;
    }
    this.#sequence = page.sequence;
    this.ended ||= page.last;
    const sound = page.packets.filter((packet) => {
      if (this.begun || !this.#head.isHeader(packet, this.#headers.length)) return (this.begun = true);
      this.#headers.push(packet);
      return false;
    });
    if (sound.length === 0) return;
    this.decoder ??= await this.#head.decoder(this.#headers);
    const { pcm, errors } = await this.decoder.decode(sound);
    if (errors > 0) {
      this.#lost = true;
      this.#damage.places += errors;
    }
    if (!pcm) return;
    yield* this.#place(pcm, page);
  }

  /** Puts a page's sound where its position says: cuts the ends, fills what was lost. */
  *#place(pcm: PcmChunk, page: OggPage): Generator<PcmChunk> {
    const length = pcm.channels[0]!.length;
    const before = this.#decoded;
    this.#decoded += length;
    if (page.granule === undefined) {
      if (this.#origin === undefined) this.#waiting.push(pcm);
      else yield* this.#cut(pcm, before);
      return;
    }
    if (this.#origin === undefined) {
      // Recordings of a broadcast begin at any position; a first page that is also the last tells its end, not its start.
      this.#origin = page.last ? 0 : page.granule - this.#decoded;
      this.#origin = Math.max(this.#head.startsEarly ? -this.#decoded : 0, this.#origin);
      let at = 0;
      for (const chunk of this.#waiting.splice(0)) {
        yield* this.#cut(chunk, at);
        at += chunk.channels[0]!.length;
      }
    }
    const end = page.granule - this.#origin;
    const gap = end - this.#decoded;
    if (this.#lost && gap > 0 && gap < 60 * pcm.sampleRate) {
      const silence = pcm.channels.map(() => new Float32Array(gap));
      yield* this.#cut({ ...pcm, channels: silence }, before);
      this.#decoded += gap;
      yield* this.#cut(pcm, before + gap);
    } else {
      // Only the last page may end before its packets do.
      const keep = page.last && gap < 0 ? Math.max(0, length + gap) : length;
      yield* this.#cut(first(pcm, keep), before);
    }
    this.#lost = false;
  }

  /** Leaves out what lies before the start of the sound; `at`: samples decoded before `pcm`. */
  *#cut(pcm: PcmChunk, at: number): Generator<PcmChunk> {
    const start = Math.max(this.#head.preSkip, -(this.#origin ?? 0));
    const skip = Math.max(0, start - at);
    const rest = pcm.channels.map((channel) => channel.subarray(skip));
    if (rest[0]!.length > 0) yield { ...pcm, channels: rest };
  }
}

function first(pcm: PcmChunk, length: number): PcmChunk {
  return { ...pcm, channels: pcm.channels.map((channel) => channel.subarray(0, length)) };
}

function headOf(packet: Uint8Array): Head | undefined {
  const opus = opusHead(packet);
  if (opus)
    return {
      format: 'Opus',
      sampleRate: 48000,
      channels: opus.channels,
      preSkip: opus.preSkip,
      startsEarly: false,
      isHeader: (_, count) => count < 2,
      decoder: () => opusPackets(opus),
    };
  const vorbis = vorbisHead(packet);
  if (vorbis)
    return {
      format: 'Ogg Vorbis',
      sampleRate: vorbis.sampleRate,
      channels: vorbis.channels,
      preSkip: 0,
      startsEarly: true,
      isHeader: (_, count) => count < 3,
      decoder: ([identification, , setup]) => vorbisPackets(identification!, setup ?? new Uint8Array(0)),
    };
  const flac = ascii(packet, 0, 5) === '\x7fFLAC' ? streamInfo(packet.subarray(17)) : undefined;
  if (flac)
    return {
      format: 'FLAC in Ogg',
      sampleRate: flac.sampleRate,
      channels: flac.channels,
      preSkip: 0,
      startsEarly: false,
      // Metadata blocks come before the frames, which begin with their sync code.
      isHeader: (next) => next[0] !== 0xff,
      decoder: () => flacPackets(),
    };
  return undefined;
}

function foreign(packet: Uint8Array): string {
  if (ascii(packet, 0, 8) === 'Speex   ') return msg('Speex speech');
  if (ascii(packet, 1, 6) === 'theora') return msg('Theora video');
  return msg('a stream of an unknown kind');
}
