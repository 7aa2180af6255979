import { ANALYSIS_RATE } from '../../src/analysis/evidence/signal.js';
import { seeded } from './made-evidence.js';

/** Chords as hertz, the bass first; invented. */
const CHORDS = [
  [110, 220, 277.2, 329.6],
  [146.8, 293.7, 370, 440],
  [164.8, 329.6, 415.3, 493.9],
  [185, 277.2, 370, 440],
] as const;

/** A small band of plucked notes and drums that plays into a signal at ANALYSIS_RATE. Same seed, same samples. */
export class PlayedBand {
  readonly signal: Float32Array;
  /** Times of all beats played, and of those that begin bars. */
  readonly beats: number[] = [];
  readonly lines: number[] = [];
  private readonly random: () => number;

  constructor(seconds: number, seed = 3) {
    this.signal = new Float32Array(Math.round(seconds * ANALYSIS_RATE));
    this.random = seeded(seed);
  }

  /**
   * So many beats from `from` on; `period` tells the length of beat i. `parts`: eighths a beat, 2 or 3. Returns where the
   * last beat ends.
   */
  play(
    from: number,
    beats: number,
    period: (i: number) => number,
    { bar = 4, parts = 2, drums = true }: { bar?: number; parts?: 2 | 3; drums?: boolean } = {},
  ): number {
    let time = from;
    for (let i = 0; i < beats; i++) {
      const length = period(i);
      const place = i % bar;
      const [bass, ...tones] = CHORDS[Math.floor(i / bar) % CHORDS.length] as (typeof CHORDS)[number];
      this.beats.push(time);
      if (place === 0) {
        this.lines.push(time);
        this.pluck(time, bass / 2, 0.25, 1);
      }
      for (const tone of tones) this.pluck(time, tone, 0.05);
      for (let k = 1; k < parts; k++) this.pluck(time + (k * length) / parts, tones[(i + k) % 3] as number, 0.06);
      if (drums) this.drum(time, length, place, parts);
      time += length;
    }
    return time;
  }

  /** Single notes at no regular distance. */
  ramble(from: number, to: number): void {
    let time = from;
    for (let k = 0; time < to; k++) {
      const chord = CHORDS[Math.floor(k / 5) % CHORDS.length] as (typeof CHORDS)[number];
      this.pluck(time, chord[Math.floor(this.random() * 4)] as number, 0.15);
      time += 0.25 + 1.6 * this.random() ** 2;
    }
  }

  /** A chord that rings and fades. */
  hold(from: number, seconds: number): void {
    for (const hertz of CHORDS[0].slice(1))
      this.add(from, seconds, (t) => 0.1 * Math.exp(-t / (0.6 * seconds)) * Math.sin(2 * Math.PI * hertz * t));
  }

  private drum(time: number, length: number, place: number, parts: number): void {
    const kick = (t: number): number => Math.sin(2 * Math.PI * (55 * t + 3 * (1 - Math.exp(-t / 0.03))));
    if (place % 2 === 0) this.add(time, 0.3, (t) => 0.5 * kick(t) * Math.exp(-t / 0.12));
    else this.add(time, 0.3, (t) => 0.25 * this.noise() * Math.exp(-t / 0.05));
    for (let k = 0; k < parts; k++)
      this.add(time + (k * length) / parts, 0.05, (t) => 0.06 * this.noise() * Math.exp(-t / 0.01));
  }

  private noise(): number {
    return 2 * this.random() - 1;
  }

  private pluck(time: number, hertz: number, level: number, fall = 0.8): void {
    const partials = [1, 0.5, 0.3, 0.15];
    this.add(time, 3 * fall, (t) => {
      const sum = partials.reduce((all, height, k) => all + height * Math.sin(2 * Math.PI * hertz * (k + 1) * t), 0);
      return level * Math.min(1, t / 0.004) * Math.exp(-t / fall) * sum;
    });
  }

  private add(time: number, seconds: number, sound: (t: number) => number): void {
    const first = Math.ceil(time * ANALYSIS_RATE);
    const end = Math.min(this.signal.length, first + seconds * ANALYSIS_RATE);
    for (let i = first; i < end; i++) this.signal[i] = (this.signal[i] as number) + sound(i / ANALYSIS_RATE - time);
  }
}
