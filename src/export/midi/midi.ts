import { writeMidi, type MidiEvent } from 'midi-file';
import { signatureOf } from '../../music/key.js';
import { meterText, type Meter } from '../../music/meter.js';
import { TUNINGS, type Tuning } from '../../music/tuning.js';
import type { SongMap } from '../../model/song-map.js';
import { midiClock, TICKS, type MidiClock } from './midi-clock.js';
import { chordNames, chordNotes, clickNotes, strumNotes, type Note } from './midi-notes.js';
import { midiText } from './midi-text.js';

/** Steel guitar. Source: General MIDI System Level 1, programs from 0. */
const GUITAR = 25;
/** The tenth channel is percussion. */
const PERCUSSION = 9;
/** MIDI clocks and 32nd notes in a quarter. */
const CLOCKS = 24;

/** An event at its tick; at the same tick the lower `order` comes first. */
interface Placed {
  readonly tick: number;
  readonly order: number;
  readonly event: Readonly<Record<string, unknown>>;
}

/**
 * The song as a Standard MIDI File 1.0 (MIDI Manufacturers Association), format 1, in time with the recording: tick 0 is
 * its time 0. The first track has the tempo of every beat, the time signatures of all bars (a pickup and irregular bars
 * their own), the key, a marker where a section begins, a cue point at what is no whole bar; then come a click, the chords with their names as texts, and
 * the strum patterns on the shapes of `tuning`. What is before the first bar is one bar at a tempo of its own.
 */
export function toMidi(map: SongMap, tuning: Tuning = TUNINGS[0] as Tuning): Uint8Array {
  const clock = midiClock(map);
  const chords = [
    ...program(0),
    ...notes(chordNotes(map, clock), 0),
    ...chordNames(map, clock).map(({ tick, text }) => ({ tick, order: 1, event: { type: 'text', meta: true, text } })),
  ];
  const tracks = [
    track(map.title, conductor(map, clock), clock.end),
    track('Click', notes(clickNotes(map, clock), PERCUSSION), clock.end),
    track('Chords', chords, clock.end),
    track('Strum', [...program(1), ...notes(strumNotes(map, clock, tuning), 1)], clock.end),
  ];
  const header = { format: 1 as const, numTracks: tracks.length, ticksPerBeat: TICKS };
  return Uint8Array.from(writeMidi({ header, tracks }, { running: true }));
}

function conductor(map: SongMap, clock: MidiClock): Placed[] {
  const placed: Placed[] = clock.tempi.map(({ tick, tempo }) => ({
    tick,
    order: 1,
    event: { type: 'setTempo', meta: true, microsecondsPerBeat: tempo },
  }));
  let before: string | undefined;
  for (const { tick, meter, cue } of clock.bars) {
    if (cue) placed.push({ tick, order: 2, event: { type: 'cuePoint', meta: true, text: cue } });
    const text = `${meterText(meter)} ${meter.beatUnits}`;
    if (text !== before) placed.push({ tick, order: 0, event: timeSignature(meter) });
    before = text;
  }
  const fifths = map.key && signatureOf(map.key);
  if (fifths !== undefined && Math.abs(fifths) <= 7)
    placed.push({
      tick: 0,
      order: 0,
      event: { type: 'keySignature', meta: true, key: fifths, scale: map.key?.mode === 'minor' ? 1 : 0 },
    });
  for (const { start, name } of map.sections)
    placed.push({ tick: clock.tickAt(start), order: 2, event: { type: 'marker', meta: true, text: midiText(name) } });
  return placed;
}

/** The metronome of a time signature beats the bar's own beat. */
function timeSignature({ count, unit, beatUnits }: Meter): Placed['event'] {
  const metronome = Math.max(1, Math.round((beatUnits * 4 * CLOCKS) / unit));
  return { type: 'timeSignature', meta: true, numerator: count, denominator: unit, metronome, thirtyseconds: 8 };
}

function program(channel: number): Placed[] {
  return [{ tick: 0, order: 0, event: { type: 'programChange', channel, programNumber: GUITAR } }];
}

/** Notes on and off; at the same tick a note ends before one begins. */
function notes(all: readonly Note[], channel: number): Placed[] {
  return all.flatMap(({ on, off, note, velocity }): Placed[] => [
    { tick: on, order: 3, event: { type: 'noteOn', channel, noteNumber: note, velocity } },
    { tick: off, order: 2, event: { type: 'noteOff', channel, noteNumber: note, velocity: 0 } },
  ]);
}

function track(name: string, placed: readonly Placed[], end: number): MidiEvent[] {
  const sorted = [...placed].sort((a, b) => a.tick - b.tick || a.order - b.order);
  const last = Math.max(end, sorted.at(-1)?.tick ?? 0);
  let now = 0;
  const events = [
    { deltaTime: 0, type: 'trackName', meta: true, text: midiText(name) },
    ...sorted.map(({ tick, event }) => {
      const deltaTime = tick - now;
      now = tick;
      return { ...event, deltaTime };
    }),
  ];
  return [...events, { deltaTime: last - now, type: 'endOfTrack', meta: true }] as MidiEvent[];
}
