import { msg, str } from '@lit/localize';
import { clockText } from '../../music/clock-text.js';
import { numberText } from '../../music/number-text.js';
import type { Kind } from './kind.js';
import { MAX_SECONDS, MIN_SECONDS, RecordingProblem } from './problem.js';
import type { Sound } from './sound.js';

/** Peak below which a recording counts as silent: -80 dB, three steps of 16-bit sound. */
const SILENCE = 1e-4;

/** A header that promises more than bytes can hold (a second in less than 20) is not believed. */
export function isPlausible(sound: Sound, size: number): boolean {
  return Number.isFinite(sound.promised) && size > 20 * sound.promised!;
}

export function finite(value: number | undefined): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}

export function check(sound: Sound, duration: number, peak: number): void {
  if (duration < MIN_SECONDS && isCutOff(sound, duration)) {
    const where = duration === 0 ? msg('before its sound begins') : msg(str`after ${seconds(duration)}`);
    throw new RecordingProblem(
      'truncated',
      msg(str`The file breaks off ${where}${promise(sound, duration)}. Copy or download it again.`),
    );
  }
  if (duration === 0)
    throw new RecordingProblem(
      'broken',
      msg(str`No sound could be read from this file (${sound.format}). Export or copy it again.`),
    );
  if (duration < MIN_SECONDS)
    throw new RecordingProblem(
      'too-short',
      msg(
        str`This recording lasts ${seconds(duration)}; at least ${MIN_SECONDS} seconds are needed to find bars. Choose a longer one.`,
      ),
    );
  if (peak < SILENCE)
    throw new RecordingProblem(
      'silent',
      msg(
        str`This recording is silent from start to end (${clockText(duration)}, nothing above -80 dB). Check how it was exported, or choose another.`,
      ),
    );
}

function isCutOff(sound: Sound, duration: number): boolean {
  const { promised, damage } = sound;
  if (damage.cutOff) return true;
  return finite(promised) !== undefined && promised! - duration > Math.max(0.5, 0.01 * promised!);
}

export function warningOf(sound: Sound, duration: number, failed: boolean): string | undefined {
  if (failed || isCutOff(sound, duration))
    return msg(
      str`The file breaks off at ${clockText(duration)}${promise(sound, duration)}. What is there was opened.`,
    );
  if (sound.damage.places > 0) return msg('Part of this file is damaged; the sound may have gaps there.');
  return undefined;
}

function promise({ promised }: Sound, duration: number): string {
  const due = finite(promised) === undefined ? '' : clockText(promised!);
  return due === '' || due === clockText(duration) ? '' : msg(str`, though its header promises ${due}`);
}

/** Words for what went wrong: in a library (with its own as `cause`), in reading or for lack of memory. */
export function problemOf(error: unknown): Error {
  if (error instanceof RecordingProblem) return error;
  // Calling off, and what Node's file system says.
  if (error instanceof Error && (error.name === 'AbortError' || 'syscall' in error)) return error;
  if (error instanceof Error && /^(NotReadableError|NotFoundError)$/.test(error.name))
    return new RecordingProblem(
      'broken',
      msg('The file could not be read: it was moved, changed or is out of reach. Choose it again.'),
    );
  const detail = error instanceof Error ? error.message : String(error);
  if (error instanceof RangeError && /alloc|array (buffer )?length/i.test(detail))
    return new RecordingProblem(
      'broken',
      msg('There is not enough memory for this recording. Close other programs or pages and try again.'),
    );
  return new RecordingProblem(
    'broken',
    msg('This file is damaged and cannot be decoded. Copy, download or export it again.'),
    { cause: error },
  );
}

export function foreign(kind: Extract<Kind, { other: string }>, tagged: boolean): RecordingProblem {
  if (kind.audio)
    return new RecordingProblem(
      'no-decoder',
      msg(str`This is ${kind.other}, which is not read here. Convert it to WAV, FLAC or MP3.`),
    );
  const found = tagged
    ? msg('This file holds a title tag but no sound after it')
    : msg(str`This is ${kind.other}, not a recording`);
  return new RecordingProblem(
    'not-audio',
    msg(str`${found}. Choose a recording: WAV, MP3, FLAC, Ogg Vorbis, Opus, M4A, or a video with sound.`),
  );
}

/** Reading the rest of a larger file for its content id takes too long for the little that can be used of it. */
const LARGEST_DAMAGED = 2 ** 30;

/** What comes before may still be used: then the cause says that it is damage. `read`, `size` of the file: in bytes. */
export function withoutSound(format: string, read: number, size: number): RecordingProblem {
  const megabytes = Math.round(read / 2 ** 20);
  return new RecordingProblem(
    'broken',
    msg(str`This ${format} file holds ${megabytes} MB in a row without sound. Copy, download or export it again.`),
    size > LARGEST_DAMAGED ? {} : { cause: read },
  );
}

export function tooLong(duration?: number): RecordingProblem {
  const found = duration === undefined ? msg(str`more than ${MAX_SECONDS / 60} minutes`) : clockText(duration);
  return new RecordingProblem(
    'too-long',
    msg(
      str`This recording lasts ${found}; up to ${MAX_SECONDS / 60} minutes can be mapped. Cut out the song and open that.`,
    ),
  );
}

function seconds(duration: number): string {
  return msg(str`${numberText(duration, 1, 1)} seconds`);
}
