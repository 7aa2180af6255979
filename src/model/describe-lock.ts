import { msg, str } from '@lit/localize';
import { beatsOf, meterText, sameMeter, type Meter } from '../music/meter.js';
import { numberText } from '../music/number-text.js';
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
    case 'beat': {
      const time = timeText(lock.time);
      return msg(str`a beat at ${time}`);
    }
    case 'no-beat': {
      const time = timeText(lock.time);
      return msg(str`no beat at ${time}`);
    }
    case 'downbeat': {
      const bar = barStartingAt(map, lock.time);
      const place = bar === undefined ? timeText(lock.time) : barName(map, bar);
      return bar === undefined ? msg(str`a bar starts at ${place}`) : msg(str`${place} starts here`);
    }
    case 'not-downbeat': {
      const time = timeText(lock.time);
      return msg(str`no bar starts at ${time}`);
    }
    case 'bar-length': {
      const bar = barStartingAt(map, lock.time);
      const place = bar === undefined ? timeText(lock.time) : barName(map, bar);
      const length = lengthText(lock.meter, map.prevailing);
      return bar === undefined ? msg(str`the bar at ${place} has ${length}`) : msg(str`${place} has ${length}`);
    }
    case 'meter':
      return `${meterText(lock.meter)} ${stretchText(map, lock.from, lock.to)}`;
    case 'tempo': {
      const [bpm, where] = [Math.round(60 / lock.period), stretchText(map, lock.from, lock.to)];
      return msg(str`about ${bpm} bpm ${where}`);
    }
    case 'tap': {
      const where = timesText(lock.beats);
      return msg(str`the ${lock.beats.length} beats tapped or brought in ${where}`);
    }
    case 'bar-lines': {
      const [count, where] = [lock.starts.length, timesText(lock.starts)];
      return count === 1 ? msg(str`the bar line moved ${where}`) : msg(str`the ${count} bar lines moved ${where}`);
    }
    case 'free': {
      const where = timesText([lock.from, lock.to]);
      return msg(str`free time ${where}`);
    }
    case 'edge': {
      const time = timeText(lock.time);
      return lock.edge === 'start' ? msg(str`the map starts at ${time}`) : msg(str`the map ends at ${time}`);
    }
  }
}

/** "2 beats", "3 1/2 beats"; the time signature too when the beat or the grouping is not the usual one: "7 beats (7/8 (2+2+3))". */
function lengthText(meter: Meter, prevailing: Meter): string {
  const beats = beatsOf(meter);
  const whole = Math.floor(beats + 1e-9);
  const half = Math.abs(beats - whole - 0.5) < 1e-9;
  const count = half ? `${whole > 0 ? `${whole} ` : ''}1/2` : numberText(beats, 2);
  const text = beats === 1 || (half && whole === 0) ? msg(str`${count} beat`) : msg(str`${count} beats`);
  const usualBeat = meter.beatUnits * prevailing.unit === prevailing.beatUnits * meter.unit;
  const asUsual = sameMeter(meter, prevailing) || (usualBeat && meter.grouping === undefined);
  return asUsual ? text : `${text}, ${meterText(meter)}`;
}

/** "in the whole song", "from bar 5 to bar 12", "from 0:12.00 to 0:40.00". */
function stretchText(map: SongMap, from: Seconds, to: Seconds): string {
  if (from <= map.start && to >= map.end) return msg('in the whole song');
  const first = barStartingAt(map, from);
  const last = barAt(map, to - 1e-3);
  if (first === undefined || last === undefined || barOf(map, last) === undefined) return timesText([from, to]);
  if (first === last) {
    const name = barName(map, first);
    return msg(str`in ${name}`);
  }
  const [low, high] = [barNumber(map, first), barNumber(map, last)];
  return msg(str`from bar ${low} to bar ${high}`);
}

function timesText(times: readonly Seconds[]): string {
  const first = times[0];
  const last = times[times.length - 1];
  if (first === undefined || last === undefined) return '';
  const [from, to] = [timeText(first), timeText(last)];
  return times.length === 1 ? msg(str`at ${from}`) : msg(str`from ${from} to ${to}`);
}

/** Minutes, seconds and hundredths: "1:42.31". */
export function timeText(time: Seconds): string {
  const hundredths = Math.round(Math.max(0, time) * 100);
  const minutes = Math.floor(hundredths / 6000);
  const rest = hundredths - minutes * 6000;
  return `${minutes}:${String(Math.floor(rest / 100)).padStart(2, '0')}.${String(rest % 100).padStart(2, '0')}`;
}
