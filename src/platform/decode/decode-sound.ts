import { msg } from '@lit/localize';
import type { Pcm } from '../../dsp/pcm.js';
import type { Decoded } from '../../app/kit/ports.js';
import { openContainer } from './container.js';
import { openFlac } from './flac.js';
import { check, finite, foreign, isPlausible, problemOf, tooLong, warningOf, withoutSound } from './findings.js';
import { id3Length, kindOf } from './kind.js';
import { mpegSound } from './mpeg.js';
import { openOgg } from './ogg.js';
import { MAX_SECONDS, MIN_SECONDS, RecordingProblem } from './problem.js';
import { Sink } from './sink.js';
import type { Sound } from './sound.js';
import { pieces, type ByteSource } from './source.js';
import { openAiff, openWave } from './wave.js';

/** Encoders add up to a frame or two; a recording of exactly the limit is within it. */
const GRACE = 1;
const HEAD = 1 << 17;
const HASH_PIECE = 1 << 18;
/** Most bytes read without a sample coming of them; pictures, a film's frames and tags between the sound are smaller. */
export const MOST_WITHOUT_SOUND = 1 << 26;
/** Share of the whole work that is decoding; the rest is reading the file for its content id. */
const DECODING = 0.95;

/** Makes a SHA-256 of bytes that come piece by piece. */
export interface Hasher {
  update(bytes: Uint8Array): void;
  /** Lower-case hexadecimal. */
  hex(): string;
}

/** What a file holds, its sound as the decoder gave it. */
export interface FreshlyDecoded extends Omit<Decoded, 'pcm'> {
  /** At most two channels, at most 48 kHz. */
  readonly pcm: Pcm;
}

export interface DecodeOptions {
  readonly hasher: Hasher;
  readonly signal?: AbortSignal;
  /** 0 to 1. */
  readonly report?: (done: number) => void;
  /** New steps of the outline, the first of them being step `from`. */
  readonly outline?: (from: number, data: Int8Array) => void;
  /** Only the sound is wanted: the signal for the analysis is left empty. */
  readonly soundOnly?: boolean;
}

/**
 * Decodes a recording, the same way in the browser's worker and on the command line: tells its kind by content, decodes
 * it in pieces, folds and resamples on the way. Throws RecordingProblem for what cannot be used, and the signal's
 * reason when it is aborted. What is there of a damaged or broken-off file is used if it is long enough, with a warning.
 */
export async function decodeSound(
  source: ByteSource,
  fileName: string,
  options: DecodeOptions,
): Promise<FreshlyDecoded> {
  if (source.size === 0)
    throw new RecordingProblem('empty', msg('This file is empty (0 bytes). Copy or download it again.'));
  const { signal } = options;
  let read = 0;
  // Bytes read up to the last sound; without end while it is not decoding.
  let heard = Infinity;
  const counted: ByteSource = {
    size: source.size,
    read: async (start, end) => {
      signal?.throwIfAborted();
      if (read - heard > MOST_WITHOUT_SOUND) throw withoutSound(sound.format, read - heard, source.size);
      const bytes = await source.read(start, end);
      read += bytes.length;
      return bytes;
    },
  };
  const sound = await open(counted);
  const { promised, expected } = sound;
  if (promised !== undefined && promised > MAX_SECONDS + GRACE && isPlausible(sound, source.size))
    throw tooLong(promised);
  const sink = new Sink(Math.min(MAX_SECONDS + GRACE, Math.max(0, finite(expected) ?? 0)), !options.soundOnly);
  const tell = teller(options, sink);
  let failure: Error | undefined;
  heard = read;
  try {
    for await (const chunk of sound.chunks()) {
      signal?.throwIfAborted();
      sink.push(chunk);
      heard = read;
      if (sink.seconds > MAX_SECONDS + GRACE) throw tooLong();
      tell(DECODING * Math.min(1, expected ? sink.seconds / expected : read / source.size));
    }
  } catch (error) {
    signal?.throwIfAborted();
    failure = problemOf(error);
    // Only damage leaves something that can be used: it has a library's words as its cause.
    if (!(failure instanceof RecordingProblem) || failure.cause === undefined) throw failure;
  }
  heard = Infinity;
  const { pcm, signal: mono, peaks } = sink.finish();
  const duration = sink.duration;
  if (duration < MIN_SECONDS && failure !== undefined) throw failure;
  check(sound, duration, sink.peak);
  const warning = warningOf(sound, duration, failure !== undefined);
  let hashed = 0;
  for await (const piece of pieces(counted, 0, source.size, HASH_PIECE)) {
    options.hasher.update(piece);
    hashed += piece.length;
    tell(DECODING + (1 - DECODING) * (hashed / source.size));
  }
  options.report?.(1);
  return {
    pcm,
    signal: mono,
    peaks,
    recording: {
      fileName,
      duration,
      sampleRate: sound.sampleRate,
      channels: sound.channelCount,
      contentId: options.hasher.hex(),
    },
    format: sound.format,
    ...(warning === undefined ? {} : { warning }),
  };
}

async function open(source: ByteSource): Promise<Sound> {
  let at = 0;
  let head = await source.read(0, HEAD);
  // Some files carry several tags, one after another, and some put them before other kinds than MP3.
  for (let tag = id3Length(head); tag > 0 && at + tag < source.size; tag = id3Length(head)) {
    at += tag;
    head = await source.read(at, at + HEAD);
  }
  const kind = kindOf(head, at + head.length === source.size);
  if ('other' in kind) throw foreign(kind, at > 0);
  try {
    switch (kind.sound) {
      case 'wave':
        return await openWave(source);
      case 'aiff':
        return await openAiff(source);
      case 'mpeg':
        return await mpegSound(source, at, source.size);
      case 'flac':
        return await openFlac(source, at);
      case 'ogg':
        return await openOgg(source, at);
      case 'adts':
      case 'mp4':
      case 'matroska':
        return await openContainer(source, kind.sound);
    }
  } catch (error) {
    throw problemOf(error);
  }
}

/** Says how far it is and what the outline has gained, some ten times a second. */
function teller(options: DecodeOptions, sink: Sink): (done: number) => void {
  let last = 0;
  let steps = 0;
  return (done) => {
    const now = performance.now();
    if (now - last < 100) return;
    last = now;
    options.report?.(done);
    if (!options.outline || done >= DECODING) return;
    const data = sink.outline(steps);
    options.outline(steps, data);
    steps += data.length / 2;
  };
}
