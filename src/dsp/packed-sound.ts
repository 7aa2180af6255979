import type { Seconds } from '../music/units.js';
import type { Pcm } from './pcm.js';

/**
 * Decoded sound as it is kept to be played: 16 bits a sample, half the memory of Pcm. One Int16Array a channel (1 or 2 of
 * them, equal length), `sampleRate` in Hz; a sample is its number times `unit`.
 */
export interface PackedSound {
  readonly sampleRate: number;
  readonly channels: readonly Int16Array[];
  /** A power of two. */
  readonly unit: number;
}

export const NO_SOUND: PackedSound = { sampleRate: 1, channels: [new Int16Array(0)], unit: 1 };

const HIGHEST = 32767;
/** Below what can be heard however loud it is played; silence has no loudest sample. */
const SMALLEST = 2 ** -40;

/**
 * The loudest sample sets the unit, so that what lies beyond full scale is kept and what is quiet has all 16 bits: each
 * sample is at most half a unit off, and sound of 16 bits is kept as it is.
 */
export function packedSound({ sampleRate, channels }: Pcm): PackedSound {
  const unit = Math.max(...channels.map(unitOf));
  return { sampleRate, channels: channels.map((samples) => packed(samples, unit)), unit };
}

/** The samples of one channel, nominally -1 to 1. */
export function unpacked({ channels, unit }: PackedSound, channel = 0): Float32Array {
  return Float32Array.from(channels[channel] ?? [], (number) => number * unit);
}

export function soundDuration({ channels, sampleRate }: PackedSound): Seconds {
  return (channels[0]?.length ?? 0) / sampleRate;
}

function packed(samples: Float32Array, unit: number): Int16Array {
  const numbers = new Int16Array(samples.length);
  for (let i = 0; i < samples.length; i++) numbers[i] = Math.round(samples[i]! / unit);
  return numbers;
}

/** The smallest power of two by which all samples have a number. */
function unitOf(samples: Float32Array): number {
  let [lowest, highest] = [0, 0];
  for (let i = 0; i < samples.length; i++) {
    lowest = Math.min(lowest, samples[i]!);
    highest = Math.max(highest, samples[i]!);
  }
  const loudest = Math.max(-lowest, highest);
  if (loudest === 0) return SMALLEST;
  const unit = Math.max(SMALLEST, 2 ** (Math.ceil(Math.log2(loudest)) - 15));
  return Math.round(highest / unit) > HIGHEST ? 2 * unit : unit;
}
