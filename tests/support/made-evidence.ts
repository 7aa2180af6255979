import { ONSET_BANDS, TIMBRE_SIZE, type Evidence, type Track } from '../../src/analysis/evidence/evidence.js';

/** A bar of a made song: its beats' times and whether each is struck low (kick), high (snare) or softly. */
export interface MadeBeat {
  readonly time: number;
  /** 0 is beat 1. */
  readonly place: number;
  /** Number of the chord that sounds from here on. */
  readonly chord: number;
}

export interface MadeOptions {
  /** Seconds from the first beat to the end. */
  readonly duration: number;
  /** Struck half-way between beats as well, 0 to 1. */
  readonly offBeats?: number;
  /** Where between two beats that is: 0.5, or up to 0.67 where eighths are swung. */
  readonly swing?: number;
  /** Random attacks elsewhere, 0 to 1, and the seed they come from. */
  readonly noise?: number;
  readonly seed?: number;
  /** Number of different chords, a fifth apart; 2 unless told. */
  readonly roots?: number;
  /** Leave chroma and bass empty. */
  readonly noHarmony?: boolean;
  /** The beats are eighths of 6/8: strong on 1, less so on 4, soft between. */
  readonly sixEight?: boolean;
  /** Leave all attacks the same: only the harmony tells the bars. */
  readonly plain?: boolean;
}

/** Small seeded generator (mulberry32, public domain): numbers from 0 to 1. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Beats of bars of the given lengths, `period` seconds a beat (a function of the beat's number for drift), a new chord every bar. */
export function madeBeats(
  lengths: readonly number[],
  period: number | ((beat: number) => number),
  first = 0.5,
): MadeBeat[] {
  const beats: MadeBeat[] = [];
  let time = first;
  lengths.forEach((length, bar) => {
    for (let place = 0; place < length; place++) {
      beats.push({ time, place, chord: bar });
      time += typeof period === 'number' ? period : period(beats.length - 1);
    }
  });
  return beats;
}

/** The evidence that such a song would leave: kick on beat 1, snare on every second beat, hat on all, chord by bar. */
export function madeEvidence(beats: readonly MadeBeat[], options: MadeOptions): Evidence {
  const rate = 100;
  const frames = Math.floor(options.duration * rate) + 1;
  const onset = new Uint8Array(frames * ONSET_BANDS);
  const beat = new Uint8Array(frames);
  const downbeat = new Uint8Array(frames);
  const random = seeded(options.seed ?? 1);
  const strike = (time: number, bands: readonly number[], all: number): void => {
    const centre = time * rate;
    for (let i = Math.max(0, Math.floor(centre) - 2); i <= Math.min(frames - 1, Math.ceil(centre) + 2); i++) {
      const shape = Math.exp(-0.5 * ((i - centre) / 0.8) ** 2);
      beat[i] = Math.max(beat[i] as number, Math.round(255 * all * shape));
      bands.forEach((value, band) => {
        const at = i * ONSET_BANDS + band;
        onset[at] = Math.max(onset[at] as number, Math.round(255 * value * shape));
      });
    }
  };
  beats.forEach(({ time, place }, i) => {
    if (options.plain) strike(time, [0.3, 0.3, 0.3, 0.3, 0.3], 0.7);
    else if (options.sixEight && place % 3 !== 0) strike(time, [0, 0.1, 0.1, 0.2, 0.3], 0.35);
    else if (options.sixEight && place === 3) strike(time, [0.1, 0.4, 0.7, 0.7, 0.6], 0.8);
    else if (place === 0) strike(time, [0.9, 0.5, 0.3, 0.3, 0.4], 0.9);
    else if (place % 2 === 1) strike(time, [0.1, 0.4, 0.7, 0.7, 0.7], 0.8);
    else strike(time, [0.5, 0.3, 0.2, 0.2, 0.4], 0.7);
    const next = beats[i + 1]?.time;
    if (options.offBeats && next !== undefined) {
      strike(time + (options.swing ?? 0.5) * (next - time), [0, 0, 0.1, 0.2, options.offBeats], 0.5 * options.offBeats);
    }
  });
  for (let i = 0; i < frames && options.noise; i++) {
    if (random() < 0.03)
      strike(
        i / rate,
        [random(), random(), random(), random(), random()].map((x) => x * (options.noise ?? 0)),
        random() * options.noise,
      );
  }
  for (const { time, place } of beats) if (place === 0) downbeat[Math.min(frames - 1, Math.round(time * rate))] = 200;
  return {
    version: 'made',
    duration: options.duration,
    tuning: 0,
    tracks: {
      beat: { rate, width: 1, data: beat },
      downbeat: { rate, width: 1, data: downbeat },
      onset: { rate, width: ONSET_BANDS, data: onset },
      level: { rate, width: 1, data: levelData(beats, frames, rate) },
      ...harmony(beats, options),
      timbre: { rate: 10, width: TIMBRE_SIZE, data: new Uint8Array(TIMBRE_SIZE).fill(128) },
    },
  };
}

function levelData(beats: readonly MadeBeat[], frames: number, rate: number): Uint8Array {
  const data = new Uint8Array(frames);
  const from = Math.floor((beats[0]?.time ?? 0) * rate);
  const to = Math.ceil(((beats[beats.length - 1]?.time ?? 0) + 0.4) * rate);
  data.fill(200, Math.max(0, from), Math.min(frames, to));
  return data;
}

function harmony(beats: readonly MadeBeat[], options: MadeOptions): { chroma: Track; bass: Track } {
  const rate = 10;
  const frames = Math.floor(options.duration * rate) + 1;
  const chroma = new Uint8Array(frames * 12);
  const bass = new Uint8Array(frames * 12);
  let at = 0;
  for (let i = 0; i < frames && !options.noHarmony; i++) {
    while (at + 1 < beats.length && (beats[at + 1] as MadeBeat).time <= i / rate) at++;
    const root = (((beats[at]?.chord ?? 0) % (options.roots ?? 2)) * 7) % 12;
    for (const step of [0, 4, 7]) chroma[i * 12 + ((root + step) % 12)] = step === 0 ? 255 : 180;
    bass[i * 12 + root] = 255;
  }
  return { chroma: { rate, width: 12, data: chroma }, bass: { rate, width: 12, data: bass } };
}
