import type { Bar, Doubt } from '../model/song-map.js';
import type { BuiltSpans } from './build-spans.js';
import type { Evidence } from './evidence.js';
import { rhythmBase, type Level } from './rhythm-base.js';
import type { RhythmLocks } from './rhythm-locks.js';

/** A second tempo less likely than this is not worth asking about. */
const NAMED = 0.12;
/** Levels whose beats differ by less than this ratio are the same tempo. */
const SAME = 1.19;

/** Whether the song could as well be counted at another tempo; nothing when a tempo is locked or nothing comes near. */
export function levelDoubt(evidence: Evidence, { spans, plan }: BuiltSpans, locks: RhythmLocks): Doubt | undefined {
  const first = spans.find((span): span is Bar => span.kind === 'bar');
  if (locks.tempos.length > 0 || !first) return undefined;
  const { levels } = rhythmBase(evidence);
  const own = plan.level;
  const chance = (level: Level): number => Math.exp(level.score - own.score);
  const differs = (level: Level): boolean => Math.max(level.period / own.period, own.period / level.period) > SAME;
  const other = levels.find(differs);
  if (!other) return undefined;
  const weight = chance(other) / (1 + chance(other));
  if (weight < NAMED) return undefined;
  const { start: from, end: to } = locks;
  const ratio = own.period / other.period;
  const name =
    Math.abs(Math.log2(ratio) - 1) < 0.1
      ? 'twice as fast'
      : Math.abs(Math.log2(ratio) + 1) < 0.1
        ? 'half as fast'
        : ratio > 1
          ? 'faster'
          : 'slower';
  return {
    time: first.start,
    weight: Math.min(1, weight),
    kind: 'level',
    text: `The whole song: about ${bpm(own)} beats a minute, or ${name}, about ${bpm(other)}?`,
    keep: [{ kind: 'tempo', from, to, period: own.period }],
    other: [{ kind: 'tempo', from, to, period: other.period }],
  };
}

function bpm(level: Level): number {
  return Math.round(60 / level.period);
}
