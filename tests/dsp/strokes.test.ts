import { describe, expect, it } from 'vitest';
import { pluckedString } from '../../src/dsp/sound-bank.js';
import { StrokeDetector } from '../../src/dsp/strokes.js';

const RATE = 48000;

/** Strums (six strings, 8 ms apart) at these times over the hiss of a room; a seeded generator, so always the same. */
function strummed(times: readonly number[], { loud = 0.5, hiss = 0.002, rate = RATE } = {}): Float32Array {
  const sound = new Float32Array(Math.round((times.at(-1)! + 1.5) * rate));
  let seed = 5;
  for (let i = 0; i < sound.length; i++) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    sound[i] = hiss * (seed / 2 ** 31 - 1);
  }
  times.forEach((time, k) => {
    [40, 47, 52, 56, 59, 64].forEach((note, string) => {
      const string_ = pluckedString(440 * 2 ** ((note - 69) / 12), rate);
      const from = Math.round((time + string * 0.008) * rate);
      const gain = loud * (k % 3 === 0 ? 1 : 0.6);
      for (let i = 0; i < string_.length && from + i < sound.length; i++) sound[from + i]! += (gain * string_[i]!) / 3;
    });
  });
  return sound;
}

function heard(sound: Float32Array, rate = RATE, block = 128): number[] {
  const strokes: number[] = [];
  const detector = new StrokeDetector(rate, (frame) => strokes.push(frame / rate));
  for (let from = 0; from < sound.length; from += block) detector.push(sound.subarray(from, from + block));
  return strokes;
}

/** Uneven, as people play; the strings ring on under the next stroke. */
const TIMES = Array.from({ length: 24 }, (_, i) => 0.5 + i * 0.31 + 0.03 * Math.sin(i * 1.7));

describe('strokes', () => {
  it.each([44100, 48000])('are found within 5 ms, each once, at %i Hz, loud and soft', (rate) => {
    for (const loud of [0.9, 0.1]) {
      const strokes = heard(strummed(TIMES, { loud, rate }), rate);
      expect(strokes).toHaveLength(TIMES.length);
      strokes.forEach((at, i) => expect(Math.abs(at - TIMES[i]!), `stroke ${i} at ${loud}`).toBeLessThan(0.005));
    }
  });

  it('are the same however the sound is cut', () => {
    const sound = strummed(TIMES);
    expect(heard(sound, RATE, 1000)).toEqual(heard(sound));
  });

  it('are none in silence, in a hiss or in a tone that swells', () => {
    const room = strummed([0.5], { loud: 0 });
    const swell = room.map((x, i) => x + 0.4 * Math.min(1, i / RATE) * Math.sin((2 * Math.PI * 220 * i) / RATE));
    expect(heard(new Float32Array(RATE))).toEqual([]);
    expect(heard(strummed([0], { loud: 0, hiss: 0.05 }))).toEqual([]);
    expect(heard(swell)).toEqual([]);
  });
});
