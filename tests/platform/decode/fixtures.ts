import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { decodeSound, type FreshlyDecoded } from '../../../src/platform/decode/decode-sound.js';
import { pieceHasher } from '../../../src/platform/decode/hash.js';
import { RecordingProblem } from '../../../src/platform/decode/problem.js';
import { bytesSource } from '../../../src/platform/decode/source.js';

/** A file of fixtures/, made by make-fixtures.mjs. */
export function fixture(name: string): Uint8Array {
  return new Uint8Array(readFileSync(join(import.meta.dirname, 'fixtures', name)));
}

/** Fixtures with the clicks of signals.ts whose encoder or container says where the sound begins; what they are. */
export const EXACT: Readonly<Record<string, { format: string; rate: number; channels: number }>> = {
  'mono.mp3': { format: 'MP3', rate: 44100, channels: 1 },
  'vbr.mp3': { format: 'MP3', rate: 44100, channels: 2 },
  '8k.mp3': { format: 'MP3', rate: 8000, channels: 1 },
  'stereo.flac': { format: 'FLAC', rate: 44100, channels: 2 },
  'six-channels-192k.flac': { format: 'FLAC', rate: 192000, channels: 6 },
  'flac.oga': { format: 'FLAC in Ogg', rate: 44100, channels: 1 },
  'flac.mp4': { format: 'FLAC in MP4', rate: 44100, channels: 1 },
  'stereo.ogg': { format: 'Ogg Vorbis', rate: 44100, channels: 2 },
  '8k.ogg': { format: 'Ogg Vorbis', rate: 8000, channels: 1 },
  'six-channels.ogg': { format: 'Ogg Vorbis', rate: 48000, channels: 6 },
  'stereo.opus': { format: 'Opus', rate: 48000, channels: 2 },
  'six-channels.opus': { format: 'Opus', rate: 48000, channels: 6 },
  'opus.mp4': { format: 'Opus in MP4', rate: 48000, channels: 1 },
  'video.webm': { format: 'Opus in WebM', rate: 48000, channels: 2 },
  'vorbis.webm': { format: 'Vorbis in WebM', rate: 44100, channels: 2 },
  'pcm.mov': { format: 'PCM in QuickTime', rate: 8000, channels: 1 },
};
/** The same for AAC, which only the browser decodes. */
export const BROWSER_ONLY = ['stereo.m4a', '48k.m4a', 'video.mp4', 'fragmented.mp4'];

export function decodeBytes(bytes: Uint8Array, name = 'recording'): Promise<FreshlyDecoded> {
  return decodeSound(bytesSource(bytes), name, { hasher: pieceHasher() });
}

/** The problem that decoding ends with; throws when it does not end with one. */
export async function problemWith(bytes: Uint8Array): Promise<RecordingProblem> {
  const outcome = await decodeBytes(bytes).then(
    () => new Error('it was decoded'),
    (error: Error) => error,
  );
  if (outcome instanceof RecordingProblem) return outcome;
  throw outcome;
}
