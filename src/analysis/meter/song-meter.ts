import type { Meter } from '../../music/meter.js';
import { isTernary } from './level-facts.js';
import type { Level } from '../rhythm-base.js';

/**
 * The time signature of a song counted at `level`: so many quarters; dotted quarters where the beats fall into three
 * (6/8, 9/8, 12/8).
 */
export function songMeter(level: Level): Meter {
  const { beats } = level.bars;
  if (isTernary(level.facts, beats)) return { count: 3 * beats, unit: 8, beatUnits: 3 };
  return { count: beats, unit: 4, beatUnits: 1 };
}
