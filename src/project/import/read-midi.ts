import { msg, str } from '@lit/localize';
import { parseMidi, type MidiData, type MidiEvent } from 'midi-file';
import { parseMeter, type Meter } from '../../music/meter.js';
import type { Seconds } from '../../music/units.js';
import { ImportProblem, MOST_TIMES, NOTHING, usualOf, type Imported } from './imported.js';

/** What a cue point may say of a bar; as this program writes it. */
const NO_BEATS = ['lead-in', 'free time'];
const PICKUP = 'pickup';

interface At<E> {
  readonly tick: number;
  readonly event: E;
}

/**
 * Reads the tempo map of a Standard MIDI File: a beat wherever its time signatures have one, timed by its tempo events, tick
 * 0 being the recording's time 0. Cue points "Lead-in", "Free time" and "Pickup" say which bars are no whole ones;
 * markers are taken for sections. Throws ImportProblem.
 */
export function readMidi(bytes: Uint8Array): Imported {
  let data: MidiData;
  try {
    data = parseMidi(new OnwardBytes(bytes));
  } catch {
    throw new ImportProblem(msg('This MIDI file is damaged or breaks off. Export it again from where it was made.'));
  }
  const { ticksPerBeat, format } = data.header;
  if (!ticksPerBeat)
    throw new ImportProblem(msg('This MIDI file counts film frames, not beats. Export it with ticks a quarter.'));
  if (format === 2)
    throw new ImportProblem(msg('This MIDI file holds several songs (format 2). Export one of them alone.'));
  const events = data.tracks.flatMap(placed).sort((a, b) => a.tick - b.tick);
  const end = Math.max(0, ...data.tracks.map((track) => track.reduce((sum, { deltaTime }) => sum + deltaTime, 0)));
  const secondsAt = timer(events, ticksPerBeat);
  const bars = barsOf(events, end, ticksPerBeat);
  if (bars.length > MOST_TIMES)
    throw new ImportProblem(
      msg(str`This MIDI file has ${bars.length} bars; at most ${MOST_TIMES} are read. Choose the file of one song.`),
    );
  const runs: { beats: Seconds[]; downbeats: Seconds[] }[] = [];
  const free: { from: Seconds; to: Seconds }[] = [];
  const meters: { time: Seconds; meter: Meter }[] = [];
  const whole: Meter[] = [];
  let open: { beats: Seconds[]; downbeats: Seconds[] } | undefined;
  for (const { tick, length, beat, meter, cue } of bars) {
    const time = secondsAt(tick);
    if (NO_BEATS.includes(cue)) {
      open = undefined;
      if (cue === 'free time') free.push({ from: time, to: secondsAt(tick + length) });
      continue;
    }
    if (!open) runs.push((open = { beats: [], downbeats: [] }));
    for (let at = 0; at < length - 1; at += beat) open.beats.push(secondsAt(tick + at));
    if (cue !== PICKUP) open.downbeats.push(time);
    if (cue === PICKUP) continue;
    whole.push(meter);
    if (meter.count % meter.beatUnits !== 0) meters.push({ time, meter });
  }
  const sections = events.flatMap(({ tick, event }) =>
    event.type === 'marker' ? [{ time: secondsAt(tick), name: decoded(event.text) }] : [],
  );
  const lasting = runs.filter(({ beats }) => beats.length >= 2);
  if (lasting.length === 0)
    throw new ImportProblem(
      msg('This MIDI file is shorter than two beats. Choose one with the tempo map of the song.'),
    );
  return { ...NOTHING, from: msg('MIDI file'), runs: lasting, usual: usualOf(whole), free, meters, sections };
}

/** Bytes that are only read onward: a length of too many bytes comes out negative and would lead the library back for ever. */
class OnwardBytes extends Uint8Array {
  override slice(start = 0, end = this.length): Uint8Array<ArrayBuffer> {
    if (end < start) throw new RangeError('OnwardBytes.slice: a length below zero');
    return super.slice(start, end);
  }
}

interface MidiBar {
  readonly tick: number;
  readonly length: number;
  readonly beat: number;
  readonly meter: Meter;
  readonly cue: string;
}

/** The bars up to the end, in ticks: those of each time signature until the next. 4/4 where none is written. */
function barsOf(events: readonly At<MidiEvent>[], end: number, quarter: number): MidiBar[] {
  const changes: { tick: number; meter: Meter }[] = [{ tick: 0, meter: { count: 4, unit: 4, beatUnits: 1 } }];
  const cues = new Map<number, string>();
  for (const { tick, event } of events) {
    if (event.type === 'cuePoint') cues.set(tick, event.text.trim().toLowerCase());
    if (event.type !== 'timeSignature') continue;
    if (changes.at(-1)?.tick === tick) changes.pop();
    changes.push({ tick, meter: meterOf(event.numerator, event.denominator, event.metronome) });
  }
  const bars: MidiBar[] = [];
  changes.forEach(({ tick, meter }, i) => {
    const until = changes[i + 1]?.tick ?? end;
    const unit = (quarter * 4) / meter.unit;
    const length = meter.count * unit;
    for (let at = tick; at < until - 1 && bars.length <= MOST_TIMES; at += length) {
      const own = Math.min(length, until - at);
      bars.push({ tick: at, length: own, beat: meter.beatUnits * unit, meter, cue: cues.get(at) ?? '' });
    }
  });
  return bars;
}

/** The time signature, its beat as the metronome beats where that says more than the usual. */
function meterOf(count: number, denominator: number, metronome: number): Meter {
  try {
    const meter = parseMeter(`${count}/${denominator}`);
    // 24 clocks a quarter are what is written where nobody thought of it.
    const beatUnits = (metronome * denominator) / 96;
    const said = metronome !== 24 || denominator !== 4;
    const plausible = Number.isInteger(beatUnits) && beatUnits >= 1 && beatUnits <= count;
    const thoughtOf = denominator === 4 || metronome !== 24 || count % beatUnits !== 0;
    return said && plausible && thoughtOf ? { ...meter, beatUnits } : meter;
  } catch {
    throw new ImportProblem(
      msg(str`This MIDI file has a bar of ${count}/${denominator}. Export it with bars of 1 to 32 beats.`),
    );
  }
}

/** Seconds by ticks, from the tempo events; 120 quarters a minute before the first (Standard MIDI Files 1.0). */
function timer(events: readonly At<MidiEvent>[], quarter: number): (tick: number) => Seconds {
  const points = [{ tick: 0, time: 0, tempo: 500_000 }];
  for (const { tick, event } of events) {
    if (event.type !== 'setTempo') continue;
    const last = points.at(-1) as (typeof points)[number];
    const time = last.time + ((tick - last.tick) * last.tempo) / quarter / 1e6;
    points.push({ tick, time, tempo: event.microsecondsPerBeat });
  }
  return (tick) => {
    let [low, high] = [0, points.length];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if ((points[middle] as (typeof points)[number]).tick <= tick) low = middle;
      else high = middle;
    }
    const { tick: from, time, tempo } = points[low] as (typeof points)[number];
    return time + ((tick - from) * tempo) / quarter / 1e6;
  };
}

function placed(track: readonly MidiEvent[]): At<MidiEvent>[] {
  let tick = 0;
  return track.map((event) => ({ tick: (tick += event.deltaTime), event }));
}

/** Text of a meta event: UTF-8 where it is, else Latin 1. */
function decoded(bytes: string): string {
  try {
    return decodeURIComponent(bytes.replace(/[^]/g, (c) => `%${c.charCodeAt(0).toString(16).padStart(2, '0')}`));
  } catch {
    return bytes;
  }
}
