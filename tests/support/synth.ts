import { ANALYSIS_RATE } from '../../src/analysis/evidence/signal.js';
import { parseHarte, chordPitches, bassPitch } from '../../src/music/chord.js';

/** One stretch of a synthetic song: a chord struck on every beat, over a bass note and a click of noise. */
export interface Stretch {
  readonly harte: string;
  readonly beats: number;
  /** Partials of the chord's tones: the sound's colour. */
  readonly partials?: number;
}

/**
 * A plucked accompaniment at ANALYSIS_RATE: `period` seconds a beat, from `from` seconds on, tuned `cents` above A440.
 * Beats at multiples of `bar` are louder. Same input, same samples.
 */
export function synthesise(
  stretches: readonly Stretch[],
  {
    period = 0.5,
    from = 0.5,
    cents = 0,
    bar = 4,
  }: { period?: number; from?: number; cents?: number; bar?: number } = {},
): Float32Array {
  const beats = stretches.reduce((sum, s) => sum + s.beats, 0);
  const signal = new Float32Array(Math.ceil((from + beats * period + 1) * ANALYSIS_RATE));
  const reference = 440 * 2 ** (cents / 1200);
  let noise = 1;
  let beat = 0;
  for (const { harte, beats: count, partials = 4 } of stretches) {
    const chord = parseHarte(harte);
    if (!chord) throw new RangeError(`synthesise: "${harte}" is no chord`);
    const bass = bassPitch(chord);
    const notes = chordPitches(chord).map((pitch) => 60 + pitch);
    if (bass !== undefined) notes.push(36 + bass);
    for (let k = 0; k < count; k++, beat++) {
      const first = Math.round((from + beat * period) * ANALYSIS_RATE);
      const accent = beat % bar === 0 ? 1.6 : 1;
      const length = Math.round(period * 1.1 * ANALYSIS_RATE);
      for (let i = 0; i < length && first + i < signal.length; i++) {
        const t = i / ANALYSIS_RATE;
        let value = 0;
        for (const note of notes) {
          const hertz = reference * 2 ** ((note - 69) / 12);
          for (let h = 1; h <= partials; h++) value += Math.sin(2 * Math.PI * hertz * h * t) / h;
        }
        noise = (noise * 16807) % 2147483647;
        const click = t < 0.02 ? (noise / 1073741824 - 1) * 2 * (1 - t / 0.02) : 0;
        signal[first + i] = (signal[first + i] as number) + 0.06 * accent * (value * Math.exp(-3 * t) + click);
      }
    }
  }
  return signal;
}
