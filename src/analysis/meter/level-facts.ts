import type { BarModel } from '../bars/learn-bars.js';
import type { Pulse } from '../beats/pulse.js';
import { ONSET_BANDS, type Evidence } from '../evidence/evidence.js';
import { ACCENTS, HEARD_NEAR, type BeatFeatures } from '../evidence/features/beat-features.js';
import { heardNear } from '../evidence/features/heard.js';
import { PATTERN_SIZE } from '../bars/accent-pattern.js';

/** What speaks for and against one way to count a song; the names are those of the weights in level-score.ts. */
export interface LevelFacts {
  /** Octaves from 110 beats a minute, squared above and below. */
  readonly fast: number;
  readonly slow: number;
  /** Octaves from a bar of 2 s, squared. */
  readonly barLength: number;
  /** Mean worth of the pulse on the beats, half-way between, and on thirds. */
  readonly onBeat: number;
  readonly half: number;
  readonly third: number;
  readonly quarter: number;
  /** The same on the first of the two thirds, which swung eighths leave out. */
  readonly firstThird: number;
  /** Difference between the mean worth of odd and even beats. */
  readonly parity: number;
  /** Gain of the accent pattern and of the downbeat evidence, a beat. */
  readonly pattern: number;
  readonly downbeat: number;
  /** How much more the snare's bands stand out on beats 2 and 4, the kick's on 1 and 3. */
  readonly backbeat: number;
  /** Share of irregular bars. */
  readonly irregular: number;
  readonly strength: number;
  /** Chord change at bar lines against inside bars. */
  readonly harmony: number;
  /** Attacks on the beats less those half-way between, in the kick's band, the middle and the top, as a share of both. */
  readonly lowOn: number;
  readonly midOn: number;
  readonly highOn: number;
  /** Low attacks at bar lines less those on the other beats. */
  readonly lowBar: number;
}

/** What the network says of one way to count: log odds, means over the song. */
export interface HeardFacts {
  /** Of a beat, on the beats, half-way between, and on thirds. */
  readonly on: number;
  readonly half: number;
  readonly third: number;
  /** Of beat 1, at bar lines and at the other beats. */
  readonly bar: number;
  readonly inside: number;
}

export function levelFacts(
  pulse: Pulse,
  times: readonly number[],
  period: number,
  features: BeatFeatures,
  bars: BarModel,
  strength: number,
): LevelFacts {
  const sums = { onBeat: 0, half: 0, third: 0, quarter: 0, firstThird: 0, odd: 0, even: 0 };
  for (let i = 0; i < times.length; i++) {
    const time = times[i] as number;
    const length = (times[i + 1] ?? time + period) - time;
    const here = worthAt(pulse, time);
    sums.onBeat += here;
    if (i % 2 === 0) sums.even += here;
    else sums.odd += here;
    sums.half += worthAt(pulse, time + length / 2);
    const firstThird = worthAt(pulse, time + length / 3);
    sums.firstThird += firstThird;
    sums.third += (firstThird + worthAt(pulse, time + (2 * length) / 3)) / 2;
    sums.quarter += (worthAt(pulse, time + length / 4) + worthAt(pulse, time + (3 * length) / 4)) / 2;
  }
  const n = times.length;
  const octaves = Math.log2(60 / period / 110);
  const barOctaves = Math.log2((period * bars.beats) / 2);
  const { nodes } = bars.path;
  let irregular = 0;
  let chordOn = 0;
  let down = 0;
  for (let b = 0; b + 1 < nodes.length; b++) {
    const node = nodes[b] as number;
    if ((nodes[b + 1] as number) - node !== bars.beats) irregular++;
    chordOn += features.chordChange[node] as number;
    down += bars.downbeat[node] as number;
  }
  let chordAll = 0;
  for (let i = 0; i < n; i++) chordAll += features.chordChange[i] as number;
  const barCount = Math.max(1, nodes.length - 1);
  const off = Math.max(1e-6, (chordAll - chordOn) / Math.max(1, n - barCount));
  return {
    fast: Math.max(0, octaves) ** 2,
    slow: Math.max(0, -octaves) ** 2,
    barLength: barOctaves ** 2,
    onBeat: sums.onBeat / n,
    half: sums.half / n,
    third: sums.third / n,
    quarter: sums.quarter / n,
    firstThird: sums.firstThird / n,
    parity: Math.abs(sums.odd / Math.max(1, n >> 1) - sums.even / Math.max(1, (n + 1) >> 1)),
    pattern: patternStrength(bars),
    downbeat: down / barCount,
    backbeat: backbeat(bars),
    irregular: irregular / barCount,
    strength,
    ...contrasts(features, bars),
    harmony: Math.log((chordOn / barCount + 0.02) / (off + 0.02)),
  };
}

/** How much clearer, in deviations of the pulse, the first third of the beat has to be than its half. */
const CLEARER = 0.3;

/** True when attacks lie on the first third of the beat, which swung eighths leave out, rather than on its half. */
export function isTernary(facts: LevelFacts, beats: number): boolean {
  return beats <= 4 && facts.firstThird > facts.half + CLEARER;
}

/** Undefined where the network was not asked. */
export function heardFacts(
  evidence: Evidence,
  times: readonly number[],
  period: number,
  { heard: odds }: BeatFeatures,
  bars: BarModel,
): HeardFacts | undefined {
  const { heardBeat } = evidence.tracks;
  if (!heardBeat || !odds) return undefined;
  const n = times.length;
  let [on, half, third, bar, inside] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    const time = times[i] as number;
    const next = times[i + 1] ?? time + period;
    on += heardNear(heardBeat, time, HEARD_NEAR);
    half += heardNear(heardBeat, (time + next) / 2, HEARD_NEAR);
    for (const k of [1, 2]) third += heardNear(heardBeat, time + ((next - time) * k) / 3, HEARD_NEAR) / 2;
    inside += odds[i] as number;
  }
  const { nodes } = bars.path;
  for (let b = 0; b + 1 < nodes.length; b++) bar += odds[nodes[b] as number] as number;
  const count = Math.max(1, nodes.length - 1);
  inside = (inside - bar) / Math.max(1, n - count);
  return { on: on / n, half: half / n, third: third / n, bar: bar / count, inside };
}

function worthAt(pulse: Pulse, time: number): number {
  const at = Math.round(time * pulse.rate);
  return Math.max(pulse.worth[at - 1] ?? 0, pulse.worth[at] ?? 0, pulse.worth[at + 1] ?? 0);
}

/** Mean square of the pattern's means against the spread around them: how much of each beat the bar explains. */
function patternStrength({ pattern, beats }: BarModel): number {
  let sum = 0;
  for (let k = 0; k < beats; k++) {
    for (let d = 0; d < PATTERN_SIZE; d++) {
      sum += ((pattern.means[k * PATTERN_SIZE + d] as number) / (pattern.deviation[d] as number)) ** 2;
    }
  }
  return sum / (beats * PATTERN_SIZE);
}

function backbeat({ pattern, beats }: BarModel): number {
  if (beats % 2 !== 0) return 0;
  let sum = 0;
  for (let k = 0; k < beats; k++) {
    const sign = k % 2 === 1 ? 1 : -1;
    const at = (d: number): number => pattern.means[k * PATTERN_SIZE + d] as number;
    sum += sign * ((at(2) + at(3) + at(4)) / 3 - at(0));
  }
  return sum / beats;
}

function contrasts(features: BeatFeatures, bars: BarModel): Pick<LevelFacts, 'lowOn' | 'midOn' | 'highOn' | 'lowBar'> {
  const on = new Float64Array(ONSET_BANDS);
  const half = new Float64Array(ONSET_BANDS);
  for (let i = 0; i < features.count; i++) {
    for (let band = 0; band < ONSET_BANDS; band++) {
      on[band] = (on[band] as number) + (features.accents[i * ACCENTS + band] as number);
      half[band] = (half[band] as number) + (features.accents[i * ACCENTS + ONSET_BANDS + band] as number);
    }
  }
  const share = (band: number): number =>
    ((on[band] as number) - (half[band] as number)) / ((on[band] as number) + (half[band] as number) + 1e-3);
  let bar = 0;
  const { nodes } = bars.path;
  for (let b = 0; b + 1 < nodes.length; b++) bar += features.accents[(nodes[b] as number) * ACCENTS] as number;
  const mean = (on[0] as number) / Math.max(1, features.count);
  return {
    lowOn: share(0),
    midOn: (share(1) + share(2)) / 2,
    highOn: (share(3) + share(4)) / 2,
    lowBar: bar / Math.max(1, nodes.length - 1) / (mean + 1e-3) - 1,
  };
}
