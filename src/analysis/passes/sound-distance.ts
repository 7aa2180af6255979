import { SOUND_SIZE, type BarSound } from './bar-sounds.js';

/** Share of the whole chroma in the distance of two beats; the rest is the bass. */
const CHROMA_SHARE = 0.55;
/** What two beats of which only one sounds count: neither like nor unlike. */
const ONE_SILENT = 0.5;

/**
 * Mean distance of two bars over the beats that both have, from the first on: 0 the same, about 1 unrelated. Between
 * the chords where both are typed, else between what was heard. The first is taken `shift` semitones (0 to 11) higher.
 */
export function barDistance(a: BarSound, b: BarSound, shift = 0): number {
  const beats = Math.min(a.beats, b.beats);
  const [x, y] = a.typed && b.typed ? [a.typed, b.typed] : [a.beatwise, b.beatwise];
  let sum = 0;
  for (let k = 0; k < beats; k++) {
    const chroma = cosineDistance(x, y, k * SOUND_SIZE, shift);
    const bass = cosineDistance(x, y, k * SOUND_SIZE + 12, shift);
    if (chroma === UNKNOWN) sum += bass === UNKNOWN ? ONE_SILENT : bass;
    else sum += bass === UNKNOWN ? chroma : CHROMA_SHARE * chroma + (1 - CHROMA_SHARE) * bass;
  }
  return beats > 0 ? sum / beats : ONE_SILENT;
}

/** Stands for the distance of two of which only one sounds. */
const UNKNOWN = -1;
const SILENT = 1e-6;

/** UNKNOWN where one of them is silent; 0 where both are. */
function cosineDistance(a: Float32Array, b: Float32Array, at: number, shift: number): number {
  let dot = 0;
  if (shift === 0) for (let k = at; k < at + 12; k++) dot += (a[k] as number) * (b[k] as number);
  else {
    const wrap = 12 - shift;
    for (let k = 0; k < wrap; k++) dot += (a[at + k] as number) * (b[at + k + shift] as number);
    for (let k = wrap; k < 12; k++) dot += (a[at + k] as number) * (b[at + k - wrap] as number);
  }
  // Only what is silent, or at a right angle, has none.
  if (dot === 0 && (isSilent(a, at) || isSilent(b, at))) return isSilent(a, at) && isSilent(b, at) ? 0 : UNKNOWN;
  return Math.max(0, 1 - dot);
}

function isSilent(values: Float32Array, at: number): boolean {
  let square = 0;
  for (let k = at; k < at + 12; k++) square += (values[k] as number) ** 2;
  return square < SILENT;
}

/** Median distance of bars of a song that have nothing to do with each other; never too small to compare with. */
export function unrelatedDistance(sounds: readonly BarSound[]): number {
  const distances: number[] = [];
  const stride = Math.max(1, Math.floor(sounds.length / 40));
  for (let i = 0; i < sounds.length; i += stride) {
    for (let j = i + stride; j < sounds.length; j += stride) {
      distances.push(barDistance(sounds[i] as BarSound, sounds[j] as BarSound));
    }
  }
  distances.sort((a, b) => a - b);
  return Math.max(LEAST_UNRELATED, distances[distances.length >> 1] ?? LEAST_UNRELATED);
}

const LEAST_UNRELATED = 0.4;
