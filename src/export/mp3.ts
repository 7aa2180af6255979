import { ID3Writer } from 'browser-id3-writer';
import { mpegHeader } from '../dsp/mpeg-header.js';
import type { TrackTags } from './track-tags.js';
import type { Cue } from './wav.js';

/** Samples that the encoder (LAME) puts before the sound; decoders that honour the info tag take them off. */
const ENCODER_DELAY = 576;
/** Bytes of a frame's header, and of what lies between it and the tag for two channels, by MPEG version. */
const HEADER = 4;
const SIDE_INFO = (version: number): number => (version === 1 ? 32 : 17);
/** Bytes of the tag itself, its own checksum included. */
const TAG = 156;

export interface Mp3Sound {
  /** All that the encoder gave, from its first frame to its last: two channels, constant bit rate. */
  readonly coded: Uint8Array<ArrayBuffer>;
  /** Samples a channel that the encoder was given. */
  readonly samples: number;
  readonly sampleRate: number;
}

/**
 * An MP3 file in pieces: a tag with what it is and a chapter for each cue (ID3v2.3 and its chapter addendum; id3.org), then a
 * frame that says how long the encoder's delay and padding are ("Mp3 Info Tag rev 1 specifications", G. Bouvigne 2001), so that
 * readers which honour it play exactly `samples`, then the frames. Throws RangeError when `coded` is not made of whole frames.
 */
export function mp3File(sound: Mp3Sound, tags: TrackTags, cues: readonly Cue[]): readonly Uint8Array<ArrayBuffer>[] {
  return [id3(sound, tags, cues), infoFrame(sound), sound.coded];
}

function id3({ samples, sampleRate }: Mp3Sound, tags: TrackTags, cues: readonly Cue[]): Uint8Array<ArrayBuffer> {
  const { title, artist, bpm, key, speed } = tags;
  const writer = new ID3Writer(new ArrayBuffer(0));
  const ms = (frames: number): number => Math.round((1000 * frames) / sampleRate);
  writer.setFrame('TIT2', title).setFrame('TSSE', 'Barwright').setFrame('TLEN', ms(samples));
  if (artist !== undefined) writer.setFrame('TPE1', [artist]);
  if (bpm !== undefined) writer.setFrame('TBPM', Math.round(bpm));
  if (key !== undefined) writer.setFrame('TKEY', `${key.tonic}${key.mode === 'minor' ? 'm' : ''}`);
  writer.setFrame('TXXX', { description: 'Speed', value: `${Math.round(100 * speed)} %` });
  // The table of contents counts in one byte.
  const chapters = cues.slice(0, 255);
  if (chapters.length > 0) {
    const ids = chapters.map((_, i) => `chp${i}`);
    writer.setFrame('CTOC', { id: 'toc', childElementIds: ids, ordered: true, topLevel: true });
    chapters.forEach(({ frame, label }, i) =>
      writer.setFrame('CHAP', {
        id: ids[i]!,
        startTime: ms(frame),
        endTime: ms(chapters[i + 1]?.frame ?? samples),
        subFrames: { TIT2: label },
      }),
    );
  }
  return new Uint8Array(writer.addTag());
}

function infoFrame({ coded, samples }: Mp3Sound): Uint8Array<ArrayBuffer> {
  const first = mpegHeader(coded, 0);
  if (!first) throw new RangeError('mp3File: no MPEG frame at byte 0; give what the encoder gave, whole');
  const frames = countFrames(coded);
  const padding = Math.max(0, frames * first.samples - ENCODER_DELAY - samples);
  // Without the padding bit, whose byte this frame does not have.
  const bare = coded.slice(0, HEADER);
  bare[2]! &= ~2;
  const length = mpegHeader(bare, 0)!.size;
  const bytes = new Uint8Array(length);
  const view = new DataView(bytes.buffer);
  bytes.set(bare);
  const at = HEADER + SIDE_INFO(first.version);
  const text = (place: number, words: string): void => {
    for (let i = 0; i < words.length; i++) bytes[at + place + i] = words.charCodeAt(i);
  };
  text(0, 'Info');
  // All four parts are there: frames, bytes, table of contents, quality.
  view.setUint32(at + 4, 15);
  view.setUint32(at + 8, frames);
  view.setUint32(at + 12, length + coded.length);
  for (let i = 0; i < 100; i++) bytes[at + 16 + i] = Math.floor((256 * i) / 100);
  text(120, 'LAME3.100');
  // Revision 0, constant bit rate.
  bytes[at + 129] = 1;
  bytes[at + 140] = Math.min(255, first.bitrate / 1000);
  view.setUint32(at + 140, ((bytes[at + 140]! << 24) | (ENCODER_DELAY << 12) | Math.min(0xfff, padding)) >>> 0);
  view.setUint32(at + 148, length + coded.length);
  view.setUint16(at + 152, crc16(coded));
  view.setUint16(at + 154, crc16(bytes.subarray(0, at + TAG - 2)));
  return bytes;
}

function countFrames(all: Uint8Array): number {
  let count = 0;
  for (let at = 0; at < all.length; count++) {
    const header = mpegHeader(all, at);
    if (!header) throw new RangeError(`mp3File: no MPEG frame at byte ${at}; give what the encoder gave, whole`);
    at += header.size;
  }
  return count;
}

/** CRC-16 with the polynomial 0x8005, reflected, as the tag's specification has it. */
function crc16(bytes: Uint8Array): number {
  let crc = 0;
  for (const byte of bytes) crc = (crc >>> 8) ^ CRC_TABLE[(crc ^ byte) & 0xff]!;
  return crc;
}

const CRC_TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xa001 : crc >>> 1;
  return crc;
});
