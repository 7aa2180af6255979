import type { BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { alignTwo, type TwoAligned } from '../passes/align-passes.js';
import { heardSounds, type BarSound } from '../passes/bar-sounds.js';
import { unrelatedIn } from '../passes/unrelated-in.js';
import type { PassBars } from './pass-bars.js';

/** Pairs of passes that are remembered; more are a song solved in many ways, and it begins anew. */
const MOST = 2000;

interface Memory {
  readonly sounds: Map<string, BarSound>;
  /** A number for each pass that was met, by where its beats lie. */
  readonly ids: Map<string, number>;
  /** By the numbers of both passes. */
  readonly pairs: Map<string, TwoAligned>;
}

export interface RememberedPasses {
  /** Distance of bars that have nothing in common. */
  readonly unrelated: number;
  soundsOf(pass: PassBars): readonly BarSound[];
  align(a: PassBars, b: PassBars): TwoAligned;
}

const memories = new WeakMap<Evidence, Memory>();
const latest = new WeakMap<readonly BarSlot[], RememberedPasses>();

/**
 * The sounds of bars and the alignments of passes, heard once as long as they lie where they lay: after an edit only those
 * that it moved are heard again.
 */
export function rememberedPasses(evidence: Evidence, bars: readonly BarSlot[]): RememberedPasses {
  const before = latest.get(bars);
  if (before) return before;
  let memory = memories.get(evidence);
  if (!memory || memory.pairs.size > MOST) {
    memory = { sounds: new Map(), ids: new Map(), pairs: new Map() };
    memories.set(evidence, memory);
  }
  const { sounds, ids, pairs } = memory;
  const apart = unrelatedIn(evidence);
  const keys: string[] = [];
  const keyOf = (i: number): string => (keys[i] ??= barKey(bars[i] as BarSlot));
  const idOf = ({ first, last }: PassBars): number => {
    let key = '';
    for (let i = first; i <= last; i++) key += `${keyOf(i)} `;
    let id = ids.get(key);
    if (id === undefined) ids.set(key, (id = ids.size));
    return id;
  };
  const soundsOf = ({ first, last }: PassBars): BarSound[] =>
    bars.slice(first, last + 1).map((slot, i) => {
      const key = keyOf(first + i);
      const known = sounds.get(key);
      if (known) return known;
      const [beatwise] = heardSounds(evidence, [slot]);
      const sound: BarSound = { beats: slot.bar.beats.length, beatwise: beatwise as Float32Array };
      sounds.set(key, sound);
      return sound;
    });
  const passIds = new Map<PassBars, number>();
  const known = (pass: PassBars): number => {
    let id = passIds.get(pass);
    if (id === undefined) passIds.set(pass, (id = idOf(pass)));
    return id;
  };
  const align = (a: PassBars, b: PassBars): TwoAligned => {
    const key = `${known(a)} ${known(b)}`;
    let pair = pairs.get(key);
    if (!pair) pairs.set(key, (pair = alignTwo(soundsOf(a), soundsOf(b), apart)));
    return pair;
  };
  const made = { unrelated: apart, soundsOf, align };
  latest.set(bars, made);
  return made;
}

function barKey({ bar, end }: BarSlot): string {
  return `${bar.beats.join()},${end}`;
}
