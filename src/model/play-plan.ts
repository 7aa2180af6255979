import { beatsOf, beatStartsOf } from '../music/meter.js';
import type { Tuning } from '../music/tuning.js';
import type { BarIndex, Seconds } from '../music/units.js';
import { JOIN, type Piece, type Sounding } from '../music/timeline.js';
import { announcements } from './announcements.js';
import { countUpTo, indexOf } from './map-index.js';
import { isIrregular, sectionOfBar } from './map-queries.js';
import { shownChord, shownMap, shownShift } from './shown-chords.js';
import type { Bar, SongMap } from './song-map.js';
import { songShape } from './song-shapes.js';
import { strokesInBar, strokeSounds } from './strum-sounds.js';

/** A stretch of the recording that is to be played, from <= until. */
export interface PlayStretch {
  readonly from: Seconds;
  readonly until: Seconds;
}

/** So many bars are counted before playing starts, or so many beats. */
export type CountIn = { readonly bars: 0 | 1 | 2 } | { readonly beats: number };

export interface ClickWish {
  readonly on: boolean;
  /** Clicks a beat: 2 eighths, 3 triplets, 4 sixteenths of a quarter. */
  readonly parts: 1 | 2 | 3 | 4;
  /** Only in the first bar that is played. */
  readonly firstBarOnly: boolean;
  /** Sounds in `sound` bars of every `of`, to test one's own time; without it in all. */
  readonly dropOut?: { readonly sound: number; readonly of: number };
}

export interface PlayWish {
  /** 0.4 to 1.3: half as fast is 0.5. */
  readonly speed: number;
  readonly countIn: CountIn;
  /** Numbers are spoken instead of ticked. */
  readonly spoken: boolean;
  readonly click: ClickWish;
  /** Strums are heard on this instrument, in the sections that have a pattern. */
  readonly strum?: Tuning;
  /** Semitones by which its strings sound higher, as the recording does that it plays along with. */
  readonly strumShift?: number;
  /** Chords are spoken before they begin. */
  readonly announce?: boolean;
}

/** A beat that is counted before playing starts: from when to when on the timeline, its number, and how many the bar has. */
export interface CountMark {
  readonly at: Seconds;
  readonly until: Seconds;
  readonly number: number;
  readonly of: number;
}

/** What sounds, and what is counted, on a timeline that begins at 0: the same for what is heard and what is written. */
export interface PlayPlan {
  readonly pieces: readonly Piece[];
  readonly soundings: readonly Sounding[];
  readonly counts: readonly CountMark[];
  /** Bars begun, those before the plan included. */
  readonly bars: number;
  readonly end: Seconds;
}

export interface PlanOptions {
  /** Where on the timeline the plan begins; 0 without. */
  readonly at?: Seconds;
  /** Goes on from what sounds already: no lead for the first fade. */
  readonly flowing?: boolean;
  /** How many bars have been played before, for clicks that count bars. */
  readonly barsBefore?: number;
}

/**
 * Plans to play `stretches` of the recording one after another, the first after its count-in. Stretches that follow one another in the recording flow; others are joined.
 * Throws when the speed is not above 0.
 */
export function planPlay(
  map: SongMap,
  stretches: readonly PlayStretch[],
  wish: PlayWish,
  { at = 0, flowing = false, barsBefore = 0 }: PlanOptions = {},
): PlayPlan {
  if (!(wish.speed > 0)) throw new RangeError(`planPlay: found a speed of ${wish.speed}; give one above 0`);
  const first = stretches[0];
  if (!first) return { pieces: [], soundings: [], counts: [], bars: barsBefore, end: at };
  const counted = countIn(map, first, wish, at, flowing ? 0 : JOIN);
  let next = counted.begins;
  let bars = barsBefore;
  const pieces: Piece[] = [];
  const soundings: Sounding[] = [...counted.soundings];
  for (const { from, until } of stretches) {
    if (!(until > from)) continue;
    const piece: Piece = { at: next, from, until, rate: wish.speed };
    const clicks = clicksIn(map, piece, wish.click, bars);
    bars = clicks.bars;
    soundings.push(...clicks.soundings, ...(wish.strum ? strumsIn(map, piece, wish.strum, wish.strumShift) : []));
    next += (until - from) / wish.speed;
    const last = pieces.at(-1);
    if (last && last.until === from) pieces[pieces.length - 1] = { ...last, until };
    else pieces.push(piece);
  }
  // Over a spoken count nothing else is said.
  if (wish.announce) soundings.push(...announcements(shownMap(map), pieces, wish.spoken ? counted.over - 0.01 : at));
  return { pieces, soundings, counts: counted.counts, bars, end: next };
}

/** How many bars begin to sound in a stretch, one that it begins in the middle of included. */
export function barsBegunIn(map: SongMap, { from, until }: PlayStretch): number {
  const { beats, barOfBeat } = indexOf(map);
  const first = barOfBeat[countUpTo(beats, from - EARLY)];
  const last = barOfBeat[countUpTo(beats, until - EARLY) - 1];
  return first === undefined || last === undefined ? 0 : Math.max(0, last - first + 1);
}

/** A beat this little before a stretch belongs to it: times that came by another way differ in the last digits. */
export const EARLY = 0.001;

interface Counted {
  readonly soundings: readonly Sounding[];
  readonly counts: readonly CountMark[];
  /** When the recording begins to sound, and when all is counted: later where what comes before the first beat is heard under it. */
  readonly begins: Seconds;
  readonly over: Seconds;
}

/**
 * The beats counted before a stretch, at the tempo that starts there: whole bars of its bar's own number of beats, and, where
 * playing starts within a bar or with a pickup, that bar's beats before it, so that beat 1 falls where it should. Before the
 * first beat of all the count runs up to that beat. The recording begins at least `lead` after `at`.
 */
function countIn(map: SongMap, { from, until }: PlayStretch, wish: PlayWish, at: Seconds, lead: Seconds): Counted {
  const { beats, barOfBeat, firstBeat, bars } = indexOf(map);
  const here = Math.max(0, Math.min(countUpTo(beats, from + EARLY) - 1, beats.length - 1));
  const bar = bars[barOfBeat[here] ?? -1];
  const asked = 'beats' in wish.countIn ? Math.max(0, Math.round(wish.countIn.beats)) : wish.countIn.bars;
  if (!bar || asked === 0) return { soundings: [], counts: [], begins: at + lead, over: at + lead };
  const isPickup = bar.pickup === true;
  const whole = isPickup ? beatStartsOf(map.prevailing) : bar.beats.length;
  const inBar = here - (firstBeat[barOfBeat[here]!] ?? 0) + (isPickup ? Math.max(0, whole - bar.beats.length) : 0);
  const count = 'beats' in wish.countIn ? asked : asked * whole + inBar;
  const period = beatPeriod(beats, here) / wish.speed;
  // From the beat to where playing starts, between two beats, say; below 0 where it starts before the first beat.
  const past = (from - beats[here]!) / wish.speed;
  const late = past > 0 ? (past < period ? past : 0) : until > beats[here]! ? past : 0;
  const over = Math.max(at + count * period, at + lead - late);
  const counts = Array.from({ length: count }, (_, i): CountMark => {
    // Counted backwards from the place, which is beat `inBar` of its bar.
    const number = (((inBar - count + i) % whole) + whole) % whole;
    const begins = over - (count - i) * period;
    return { at: begins, until: begins + period, number: number + 1, of: whole };
  });
  const soundings = counts.map(({ at, number }): Sounding => {
    if (wish.spoken && number <= 12) return { at, sound: `say ${number}`, gain: 1, bus: 'count' };
    return { at, sound: number === 1 ? 'count one' : 'count', gain: 1, bus: 'count' };
  });
  return { soundings, counts, begins: over + late, over: Math.max(over, over + late) };
}

/** Seconds a beat where the beat with index `here` starts: the median of the four that follow, so that no single one decides. */
function beatPeriod(beats: readonly Seconds[], here: number): Seconds {
  const first = Math.max(0, Math.min(here, beats.length - 2));
  const lengths = beats.slice(first, first + 5).flatMap((beat, i, all) => (i > 0 ? [beat - all[i - 1]!] : []));
  lengths.sort((a, b) => a - b);
  return lengths.length > 0 ? lengths[lengths.length >> 1]! : 0.5;
}

/** The clicks of a piece, and how many bars have begun by its end. */
function clicksIn(
  map: SongMap,
  piece: Piece,
  wish: ClickWish,
  barsBefore: number,
): { readonly soundings: readonly Sounding[]; readonly bars: number } {
  const { beats, barOfBeat, firstBeat, bars } = indexOf(map);
  const soundings: Sounding[] = [];
  let begun = barsBefore;
  let last = -1;
  const timeOf = (place: Seconds) => Math.max(0, piece.at + (place - piece.from) / piece.rate);
  for (let b = countUpTo(beats, piece.from - EARLY); b < beats.length && beats[b]! < piece.until - EARLY; b++) {
    const index = barOfBeat[b]!;
    const bar = bars[index]!;
    if (index !== last) begun++;
    last = index;
    const number = begun - 1;
    if (!wish.on || (wish.firstBarOnly && number > 0)) continue;
    if (wish.dropOut && number % wish.dropOut.of >= wish.dropOut.sound) continue;
    const inBar = b - firstBeat[index]!;
    const one = inBar === 0 && bar.pickup !== true;
    const sound = one ? (isIrregular(map, index) ? 'odd' : 'one') : 'beat';
    soundings.push({ at: timeOf(beats[b]!), sound, gain: 1, bus: 'click' });
    for (const place of partTimes(map, index, inBar, wish.parts)) {
      if (place < piece.until - EARLY) soundings.push({ at: timeOf(place), sound: 'part', gain: 0.6, bus: 'click' });
    }
  }
  return { soundings, bars: begun };
}

/** Times of the parts of beat `beat` (from 0) of a bar, the beat itself left out; a beat cut short has those that fall into it. */
export function partTimes(map: SongMap, index: BarIndex, beat: number, parts: 1 | 2 | 3 | 4): readonly Seconds[] {
  const { bars, ends } = indexOf(map);
  const swing = map.sections[sectionOfBar(map, index) ?? -1]?.swing ?? 1;
  return parts === 1 ? [] : partsOf(bars[index]!, ends[index]!, beat, parts, swing);
}

function partsOf(bar: Bar, barEnd: Seconds, beat: number, parts: 1 | 2 | 3 | 4, swing: number): readonly Seconds[] {
  const start = bar.beats[beat]!;
  const end = bar.beats[beat + 1] ?? barEnd;
  const length = beatsOf(bar.meter) - beat;
  const whole = (end - start) / (bar.pickup ? 1 : Math.min(1, length));
  return sharesOf(parts, swing).flatMap((share) =>
    start + whole * share < end - EARLY ? [start + whole * share] : [],
  );
}

/** The strums of a piece. */
function strumsIn(map: SongMap, piece: Piece, tuning: Tuning, shift = 0): readonly Sounding[] {
  const { beats, barOfBeat } = indexOf(map);
  // Heard in the shapes that are shown: behind the capo they sound higher.
  const move = shownShift(map.fingered ?? {});
  const shapeOf = (harte: string) => songShape(map, shownChord(map, harte), tuning).shape;
  const first = barOfBeat[Math.max(0, countUpTo(beats, piece.from + EARLY) - 1)] ?? 0;
  const last = barOfBeat[countUpTo(beats, piece.until - EARLY) - 1] ?? -1;
  const sounds: Sounding[] = [];
  for (let bar = first; bar <= last; bar++) {
    for (const stroke of strokesInBar(map, bar)) {
      if (stroke.time < piece.from - EARLY || stroke.time >= piece.until - EARLY) continue;
      const at = Math.max(0, piece.at + (stroke.time - piece.from) / piece.rate);
      sounds.push(...strokeSounds(stroke, at, tuning, shapeOf, shift - move));
    }
  }
  return sounds;
}

/** Where in a beat its parts lie, 0 to 1, the beat itself left out; the second eighth waits in a swung section. */
export function sharesOf(parts: 1 | 2 | 3 | 4, swing: number): readonly number[] {
  const eighth = swing / (1 + swing);
  if (parts === 1) return [];
  if (parts === 3) return [1 / 3, 2 / 3];
  if (parts === 2) return [eighth];
  return [eighth / 2, eighth, (1 + eighth) / 2];
}
