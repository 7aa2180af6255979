import type { Meter } from '../music/meter.js';
import type { Level } from './rhythm-base.js';

/**
 * The time signature of a song counted at `level`: so many quarters; dotted quarters where the beats fall into three
 * (6/8, 9/8, 12/8).
 */
export function songMeter(level: Level): Meter {
  const { beats } = level.bars;
  if (isTernary(level)) return { count: 3 * beats, unit: 8, beatUnits: 3 };
  return { count: beats, unit: 4, beatUnits: 1 };
}

/** How much clearer, in deviations of the pulse, the first third of the beat has to be than its half. */
const CLEARER = 0.3;

/** True when attacks lie on the first third of the beat, which swung eighths leave out, rather than on its half. */
function isTernary({ facts, bars }: Level): boolean {
  return bars.beats <= 4 && facts.firstThird > facts.half + CLEARER;
}
