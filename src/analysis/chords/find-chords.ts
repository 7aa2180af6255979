import type { ChordMark } from '../../model/song-map.js';
import type { KeyLike } from '../../music/key.js';
import type { BarSlot, BeatSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { beatHarmony, HARMONY_WIDTH } from './beat-harmony.js';
import { heardLikelihoods } from './heard-likelihoods.js';
import { SHARES } from './chord-net-weights.js';
import { templateScores } from './chord-templates.js';
import { decode, type Decoded } from './decode.js';
import type { PassBars } from './pass-bars.js';
import { alignedColumns, poolPasses, type BeatRange } from './pool-passes.js';
import { CHORD_STATES, inKey, stateName, type ChordState } from './vocabulary.js';

export const CHORD_MODEL = {
  /** Weight of what the network hears: neighbouring beats are heard together, so that one beat counts less than once. */
  heard: 0.3,
  /** Weight of the templates beside it. */
  template: 0.5,
  /** Weight of how common a kind of chord is, beyond what the network makes of it. */
  common: 0.1,
  /** Cost of a chord outside the key. */
  outside: 2,
  /** Cost of a change on beat 1, in the middle of a bar, elsewhere. */
  changeDownbeat: 2,
  changeHalf: 4,
  changeOther: 7,
};

/** Log-probability of each state among the songs of the training, all roots alike. */
const STATE_SHARES = Float64Array.from(CHORD_STATES, ({ kind, root }) => {
  const share = Math.max(1e-4, SHARES[kind] as number);
  return Math.log(root === undefined ? share : share / 12);
});

const FAMILIES = Int32Array.from(CHORD_STATES, ({ family }) => family);

/**
 * Chord suggestions on the beats of `bars`: what a small network hears on each beat, decoded by a hidden Markov model whose
 * changes prefer downbeats and half-bars (after Bello & Pickens, ISMIR 2005). Confidence is the posterior of root and third,
 * 0 to 1. `key` names the chords and makes those outside it rarer; the passes of a section (`passes`, bars counted in `bars`)
 * pool what is heard in them. With `range` only the chords of these bars are looked for, the others are heard as far as they help.
 */
export function findChords(
  evidence: Evidence,
  bars: readonly BarSlot[],
  beats: readonly BeatSlot[],
  key?: KeyLike,
  passes: readonly (readonly PassBars[])[] = [],
  range: PassBars = { first: 0, last: bars.length - 1 },
): ChordMark[] {
  const beatsOf = beatRanges(bars, beats);
  const [opening, closing] = [beatsOf[range.first], beatsOf[range.last]];
  if (!opening || !closing || beats.length === 0) return [];
  const columns = alignedColumns(evidence, bars, passes, range);
  const needed = new Set(columns.flatMap((column) => column.map(({ bar }) => bar)));
  for (let bar = range.first; bar <= range.last; bar++) needed.add(bar);
  const wanted = beats.flatMap(({ bar }, beat) => (needed.has(bar) ? [beat] : []));
  const rows = heardLikelihoods(evidence, beats, wanted);
  const heard = poolPasses(rows, columns, beatsOf, STATE_SHARES, range);
  const own = beats.slice(opening.beat, closing.beat + closing.beats);
  const scores = weighed(heard, beatHarmony(evidence, own));
  return marks(decode(scores, changeCosts(bars, own), priorsIn(key), FAMILIES), own, key);
}

function beatRanges(bars: readonly BarSlot[], beats: readonly BeatSlot[]): BeatRange[] {
  const out = bars.map(() => ({ beat: 0, beats: 0 }));
  beats.forEach(({ bar }, i) => {
    const range = out[bar];
    if (!range) return;
    if (range.beats === 0) range.beat = i;
    range.beats += 1;
  });
  return out;
}

/** The scores of the decoder. In silence nothing but "no chord" is heard. */
function weighed(heard: Float64Array, harmony: Float32Array): Float64Array {
  const size = CHORD_STATES.length;
  const { heard: weight, template, common } = CHORD_MODEL;
  const fits = templateScores(harmony);
  const out = new Float64Array(heard.length);
  for (let i = 0; i < out.length; i++)
    out[i] =
      weight * (heard[i] as number) + template * (fits[i] as number) + common * (STATE_SHARES[i % size] as number);
  for (let beat = 0; beat * HARMONY_WIDTH < harmony.length; beat++) {
    if (harmony.subarray(beat * HARMONY_WIDTH, (beat + 1) * HARMONY_WIDTH).some((value) => value > 0)) continue;
    out.fill(SILENT, beat * size, (beat + 1) * size - 1);
    out[(beat + 1) * size - 1] = 0;
  }
  return out;
}

const SILENT = -8;

const priors = new Map<string, Float64Array>();

function priorsIn(key: KeyLike | undefined): Float64Array {
  const name = key ? `${key.tonic} ${key.mode}` : '';
  let own = priors.get(name);
  if (!own) {
    own = Float64Array.from(CHORD_STATES, (state) => (key && !inKey(state, key) ? -CHORD_MODEL.outside : 0));
    priors.set(name, own);
  }
  return own;
}

/** What a change of chord costs on each beat. */
function changeCosts(bars: readonly BarSlot[], beats: readonly BeatSlot[]): Float64Array {
  return Float64Array.from(beats, (beat) => {
    if (beat.place === 0) return CHORD_MODEL.changeDownbeat;
    const count = bars[beat.bar]?.bar.beats.length ?? 4;
    const half = count >= 4 && count % 2 === 0 ? count / 2 : count === 2 ? 1 : 2;
    return Math.abs(beat.place) === half ? CHORD_MODEL.changeHalf : CHORD_MODEL.changeOther;
  });
}

/** A mark where the chord or its bass changes. */
function marks(decoded: Decoded, beats: readonly BeatSlot[], key: KeyLike | undefined): ChordMark[] {
  const out: ChordMark[] = [];
  const { path, posterior } = decoded;
  let from = 0;
  for (let i = 1; i <= path.length; i++) {
    if (i < path.length && path[i] === path[from]) continue;
    const state = CHORD_STATES[path[from] as number] as ChordState;
    let sure = 0;
    for (let j = from; j < i; j++) sure += posterior[j] as number;
    out.push({
      time: (beats[from] as BeatSlot).time,
      harte: stateName(state, key),
      origin: 'suggested',
      confidence: Math.round(1000 * Math.min(1, sure / (i - from))) / 1000,
    });
    from = i;
  }
  return out;
}
