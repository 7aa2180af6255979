import { bassPitch, chordIntervals, parseHarte } from '../../music/chord.js';
import { leadSheetText } from '../../music/lead-sheet.js';
import { mod12, pitchClassOf } from '../../music/pitch.js';
import { TUNINGS, type Tuning } from '../../music/tuning.js';
import type { Seconds } from '../../music/units.js';
import { barEnd, barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { shapeBook, strokesInBar } from '../../model/strum-sounds.js';
import { TICKS, type MidiClock } from './midi-clock.js';
import { midiText } from './midi-text.js';

/** A note from a tick to another, both whole, `off` later than `on`. */
export interface Note {
  readonly on: number;
  readonly off: number;
  readonly note: number;
  readonly velocity: number;
}

/** High and low wood block. Source: General MIDI System Level 1, percussion key map. */
export const CLICK_NOTES = { first: 76, other: 77 } as const;
const CLICK_LENGTH = TICKS / 8;
/** Chords are played from the G below middle C, the bass an octave lower. */
const LOWEST = 55;
const LOWEST_BASS = 40;
/** Ticks from string to string in a stroke. */
const SWEEP = 12;

/** A click a beat, the first of each bar higher. A pickup has none that is. */
export function clickNotes(map: SongMap, clock: MidiClock): Note[] {
  return barsOf(map).flatMap((bar) =>
    bar.beats.map((time, beat): Note => {
      const first = beat === 0 && !bar.pickup;
      const on = clock.tickAt(time);
      const note = first ? CLICK_NOTES.first : CLICK_NOTES.other;
      return { on, off: on + CLICK_LENGTH, note, velocity: first ? 112 : 80 };
    }),
  );
}

/** A chord that sounds, in the recording's time. */
interface Sounding {
  readonly harte: string;
  readonly from: Seconds;
  readonly to: Seconds;
}

/** What sounds, each until the next, the last to the end of the last bar; nothing before the first bar. */
function soundings(map: SongMap): Sounding[] {
  const bars = barsOf(map);
  const end = barEnd(map, bars.length - 1) || map.end;
  const first = map.spans[0]?.kind === 'lead-in' ? (bars[0]?.start ?? map.end) : map.start;
  return map.chords.flatMap(({ harte, time }, i): Sounding[] => {
    const from = Math.max(time, first);
    const to = Math.min(map.chords[i + 1]?.time ?? end, end);
    return from < to ? [{ harte, from, to }] : [];
  });
}

/** The chords, held: the bass, and the chord's own notes above it. */
export function chordNotes(map: SongMap, clock: MidiClock): Note[] {
  return soundings(map).flatMap(({ harte, from, to }) => {
    const [on, off] = [clock.tickAt(from), clock.tickAt(to)];
    return off <= on ? [] : pitchesOf(harte).map((note): Note => ({ on, off, note, velocity: 72 }));
  });
}

/** The chords' names at their ticks. */
export function chordNames(map: SongMap, clock: MidiClock): { readonly tick: number; readonly text: string }[] {
  return soundings(map)
    .filter(({ harte }) => parseHarte(harte)?.kind !== 'unknown')
    .map(({ harte, from }) => ({ tick: clock.tickAt(from), text: midiText(leadSheetText(harte)) }));
}

/** Ascending MIDI notes, the bass first; none for no chord and for what cannot be read. */
export function pitchesOf(harte: string): number[] {
  const chord = parseHarte(harte);
  const bass = chord && bassPitch(chord);
  if (chord?.kind !== 'chord' || bass === undefined) return [];
  const root = pitchClassOf(chord.root);
  const own = chordIntervals(chord).map((interval) => LOWEST + mod12(root + interval - LOWEST));
  return [LOWEST_BASS + mod12(bass - LOWEST_BASS), ...own.sort((a, b) => a - b)];
}

/** The strokes of the sections' patterns, on the easiest shapes of an instrument; a stroke rings until the next. */
export function strumNotes(map: SongMap, clock: MidiClock, tuning: Tuning = TUNINGS[0] as Tuning): Note[] {
  const shapeOf = shapeBook(tuning);
  const bars = barsOf(map);
  const strokes = bars.flatMap((_, bar) => strokesInBar(map, bar).map((stroke) => ({ ...stroke, bar })));
  return strokes.flatMap(({ stroke, harte, time, bar }, i): Note[] => {
    const shape = harte === undefined ? undefined : shapeOf(harte);
    if (!shape) return [];
    const next = strokes[i + 1];
    const until =
      next && next.bar <= bar + 1 ? Math.min(next.time, barEnd(map, bar + 1) || next.time) : barEnd(map, bar);
    const [on, off] = [clock.tickAt(time), clock.tickAt(until)];
    const notes = shape.frets.flatMap((fret, s) => (fret === undefined ? [] : [(tuning.strings[s] as number) + fret]));
    if (stroke === 'u' || stroke === 'U') notes.reverse();
    const velocity = stroke === 'x' ? 24 : stroke === 'D' || stroke === 'U' ? 104 : 72;
    const length = stroke === 'x' ? Math.min(TICKS / 16, off - on) : off - on;
    const sweep = Math.min(SWEEP, Math.floor(length / (2 * notes.length)));
    const sounded = notes.map((note, order) => ({ note, on: on + order * sweep, off: on + length, velocity }));
    // Two strings may sound the same note, which a player program starts once.
    return sounded.filter((one, k) => one.off > one.on && !sounded.slice(0, k).some(({ note }) => note === one.note));
  });
}
