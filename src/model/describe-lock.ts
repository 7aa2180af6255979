import { beatsOf, meterText, sameMeter, type Meter } from '../music/meter.js';
import type { Seconds } from '../music/units.js';
import type { Lock } from './locks.js';
import { barAt, barName, barNumber, barOf, barStartingAt } from './map-queries.js';
import type { LockDraft, SongMap } from './song-map.js';

/**
 * A lock in words a musician would use: "bar 37 has 2 beats", "a beat at 1:42.31". Bars are numbered as the map has
 * them; what no longer stands on a bar line is placed by its time.
 */
export function describeLock(lock: Lock | LockDraft, map: SongMap): string {
  switch (lock.kind) {
    case 'beat':
      return `a beat at ${timeText(lock.time)}`;
    case 'no-beat':
      return `no beat at ${timeText(lock.time)}`;
    case 'downbeat': {
      const bar = barStartingAt(map, lock.time);
      return bar === undefined ? `a bar starts at ${timeText(lock.time)}` : `${barName(map, bar)} starts here`;
    }
    case 'not-downbeat':
      return `no bar starts at ${timeText(lock.time)}`;
    case 'bar-length': {
      const bar = barStartingAt(map, lock.time);
      const name = bar === undefined ? `the bar at ${timeText(lock.time)}` : barName(map, bar);
      return `${name} has ${lengthText(lock.meter, map.prevailing)}`;
    }
    case 'meter':
      return `${meterText(lock.meter)} ${stretchText(map, lock.from, lock.to)}`;
    case 'tempo':
      return `about ${Math.round(60 / lock.period)} bpm ${stretchText(map, lock.from, lock.to)}`;
    case 'tap':
      return `the ${lock.beats.length} beats tapped or brought in ${timesText(lock.beats)}`;
    case 'bar-lines':
      return `the ${lock.starts.length === 1 ? 'bar line' : `${lock.starts.length} bar lines`} moved ${timesText(lock.starts)}`;
    case 'free':
      return `free time ${timesText([lock.from, lock.to])}`;
    case 'edge':
      return lock.edge === 'start'
        ? `the map starts at ${timeText(lock.time)}`
        : `the map ends at ${timeText(lock.time)}`;
  }
}

/** "2 beats", "3 1/2 beats"; the time signature too when the beat or the grouping is not the usual one: "7 beats (7/8 (2+2+3))". */
function lengthText(meter: Meter, prevailing: Meter): string {
  const beats = beatsOf(meter);
  const whole = Math.floor(beats + 1e-9);
  const half = Math.abs(beats - whole - 0.5) < 1e-9;
  const count = half ? `${whole > 0 ? `${whole} ` : ''}1/2` : String(Number(beats.toFixed(2)));
  const text = `${count} ${beats === 1 || (half && whole === 0) ? 'beat' : 'beats'}`;
  const usualBeat = meter.beatUnits * prevailing.unit === prevailing.beatUnits * meter.unit;
  const asUsual = sameMeter(meter, prevailing) || (usualBeat && meter.grouping === undefined);
  return asUsual ? text : `${text}, ${meterText(meter)}`;
}

/** "in the whole song", "from bar 5 to bar 12", "from 0:12.00 to 0:40.00". */
function stretchText(map: SongMap, from: Seconds, to: Seconds): string {
  if (from <= map.start && to >= map.end) return 'in the whole song';
  const first = barStartingAt(map, from);
  const last = barAt(map, to - 1e-3);
  if (first === undefined || last === undefined || barOf(map, last) === undefined) return timesText([from, to]);
  if (first === last) return `in ${barName(map, first)}`;
  return `from bar ${barNumber(map, first)} to bar ${barNumber(map, last)}`;
}

function timesText(times: readonly Seconds[]): string {
  const first = times[0];
  const last = times[times.length - 1];
  if (first === undefined || last === undefined) return '';
  return times.length === 1 ? `at ${timeText(first)}` : `from ${timeText(first)} to ${timeText(last)}`;
}

/** Minutes, seconds and hundredths: "1:42.31". */
export function timeText(time: Seconds): string {
  const hundredths = Math.round(Math.max(0, time) * 100);
  const minutes = Math.floor(hundredths / 6000);
  const rest = hundredths - minutes * 6000;
  return `${minutes}:${String(Math.floor(rest / 100)).padStart(2, '0')}.${String(rest % 100).padStart(2, '0')}`;
}
