import { clearDownbeat, setBarBeats, setDownbeat, setMeter } from '../../src/model/edits/bars.js';
import { addBeat, deleteBeat, moveBeat, setFree, tapBeats } from '../../src/model/edits/beats.js';
import { doubleTempo, halveTempo } from '../../src/model/edits/level.js';
import { EditProblem } from '../../src/model/edits/problem.js';
import { shiftBarLines } from '../../src/model/edits/shift.js';
import { barsOf, beatTimes } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { parseMeter } from '../../src/music/meter.js';

export type Random = () => number;

/** Numbers from 0 to 1 from a seed (mulberry32 by T. Ettinger, public domain). */
export function seeded(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

interface Kind {
  readonly name: string;
  /** How often it comes, against the others: by feel, lengths and beat 1 being what users correct most. */
  readonly weight: number;
  /** Throws EditProblem where it has no place. */
  readonly edit: (map: SongMap, random: Random) => SongMap;
}

const KINDS: readonly Kind[] = [
  { name: 'bar length', weight: 8, edit: (map, random) => setBarBeats(map, barIn(map, random), 2 + below(5, random)) },
  { name: 'beat 1', weight: 4, edit: (map, random) => setDownbeat(map, beatIn(map, random)) },
  { name: 'not beat 1', weight: 2, edit: (map, random) => clearDownbeat(map, startIn(map, random)) },
  {
    name: 'bar lines by a beat from here',
    weight: 3,
    edit: (map, random) => shiftBarLines(map, barIn(map, random), sign(random)),
  },
  { name: 'all bar lines by a beat', weight: 1, edit: (map, random) => shiftBarLines(map, undefined, sign(random)) },
  {
    name: 'beat moved',
    weight: 3,
    edit: (map, random) => {
      const from = beatIn(map, random);
      return moveBeat(map, from, from + 0.06 * (random() - 0.5));
    },
  },
  { name: 'beat added', weight: 1, edit: (map, random) => addBeat(map, beatIn(map, random) + 0.25) },
  { name: 'beat removed', weight: 1, edit: (map, random) => deleteBeat(map, beatIn(map, random)) },
  {
    name: 'taps over four bars',
    weight: 2,
    edit: (map, random) => {
      const beats = beatTimes(map);
      const first = below(Math.max(1, beats.length - 17), random);
      return tapBeats(
        map,
        beats.slice(first, first + 17).map((time) => time + 0.03 * (random() - 0.5)),
        [],
      );
    },
  },
  {
    name: 'half or double tempo',
    weight: 1,
    edit: (map, random) => (random() < 0.5 ? halveTempo(map) : doubleTempo(map)),
  },
  {
    name: 'free time',
    weight: 1,
    edit: (map, random) => {
      const from = startIn(map, random);
      return setFree(map, from, from + 8);
    },
  },
  {
    name: 'time signature of a stretch',
    weight: 1,
    edit: (map, random) => {
      const from = startIn(map, random);
      return setMeter(map, from, Math.min(map.end, from + 40), parseMeter('3/4'));
    },
  },
];

/** The map after a random edit that has a place in it, and what the edit was. Not solved yet. */
export function randomEdit(map: SongMap, random: Random): { readonly name: string; readonly edited: SongMap } {
  for (;;) {
    const { name, edit } = pick(random);
    try {
      return { name, edited: edit(map, random) };
    } catch (error) {
      if (!(error instanceof EditProblem)) throw error;
    }
  }
}

function pick(random: Random): Kind {
  let left = random() * KINDS.reduce((sum, { weight }) => sum + weight, 0);
  return KINDS.find(({ weight }) => (left -= weight) < 0) ?? (KINDS[0] as Kind);
}

function below(count: number, random: Random): number {
  return Math.floor(count * random());
}

function sign(random: Random): 1 | -1 {
  return random() < 0.5 ? 1 : -1;
}

function barIn(map: SongMap, random: Random): number {
  return below(barsOf(map).length, random);
}

function startIn(map: SongMap, random: Random): number {
  return barsOf(map)[barIn(map, random)]?.start ?? 0;
}

function beatIn(map: SongMap, random: Random): number {
  const beats = beatTimes(map);
  return beats[below(beats.length, random)] ?? 0;
}
