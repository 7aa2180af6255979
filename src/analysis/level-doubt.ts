import type { Bar, Doubt } from '../model/song-map.js';
import type { BuiltSpans } from './build-spans.js';
import type { Evidence } from './evidence.js';
import { rhythmBase, type Level } from './rhythm-base.js';
import type { RhythmLocks } from './rhythm-locks.js';

/** A second tempo less likely than this is not worth asking about. */
const NAMED = 0.12;
/** At most so many other tempi are asked about. */
const MOST = 2;
/** Levels whose beats differ by less than this ratio are the same tempo. */
const SAME = 1.19;
/** How much a listen is worth at least: a wrong tempo makes every bar wrong, so it comes before the doubts about bars. */
export const LEVEL_WEIGHT = 0.9;

/** Whether the song could as well be counted at another tempo; nothing when a tempo is locked or nothing comes near. */
export function levelDoubts(evidence: Evidence, { spans, plan }: BuiltSpans, locks: RhythmLocks): Doubt[] {
  const bars = spans.filter((span): span is Bar => span.kind === 'bar');
  if (locks.tempos.length > 0) return [];
  const own = plan.level;
  const { start: from, end: to } = locks;
  return otherTempi(rhythmBase(evidence).levels, own).flatMap(({ level, chance }, i) => {
    // Each has a bar of its own, so that no two doubts are at one place.
    const bar = bars[i];
    if (!bar) return [];
    return {
      time: bar.start,
      weight: LEVEL_WEIGHT + (1 - LEVEL_WEIGHT) * chance,
      kind: 'level',
      text: `The whole song: about ${bpm(own)} beats a minute, or ${comparison(own, level)}, about ${bpm(level)}?`,
      keep: [{ kind: 'tempo', from, to, period: own.period }],
      other: [{ kind: 'tempo', from, to, period: level.period }],
    };
  });
}

/** The likeliest levels of other tempi, likeliest first, each with its chance against `own`. */
function otherTempi(levels: readonly Level[], own: Level): { level: Level; chance: number }[] {
  const chosen: { level: Level; chance: number }[] = [];
  for (const level of levels) {
    const odds = Math.exp(level.score - own.score);
    const chance = odds / (1 + odds);
    if (chance < NAMED || chosen.length === MOST) break;
    if ([own, ...chosen.map((one) => one.level)].every((other) => differs(level, other)))
      chosen.push({ level, chance });
  }
  return chosen;
}

function differs(a: Level, b: Level): boolean {
  return Math.max(a.period / b.period, b.period / a.period) > SAME;
}

function comparison(own: Level, other: Level): string {
  const octaves = Math.log2(own.period / other.period);
  if (Math.abs(octaves - 1) < 0.1) return 'twice as fast';
  if (Math.abs(octaves + 1) < 0.1) return 'half as fast';
  const beats = other.bars.beats;
  const sameBars = Math.abs(Math.log((other.period * beats) / (own.period * own.bars.beats))) < 0.06;
  // Not faster or slower but another meter: the same bars in another number of beats.
  if (sameBars) return `the same bars in ${beats} beats`;
  return octaves > 0 ? 'faster' : 'slower';
}

function bpm(level: Level): number {
  return Math.round(60 / level.period);
}
