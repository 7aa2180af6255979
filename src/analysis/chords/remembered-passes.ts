import type { BarSlot } from '../bar-grid.js';
import type { Evidence } from '../evidence.js';
import { alignTwo, type TwoAligned } from '../passes/align-passes.js';
import { heardSounds, type BarSound } from '../passes/bar-sounds.js';
import { unrelatedDistance } from '../passes/sound-distance.js';
import type { PassBars } from './pool-passes.js';

/** Pairs of passes that are remembered; more are a song solved in many ways, and it begins anew. */
const MOST = 2000;

interface Memory {
  readonly unrelated: number;
  readonly sounds: Map<string, BarSound>;
  readonly pairs: Map<string, TwoAligned>;
}

const memories = new WeakMap<Evidence, Memory>();

/**
 * The sounds of bars and the alignments of passes, heard once as long as they lie where they lay: after an edit only those
 * that it moved are heard again. `unrelated`, the distance of bars that have nothing in common, is the recording's and stays.
 */
export function rememberedPasses(evidence: Evidence, bars: readonly BarSlot[]) {
  let memory = memories.get(evidence);
  if (!memory || memory.pairs.size > MOST) {
    const all = heardSounds(evidence, bars).map((beatwise, i): BarSound => {
      return { beats: (bars[i] as BarSlot).bar.beats.length, beatwise };
    });
    memory = { unrelated: memory?.unrelated ?? unrelatedDistance(all), sounds: new Map(), pairs: new Map() };
    memories.set(evidence, memory);
  }
  const { sounds, pairs, unrelated } = memory;
  const keyOf = ({ first, last }: PassBars): string =>
    bars
      .slice(first, last + 1)
      .map(barKey)
      .join(' ');
  const soundsOf = ({ first, last }: PassBars): BarSound[] =>
    bars.slice(first, last + 1).map((slot) => {
      const key = barKey(slot);
      const known = sounds.get(key);
      if (known) return known;
      const [beatwise] = heardSounds(evidence, [slot]);
      const sound: BarSound = { beats: slot.bar.beats.length, beatwise: beatwise as Float32Array };
      sounds.set(key, sound);
      return sound;
    });
  const align = (a: PassBars, b: PassBars): TwoAligned => {
    const key = `${keyOf(a)}|${keyOf(b)}`;
    const known = pairs.get(key);
    if (known) return known;
    const pair = alignTwo(soundsOf(a), soundsOf(b), unrelated);
    pairs.set(key, pair);
    return pair;
  };
  return { unrelated, soundsOf, align };
}

function barKey({ bar, end }: BarSlot): string {
  return `${bar.beats.join()},${end}`;
}
