import type { BarIndex } from '../../music/units.js';
import { barOf, sectionBars } from '../../model/map-queries.js';
import type { Pass, PassColumn, PassTable } from '../../model/pass-table.js';
import type { SongMap } from '../../model/song-map.js';
import type { Evidence } from '../evidence/evidence.js';
import { alignPasses, alignTwo, type TwoAligned } from './align-passes.js';
import { barSounds, pooledSound, transposed, type BarSound } from './bar-sounds.js';
import { chordFacts, type ChordFacts } from './chord-facts.js';
import { findDifferences, type DraftTable } from './find-differences.js';
import { passVariation, songVariation } from './judge-chords.js';
import { unrelatedDistance } from './sound-distance.js';
import { unrelatedIn } from './unrelated-in.js';

/**
 * The passes of every section that comes more than once (sections of one letter), aligned bar to bar, with what differs.
 * Bars are compared by what the user has typed into both, else by what was heard; without `evidence` by the chords
 * written in the map. Fast enough to be asked anew after every edit: what bars that stay sound like, and how passes of
 * such bars are aligned, is remembered by the evidence.
 */
export function findPasses(map: SongMap, evidence?: Evidence): PassTable[] {
  const sounds = barSounds(map, evidence);
  const unrelated = evidence ? unrelatedIn(evidence) : unrelatedDistance(sounds);
  const align = evidence ? rememberedPairs(evidence, unrelated) : undefined;
  const drafts = materials(map).map((found) => draftTable(found, sounds, unrelated, align));
  if (!evidence) return drafts.map((draft) => ({ ...draft, differences: findDifferences(map, draft) }));
  const facts = drafts.map((draft) => alignedFacts(draft, sounds));
  const song = songVariation(facts.flat(2));
  return drafts.map((draft, i) => {
    const variations = facts[i]?.map((own) => passVariation(song, own)) ?? [];
    return { ...draft, differences: findDifferences(map, draft, { sounds, variations }) };
  });
}

type FoundPass = Omit<Pass, 'shift'> & { readonly letter: string; readonly name: string };

/** The sections that come more than once: for each letter its passes. */
function materials(map: SongMap): (readonly FoundPass[])[] {
  const byLetter = new Map<string, FoundPass[]>();
  map.sections.forEach(({ id, letter, name }, place) => {
    const range = sectionBars(map, place);
    if (!range) return;
    const first = barOf(map, range.first)?.pickup ? range.first + 1 : range.first;
    if (first > range.last) return;
    const passes = byLetter.get(letter) ?? [];
    passes.push({ section: id, first, last: range.last, letter, name });
    byLetter.set(letter, passes);
  });
  return [...byLetter.values()].filter((passes) => passes.length > 1);
}

type AlignSounds = (a: readonly BarSound[], b: readonly BarSound[]) => TwoAligned;

/** Pairs of passes that are remembered; more are a song solved in many ways, and it begins anew. */
const MOST_PAIRS = 2000;

interface Pairs {
  readonly aligned: Map<string, TwoAligned>;
  /** A number for each sound that was met, what is typed counting with what is heard. */
  readonly ids: WeakMap<Float32Array, number>;
  count: number;
}

const known = new WeakMap<Evidence, Pairs>();

/** Aligns two passes, or knows how they were aligned when they sounded the same. */
function rememberedPairs(evidence: Evidence, unrelated: number): AlignSounds {
  let pairs = known.get(evidence);
  if (!pairs || pairs.aligned.size > MOST_PAIRS) {
    known.set(evidence, (pairs = { aligned: new Map(), ids: new WeakMap(), count: 0 }));
  }
  const { aligned, ids } = pairs;
  const memory = pairs;
  const idOf = (sound: Float32Array): number => {
    let id = ids.get(sound);
    if (id === undefined) ids.set(sound, (id = memory.count++));
    return id;
  };
  const keyOf = (pass: readonly BarSound[]): string => pass.map(({ beatwise }) => idOf(beatwise)).join();
  return (a, b) => {
    // What is typed is compared as typed, and is another sound each time it is asked for.
    if (a.some(({ typed }) => typed) && b.some(({ typed }) => typed)) return alignTwo(a, b, unrelated);
    const key = `${keyOf(a)} ${keyOf(b)}`;
    let pair = aligned.get(key);
    if (!pair) aligned.set(key, (pair = alignTwo(a, b, unrelated)));
    return pair;
  };
}

function draftTable(
  found: readonly FoundPass[],
  sounds: readonly BarSound[],
  unrelated: number,
  align: AlignSounds | undefined,
): DraftTable {
  const passes = found.map(({ first, last }) => sounds.slice(first, last + 1));
  const { shifts, columns } = alignPasses(
    passes,
    unrelated,
    align && ((i, j) => align(passes[i] as BarSound[], passes[j] as BarSound[])),
  );
  return {
    letter: found[0]?.letter ?? '',
    name: found[0]?.name ?? '',
    passes: found.map(({ section, first, last }, i) => ({ section, first, last, shift: shifts[i] ?? 0 })),
    columns: columns.map((column): PassColumn => {
      const bars = column.map((bar, pass) => (bar === null ? null : bar + (found[pass]?.first ?? 0)));
      return { bars, usual: isUsual(bars) };
    }),
  };
}

/** Most passes have a bar here, or half of them with the first. */
function isUsual(bars: readonly (BarIndex | null)[]): boolean {
  const present = bars.filter((bar) => bar !== null).length;
  return 2 * present > bars.length || (2 * present === bars.length && bars[0] !== null);
}

/** For each pass the facts of its bars beside those that stand with them in their columns. */
function alignedFacts({ columns, passes }: DraftTable, sounds: readonly BarSound[]): ChordFacts[][] {
  const inFirstKey = (bar: BarIndex, pass: number): BarSound =>
    transposed(sounds[bar] as BarSound, -(passes[pass]?.shift ?? 0));
  return passes.map((_, pass) =>
    columns.flatMap(({ bars }) => {
      const own = bars[pass] ?? null;
      const others = bars.flatMap((bar, other) => (bar === null || other === pass ? [] : [inFirstKey(bar, other)]));
      if (own === null || others.length === 0) return [];
      const facts = chordFacts(
        inFirstKey(own, pass),
        others.length === 1 ? (others[0] as BarSound) : pooledSound(others),
      );
      return facts ? [facts] : [];
    }),
  );
}
