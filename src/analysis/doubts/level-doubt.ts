import { msg, str } from '@lit/localize';
import type { Bar, Doubt, LockDraft } from '../../model/song-map.js';
import { beatsOf, meterText } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import type { BuiltSpans } from '../bars/build-spans.js';
import type { Evidence } from '../evidence/evidence.js';
import { rhythmBase, type Level } from '../rhythm-base.js';
import type { RhythmLocks } from '../locks/rhythm-locks.js';
import { songMeter } from '../meter/song-meter.js';

/** A second way to count that is less likely than this is not worth asking about. */
const NAMED = 0.12;
/** At most so many other ways are asked about. */
const MOST = 3;
/** Levels whose beats differ by less than this ratio are the same tempo. */
const SAME = 1.19;
/** How much a listen is worth at least: a wrong tempo makes every bar wrong, so it comes before the doubts about bars. */
export const LEVEL_WEIGHT = 0.9;

/**
 * Whether the song could as well be counted at another tempo, or in other bars; not where locks say it. `taken`: starts of bars
 * that other doubts are about.
 */
export function levelDoubts(
  evidence: Evidence,
  { spans, plan }: BuiltSpans,
  locks: RhythmLocks,
  taken: ReadonlySet<Seconds> = new Set(),
): Doubt[] {
  const bars = spans.filter((span): span is Bar => span.kind === 'bar' && !taken.has(span.start));
  if (locks.tempos.length > 0) return [];
  const own = plan.level;
  const { start: from, end: to } = locks;
  const tempo = ({ period }: Level): LockDraft => ({ kind: 'tempo', from, to, period });
  const meter = (level: Level): LockDraft => ({ kind: 'meter', from, to, meter: songMeter(level) });
  const ways = otherWays(rhythmBase(evidence).levels, own, locks.meters.length === 0);
  return ways.flatMap(({ level, chance }, i) => {
    // Each has a bar of its own, so that no two doubts are at one place.
    const bar = bars[i];
    if (!bar) return [];
    const isTempo = differs(level, own);
    const draft = isTempo ? tempo : meter;
    return {
      time: bar.start,
      weight: halves(level, own) ? chance : LEVEL_WEIGHT + (1 - LEVEL_WEIGHT) * chance,
      kind: 'level',
      text: isTempo ? tempoText(own, level) : barsText(own, level),
      keep: [draft(own)],
      other: [draft(level)],
    };
  });
}

/** The likeliest other ways to count, likeliest first, each with its chance against `own`; of each tempo one. */
function otherWays(levels: readonly Level[], own: Level, withBars: boolean): { level: Level; chance: number }[] {
  const chosen: { level: Level; chance: number }[] = [];
  for (const level of levels) {
    const odds = Math.exp(level.score - own.score);
    const chance = odds / (1 + odds);
    if (chance < NAMED || chosen.length === MOST) break;
    const isOther = differs(level, own) || (withBars && level.bars.beats !== own.bars.beats);
    if (isOther && chosen.every(({ level: other }) => differs(level, other))) chosen.push({ level, chance });
  }
  return chosen;
}

function tempoText(own: Level, other: Level): string {
  const [beats, others, how] = [bpm(own), bpm(other), comparison(own, other)];
  return msg(str`The whole song: about ${beats} beats a minute, or ${how}, about ${others}?`);
}

function barsText(own: Level, other: Level): string {
  const [length, otherLength] = [barText(own), barText(other)];
  return msg(str`The whole song: bars of ${length}, or of ${otherLength}?`);
}

function barText(level: Level): string {
  const meter = songMeter(level);
  const [beats, written] = [beatsOf(meter), meterText(meter)];
  return msg(str`${beats} beats (${written})`);
}

/** Each bar would only be written as two: nothing that is played changes, so that other doubts come before it. */
function halves(other: Level, own: Level): boolean {
  return !differs(other, own) && other.bars.beats * 2 === own.bars.beats;
}

function differs(a: Level, b: Level): boolean {
  return Math.max(a.period / b.period, b.period / a.period) > SAME;
}

function comparison(own: Level, other: Level): string {
  const octaves = Math.log2(own.period / other.period);
  if (Math.abs(octaves - 1) < 0.1) return msg('twice as fast');
  if (Math.abs(octaves + 1) < 0.1) return msg('half as fast');
  const beats = other.bars.beats;
  const sameBars = Math.abs(Math.log((other.period * beats) / (own.period * own.bars.beats))) < 0.06;
  // Not faster or slower but another meter: the same bars in another number of beats.
  if (sameBars) return msg(str`the same bars in ${beats} beats`);
  return octaves > 0 ? msg('faster') : msg('slower');
}

function bpm(level: Level): number {
  return Math.round(60 / level.period);
}
