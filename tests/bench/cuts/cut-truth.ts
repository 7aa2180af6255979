import type { KnownSong } from '../measures/judge.js';

/** Beats `first` to `first + count - 1`, by their place among the song's beats, taken out or played once more. */
export interface Cut {
  readonly action: 'remove' | 'repeat';
  readonly first: number;
  readonly count: number;
}

/** What is known of a song that can be cut. */
export interface SongTruth extends KnownSong {
  readonly bars: readonly Pair[];
  readonly beats_per_bar: number;
  readonly irregular_bars: number;
  readonly duration: number;
  /** Beats a minute. */
  readonly tempo: number;
}

type Pair = readonly [start: number, beats: number];
type Either = NonNullable<KnownSong['either']>[number];

/** Rounding of the truth's times, in seconds. */
const SAME = 0.002;

/** Places among the beats at which the bars begin. */
export function barPlaces({ beats, bars }: Pick<SongTruth, 'beats' | 'bars'>): number[] {
  return bars.map(([start]) => {
    const place = beats.findIndex(([time]) => Math.abs(time - start) <= SAME);
    if (place < 0) throw new RangeError(`barPlaces: found no beat where a bar begins, at ${start} s`);
    return place;
  });
}

/** Seconds from the beat where the stretch begins to the one where it ends. */
export function cutLength({ beats }: Pick<SongTruth, 'beats'>, { first, count }: Cut): number {
  const [from, to] = [beats[first], beats[first + count]];
  if (!from || !to) throw new RangeError(`cutLength: found no beat after the stretch of ${count} from beat ${first}`);
  return to[0] - from[0];
}

/**
 * What is known of the song once it is cut.
 *
 * Beats taken out of one bar shorten it; beats taken out across a bar line leave one bar of what remains on both sides, or
 * two (`either`); repeated beats, all of one bar, lengthen it. A bar whose end is repeated may as well be a whole one
 * and one of the beats that come again, and the same the other way round where its beginning is. Everything later keeps
 * its distance to the beats around it. Throws RangeError for a stretch that is not inside the bars or touches one that
 * can be written in several ways already.
 */
export function cutTruth(truth: SongTruth, cut: Cut): SongTruth {
  const { action, first, count } = cut;
  const places = barPlaces(truth);
  const length = cutLength(truth, cut);
  const end = first + count;
  const k = places.filter((place) => place <= first).length - 1;
  const next = places[k + 1];
  const own = truth.bars[k];
  if (!own || next === undefined) throw new RangeError('cutTruth: the stretch begins outside the whole bars');
  const across = end > next;
  const last = across ? places[k + 2] : next;
  if (last === undefined || end > last) throw new RangeError('cutTruth: the stretch touches more than two bars');
  if (across && action === 'repeat') throw new RangeError('cutTruth: a stretch that is repeated is of one bar');
  if (action === 'remove' && !across && count >= own[1]) throw new RangeError('cutTruth: nothing is left of the bar');
  const start = places[k] as number;
  const [from, to] = [(truth.beats[start] as Pair)[0], (truth.beats[last] as Pair)[0]];
  for (const either of truth.either ?? []) {
    if (either.from < to + SAME && either.to > from - SAME)
      throw new RangeError('cutTruth: the stretch can be written in several ways already');
  }
  const moved = action === 'remove' ? -length : length;
  const after = (time: number): number => round(time + moved);
  const shifted = ([time, place]: Pair): Pair => [after(time), place];
  const kept = truth.beats.slice(0, action === 'remove' ? first : end);
  const beats = [...kept, ...truth.beats.slice(action === 'remove' ? end : first).map(shifted)];
  const total = last - start + (action === 'remove' ? -count : count);
  const changed: Pair = [own[0], total];
  const bars: Pair[] = [...truth.bars.slice(0, k), changed, ...truth.bars.slice(k + (across ? 2 : 1)).map(shifted)];
  const ways = dividedAfter(action, across, { first, end, start, next }).map((n): readonly Pair[] => [
    [own[0], n],
    [(beats[start + n] as Pair)[0], total - n],
  ]);
  const either = (truth.either ?? []).map((one) => (one.from >= to - SAME ? moveEither(one, shifted, after) : one));
  if (ways.length > 0) either.push({ from: own[0], to: after(to), bars: [[changed], ...ways] });
  return {
    ...truth,
    beats: withPlaces(beats, bars, places[0] as number),
    bars,
    irregular_bars: bars
      .slice(0, truth.last_bar_open ? -1 : undefined)
      .filter(([, number]) => number !== truth.beats_per_bar).length,
    judged: [truth.judged[0], after(truth.judged[1])],
    duration: after(truth.duration),
    ...(either.length > 0 && { either: either.sort((a, b) => a.from - b.from) }),
  };
}

interface Places {
  readonly first: number;
  readonly end: number;
  readonly start: number;
  readonly next: number;
}

/** After how many beats the changed bar may as well be divided. */
function dividedAfter(action: Cut['action'], across: boolean, { first, end, start, next }: Places): number[] {
  if (action === 'remove') return across && first > start ? [first - start] : [];
  return [...new Set([...(end === next ? [next - start] : []), ...(first === start ? [end - first] : [])])];
}

function moveEither(one: Either, shifted: (pair: Pair) => Pair, after: (time: number) => number): Either {
  return { from: after(one.from), to: after(one.to), bars: one.bars.map((way) => way.map(shifted)) };
}

/** Places in the bar counted anew from the first bar on; those of a pickup stay. */
function withPlaces(beats: readonly Pair[], bars: readonly Pair[], first: number): Pair[] {
  const out = beats.map((beat): Pair => beat);
  let at = first;
  bars.forEach(([, number], i) => {
    const end = i === bars.length - 1 ? beats.length : at + number;
    for (let k = at; k < Math.min(end, beats.length); k++) out[k] = [(beats[k] as Pair)[0], k - at + 1];
    at = end;
  });
  return out;
}

function round(time: number): number {
  return Math.round(1e6 * time) / 1e6;
}
