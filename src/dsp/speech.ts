import { resample } from './resample.js';
import { SPOKEN_WORDS } from './spoken-words.js';

/** The recording of spoken words that SPOKEN_WORDS indexes: mono, `sampleRate` in Hz. */
export interface Speech {
  readonly samples: Float32Array;
  readonly sampleRate: number;
}

/** Seconds by which one word of several follows the other: less than none, as they are spoken slowly. */
const BETWEEN = -0.03;

/** Words spoken one after another, at `sampleRate` (Hz), mono; undefined when there is a word that is not recorded. */
export function spokenSound({ samples, sampleRate: own }: Speech, words: readonly string[], sampleRate: number) {
  const places = words.map((word) => SPOKEN_WORDS[word]);
  if (places.length === 0 || places.some((place) => place === undefined)) return undefined;
  const starts: number[] = [];
  let length = 0;
  for (const [, seconds] of places as (readonly [number, number])[]) {
    starts.push(Math.max(0, length));
    length = Math.max(0, length) + Math.round((seconds + BETWEEN) * own);
  }
  const sound = new Float32Array(length + Math.round(-BETWEEN * own));
  (places as (readonly [number, number])[]).forEach(([start, seconds], i) => {
    const from = Math.round(start * own);
    const word = samples.subarray(from, from + Math.round(seconds * own));
    word.forEach((x, k) => {
      const at = starts[i]! + k;
      if (at < sound.length) sound[at]! += x;
    });
  });
  return resample(sound, own, sampleRate);
}
