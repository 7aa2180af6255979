import { MAX_SECONDS, MIN_SECONDS, RecordingProblem } from './problem.js';
import type { Decoded } from '../state/ports.js';
import { openContainer } from './container.js';
import { openFlac } from './flac.js';
import { id3Length, kindOf, type Kind } from './kind.js';
import { mpegSound } from './mpeg.js';
import { openOgg } from './ogg.js';
import { Sink } from './sink.js';
import type { Sound } from './sound.js';
import { pieces, type ByteSource } from './source.js';
import { openAiff, openWave } from './wave.js';

/** Peak below which a recording counts as silent: -80 dB, three steps of 16-bit sound. */
const SILENCE = 1e-4;
/** Encoders add up to a frame or two; a recording of exactly the limit is within it. */
const GRACE = 1;
const HEAD = 1 << 17;
const HASH_PIECE = 1 << 20;
/** Share of the whole work that is decoding; the rest is reading the file for its content id. */
const DECODING = 0.95;

/** Makes a SHA-256 of bytes that come piece by piece. */
export interface Hasher {
  update(bytes: Uint8Array): void;
  /** Lower-case hexadecimal. */
  hex(): string;
}

export interface DecodeOptions {
  readonly hasher: Hasher;
  readonly signal?: AbortSignal;
  /** 0 to 1. */
  readonly report?: (done: number) => void;
  /** New steps of the outline, the first of them being step `from`. */
  readonly outline?: (from: number, data: Int8Array) => void;
}

/**
 * Decodes a recording, the same way in the browser's worker and on the command line: tells its kind by content, decodes
 * it in pieces, folds and resamples on the way. Throws RecordingProblem for what cannot be used, and the signal's
 * reason when it is aborted. What is there of a damaged or broken-off file is used if it is long enough, with a warning.
 */
export async function decodeSound(source: ByteSource, fileName: string, options: DecodeOptions): Promise<Decoded> {
  if (source.size === 0)
    throw new RecordingProblem('empty', 'This file is empty (0 bytes). Copy or download it again.');
  const { signal } = options;
  let read = 0;
  const counted: ByteSource = {
    size: source.size,
    read: async (start, end) => {
      signal?.throwIfAborted();
      const bytes = await source.read(start, end);
      read += bytes.length;
      return bytes;
    },
  };
  const sound = await open(counted);
  const { promised, expected } = sound;
  if (promised !== undefined && promised > MAX_SECONDS + GRACE && isPlausible(sound, source.size))
    throw tooLong(promised);
  const sink = new Sink(Math.min(MAX_SECONDS + GRACE, Math.max(0, finite(expected) ?? 0)));
  const tell = teller(options, sink);
  let failure: unknown;
  try {
    for await (const chunk of sound.chunks()) {
      signal?.throwIfAborted();
      sink.push(chunk);
      if (sink.seconds > MAX_SECONDS + GRACE) throw tooLong();
      tell(expected ? sink.seconds / expected : read / source.size);
    }
  } catch (error) {
    signal?.throwIfAborted();
    if (error instanceof RecordingProblem && error.kind === 'too-long') throw error;
    failure = error;
  }
  const { pcm, signal: mono, peaks } = sink.finish();
  const duration = sink.duration;
  if (duration < MIN_SECONDS && failure !== undefined) throw problemOf(failure);
  check(sound, duration, sink.peak);
  const warning = warningOf(sound, duration, failure !== undefined);
  let hashed = 0;
  for await (const piece of pieces(counted, 0, source.size, HASH_PIECE)) {
    options.hasher.update(piece);
    hashed += piece.length;
    options.report?.(DECODING + (1 - DECODING) * (hashed / source.size));
  }
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

/** A header that promises more than bytes can hold (a second in less than 20) is not believed. */
function isPlausible(sound: Sound, size: number): boolean {
  return Number.isFinite(sound.promised) && size > 20 * sound.promised!;
}

function finite(value: number | undefined): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}

function check(sound: Sound, duration: number, peak: number): void {
  if (duration < MIN_SECONDS && isCutOff(sound, duration)) {
    const where = duration === 0 ? 'before its sound begins' : `after ${seconds(duration)}`;
    throw new RecordingProblem(
      'truncated',
      `The file breaks off ${where}${promise(sound, duration)}. Copy or download it again.`,
    );
  }
  if (duration === 0)
    throw new RecordingProblem(
      'broken',
      `No sound could be read from this file (${sound.format}). Export or copy it again.`,
    );
  if (duration < MIN_SECONDS)
    throw new RecordingProblem(
      'too-short',
      `This recording lasts ${seconds(duration)}; at least ${MIN_SECONDS} seconds are needed to find bars. Choose a longer one.`,
    );
  if (peak < SILENCE)
    throw new RecordingProblem(
      'silent',
      `This recording is silent from start to end (${clock(duration)}, nothing above -80 dB). Check how it was exported, or choose another.`,
    );
}

function isCutOff(sound: Sound, duration: number): boolean {
  const { promised, damage } = sound;
  if (damage.cutOff) return true;
  return finite(promised) !== undefined && promised! - duration > Math.max(0.5, 0.01 * promised!);
}

function warningOf(sound: Sound, duration: number, failed: boolean): string | undefined {
  if (failed || isCutOff(sound, duration))
    return `The file breaks off at ${clock(duration)}${promise(sound, duration)}. What is there was opened.`;
  if (sound.damage.places > 0) return 'Part of this file is damaged; the sound may have gaps there.';
  return undefined;
}

function promise({ promised }: Sound, duration: number): string {
  const due = finite(promised) === undefined ? '' : clock(promised!);
  return due === '' || due === clock(duration) ? '' : `, though its header promises ${due}`;
}

/** Words for what went wrong in a library. */
function problemOf(error: unknown): Error {
  if (error instanceof RecordingProblem) return error;
  if (error instanceof Error && error.name === 'AbortError') return error;
  if (error instanceof Error && /^(NotReadableError|NotFoundError)$/.test(error.name))
    return new RecordingProblem(
      'broken',
      'The file could not be read: it was moved, changed or is out of reach. Choose it again.',
    );
  const detail = error instanceof Error ? error.message : String(error);
  if (error instanceof RangeError && /alloc|array (buffer )?length/i.test(detail))
    return new RecordingProblem(
      'broken',
      'There is not enough memory for this recording. Close other programs or pages and try again.',
    );
  return new RecordingProblem(
    'broken',
    'This file is damaged and cannot be decoded. Copy, download or export it again.',
    { cause: error },
  );
}

function foreign(kind: Extract<Kind, { other: string }>, tagged: boolean): RecordingProblem {
  if (kind.audio)
    return new RecordingProblem(
      'no-decoder',
      `This is ${kind.other}, which is not read here. Convert it to WAV, FLAC or MP3.`,
    );
  const found = tagged ? 'This file holds a title tag but no sound after it' : `This is ${kind.other}, not a recording`;
  return new RecordingProblem(
    'not-audio',
    `${found}. Choose a recording: WAV, MP3, FLAC, Ogg Vorbis, Opus, M4A, or a video with sound.`,
  );
}

function tooLong(duration?: number): RecordingProblem {
  const found = duration === undefined ? `more than ${MAX_SECONDS / 60} minutes` : clock(duration);
  return new RecordingProblem(
    'too-long',
    `This recording lasts ${found}; up to ${MAX_SECONDS / 60} minutes can be mapped. Cut out the song and open that.`,
  );
}

/** "1:42". */
function clock(duration: number): string {
  const whole = Math.floor(duration);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

function seconds(duration: number): string {
  return `${duration.toFixed(1)} seconds`;
}

/** Says how far it is and what the outline has gained, some ten times a second. */
function teller(options: DecodeOptions, sink: Sink): (done: number) => void {
  let last = 0;
  let steps = 0;
  return (done) => {
    const now = performance.now();
    if (now - last < 100) return;
    last = now;
    options.report?.(DECODING * Math.min(1, done));
    if (!options.outline) return;
    const data = sink.outline(steps);
    options.outline(steps, data);
    steps += data.length / 2;
  };
}
