import { msg, str } from '@lit/localize';
import { numberText } from '../music/number-text.js';
import { changeEffort, type Shape } from '../music/shapes.js';
import type { BarIndex } from '../music/units.js';
import { barEnd, barNumber, barOf, barsOf, chordAt, chordsInBar, isIrregular } from './map-queries.js';
import type { SongMap } from './song-map.js';

/** A place worth a loop, and why. */
export interface HardSpot {
  /** Bars to loop, both included: the place with a bar before it to come from. */
  readonly first: BarIndex;
  readonly last: BarIndex;
  /** The bar that is hard. */
  readonly bar: BarIndex;
  /** The larger, the more it is worth. */
  readonly weight: number;
  /** "E7 to A at half a second a chord; bar of 2 beats". */
  readonly reasons: readonly string[];
}

export interface HardSpotsOptions {
  /** The shape of a chord on the player's instrument. */
  readonly shapeOf: (harte: string) => Shape | undefined;
  /** The chord as the player reads it. */
  readonly named: (harte: string) => string;
  /** Bars that differ from the pass before, with the sentence that says how. */
  readonly differing?: ReadonlyMap<BarIndex, string>;
  /** The speed it is played at: slower leaves more time for each change. */
  readonly speed?: number;
}

/** A change is hard from this much effort a second on (own scale; see changeEffort). */
const HARD_CHANGE = 5;
const MOST = 12;

/**
 * The places most worth a loop, worst first: a fast change between distant shapes, a bar of another length, two chords in a
 * short bar, a bar in which a pass differs from the one before. Neighbours are one spot; at most twelve.
 */
export function hardSpots(map: SongMap, options: HardSpotsOptions): readonly HardSpot[] {
  const { differing = new Map<BarIndex, string>() } = options;
  const found = barsOf(map).flatMap((bar, index): HardSpot[] => {
    if (bar.pickup) return [];
    const reasons: string[] = [];
    let weight = 0;
    const change = hardestChange(map, index, options);
    if (change && change.effort >= HARD_CHANGE) {
      reasons.push(change.text);
      weight += Math.min(4, change.effort / HARD_CHANGE);
    }
    const irregular = isIrregular(map, index);
    if (irregular) {
      const { length } = bar.beats;
      reasons.push(length === 1 ? msg('a bar of 1 beat') : msg(str`a bar of ${length} beats`));
      weight += 2;
    }
    if (irregular && chordsInBar(map, index).length > 1) {
      reasons.push(msg('two chords in it'));
      weight += 1;
    }
    const differs = differing.get(index);
    if (differs) {
      reasons.push(differs);
      weight += 1.5;
    }
    return weight > 0 ? [{ first: index, last: index, bar: index, weight, reasons }] : [];
  });
  return joined(map, found)
    .sort((a, b) => b.weight - a.weight || a.bar - b.bar)
    .slice(0, MOST);
}

/** The hardest change into or within a bar: effort over the seconds that the chord before leaves for it. */
function hardestChange(
  map: SongMap,
  index: BarIndex,
  { shapeOf, named, speed = 1 }: HardSpotsOptions,
): { readonly effort: number; readonly text: string } | undefined {
  const bar = barOf(map, index);
  if (!bar) return undefined;
  let worst: { effort: number; text: string } | undefined;
  for (const { chord } of chordsInBar(map, index)) {
    const before = chordAt(map, chord.time - 0.02);
    const [from, to] = [before && shapeOf(before.harte), shapeOf(chord.harte)];
    if (!before || !from || !to || before.harte === chord.harte) continue;
    // A chord held long leaves the hand at rest: what counts is the time until the next one has to sound.
    const next = map.chords.find(({ time }) => time > chord.time + 0.02)?.time ?? barEnd(map, index);
    const seconds = Math.min(chord.time - before.time, next - chord.time) / speed;
    const effort = changeEffort(from, to) / Math.max(0.2, Math.min(2, seconds));
    if (worst && effort <= worst.effort) continue;
    const [left, reached, time] = [named(before.harte), named(chord.harte), inSeconds(seconds)];
    worst = { effort, text: msg(str`${left} to ${reached} in ${time}`) };
  }
  return worst;
}

function inSeconds(seconds: number): string {
  const number = numberText(seconds, seconds < 0.95 ? 1 : 0);
  return msg(str`${number} s`);
}

/** Spots in neighbouring bars are practised as one; each is come to from the bar before. */
function joined(map: SongMap, spots: readonly HardSpot[]): HardSpot[] {
  const out: HardSpot[] = [];
  for (const spot of spots) {
    const last = out.at(-1);
    if (last && spot.bar - last.last <= 1 && spot.bar - last.bar < 4) {
      const worse = spot.weight > last.weight ? spot : last;
      out[out.length - 1] = {
        first: last.first,
        last: spot.last,
        bar: worse.bar,
        weight: Math.max(spot.weight, last.weight) + 0.5,
        reasons: [...new Set([...worse.reasons, ...last.reasons, ...spot.reasons])].slice(0, 3),
      };
    } else {
      out.push(spot);
    }
  }
  const count = barsOf(map).length;
  return out.map((spot) => ({ ...spot, first: Math.max(0, spot.first - 1), last: Math.min(count - 1, spot.last + 1) }));
}

/** "bar 16: a bar of 3 beats; A to D in 0.6 s". */
export function hardSpotText(map: SongMap, { bar, reasons }: HardSpot): string {
  const [number, why] = [barNumber(map, bar), reasons.join('; ')];
  return msg(str`bar ${number}: ${why}`);
}
