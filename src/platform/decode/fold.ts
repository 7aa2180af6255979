import type { ChannelOrder } from './sound.js';

/** Loudspeakers in file order by number of channels; WAV and FLAC: RFC 9639, 9.1.3. */
const WAVE = ['', 'M', 'L R', 'L R C', 'L R l r', 'L R C l r', 'L R C W l r', 'L R C W b l r', 'L R C W l r l r'];
/** Vorbis and Opus: Vorbis I, 4.3.9. */
const VORBIS = ['', 'M', 'L R', 'L C R', 'L R l r', 'L C R l r', 'L C R l r W', 'L C R l r b W', 'L C R l r l r W'];
/** Shares of left and right, ITU-R BS.775: centre and surrounds 3 dB down, the low-frequency channel left out. */
const SHARES: Readonly<Record<string, readonly [left: number, right: number]>> = {
  L: [1, 0],
  R: [0, 1],
  C: [Math.SQRT1_2, Math.SQRT1_2],
  l: [Math.SQRT1_2, 0],
  r: [0, Math.SQRT1_2],
  b: [0.5, 0.5],
  W: [0, 0],
};
/** Beyond this (12 dB over full scale) a sample is a fault of the file. */
const LOUDEST = 4;

/**
 * Folds channels to one (one channel, or an arrangement not known: the mean of all) or two (all others), weights summing
 * to 1 so that nothing clips. What is no number becomes 0, what is beyond 4 is held there. The arrays
 * are fresh, or the start of `room`'s where those are long enough.
 */
export function fold(
  channels: readonly Float32Array[],
  order: ChannelOrder,
  room: readonly Float32Array[] = [],
): Float32Array[] {
  return weightsOf(channels.length, order).map((weights, side) => {
    const out = cleared(room[side], channels[0]!.length);
    weights.forEach((weight, c) => {
      if (weight !== 0) add(out, channels[c]!, weight);
    });
    return out;
  });
}

/** An array of zeros: the start of `room` where it is long enough. */
function cleared(room: Float32Array | undefined, length: number): Float32Array {
  return room && room.length >= length ? room.subarray(0, length).fill(0) : new Float32Array(length);
}

function add(out: Float32Array, input: Float32Array, weight: number): void {
  for (let i = 0; i < out.length; i++) {
    const x = input[i]!;
    if (x >= -LOUDEST && x <= LOUDEST) out[i] = out[i]! + weight * x;
    else if (Number.isFinite(x)) out[i] = out[i]! + weight * Math.sign(x) * LOUDEST;
  }
}

function weightsOf(count: number, order: ChannelOrder): readonly (readonly number[])[] {
  const names = order === 'unknown' ? undefined : (order === 'wave' ? WAVE : VORBIS)[count]?.split(' ');
  if (count === 1 || !names) return [Array.from({ length: count }, () => 1 / count)];
  return [0, 1].map((side) => {
    const shares = names.map((name) => SHARES[name]![side]!);
    const sum = shares.reduce((total, share) => total + share, 0);
    return shares.map((share) => share / sum);
  });
}

/** The same sound with another number of channels: the mean of two, or one twice. */
export function toCount(channels: readonly Float32Array[], count: number): readonly Float32Array[] {
  if (channels.length === count) return channels;
  if (count === 2) return [channels[0]!, channels[0]!];
  return [mean(channels)];
}

/** The mean of one or two channels of one length. */
export function mean(channels: readonly Float32Array[]): Float32Array {
  const [left, right] = channels;
  if (!right) return left!;
  return left!.map((x, i) => (x + right[i]!) / 2);
}
