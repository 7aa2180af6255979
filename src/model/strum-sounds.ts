import { parseHarte } from '../music/chord.js';
import { beatsOf } from '../music/meter.js';
import { shapesOf, type Shape } from '../music/shapes.js';
import { strokesOf, type PlacedStroke, type Strum } from '../music/strum.js';
import type { Sounding } from '../music/timeline.js';
import type { Tuning } from '../music/tuning.js';
import type { BarIndex, Seconds } from '../music/units.js';
import { barEnd, barOf, chordAt, chordsInBar, sectionOfBar, timeOfPosition } from './map-queries.js';
import type { SongMap } from './song-map.js';

/** Seconds from string to string in a stroke. */
const SWEEP = 0.009;
const SOFT = 0.55;

/** A stroke of a bar as it is heard: when in the recording, and on which chord. */
export interface HeardStroke extends PlacedStroke {
  readonly time: Seconds;
  /** Harte syntax; undefined where no chord is known. */
  readonly harte: string | undefined;
}

/** The strokes of a bar in its section's pattern; empty where none is set, and in a pickup. Swing moves the off-beats. */
export function strokesInBar(map: SongMap, index: BarIndex): readonly HeardStroke[] {
  const bar = barOf(map, index);
  const section = map.sections[sectionOfBar(map, index) ?? -1];
  if (!bar || !section?.strum || bar.pickup) return [];
  const changes = chordsInBar(map, index).map(({ beat }) => Math.round(beat * 4) / 4);
  return strokesOf(section.strum, beatsOf(bar.meter), changes).map((stroke): HeardStroke => {
    const beat = swung(stroke.beat, section.strum!, section.swing ?? 1);
    const time = timeOfPosition(bar, barEnd(map, index), beat);
    return { ...stroke, time, harte: chordAt(map, time)?.harte };
  });
}

function swung(beat: number, { parts }: Strum, swing: number): number {
  if (swing === 1 || parts === 3) return beat;
  const whole = Math.floor(beat + 1e-9);
  const part = beat - whole;
  const eighth = swing / (1 + swing);
  // The first half of the beat grows, the second shrinks.
  return whole + (part <= 0.5 ? part * 2 * eighth : eighth + (part - 0.5) * 2 * (1 - eighth));
}

/** What a stroke sounds like at `at` of the timeline, on the easiest shape of its chord, `shift` semitones higher; a muted one where no chord is known. */
export function strokeSounds(
  { stroke, harte }: Pick<HeardStroke, 'stroke' | 'harte'>,
  at: Seconds,
  tuning: Tuning,
  shapeOf: (harte: string) => Shape | undefined,
  shift = 0,
): readonly Sounding[] {
  const shape = harte === undefined ? undefined : shapeOf(harte);
  const gain = stroke === 'D' || stroke === 'U' ? 1 : SOFT;
  if (stroke === 'x' || !shape) return [{ at, sound: 'mute', gain, bus: 'strum' }];
  const strings = shape.frets.flatMap((fret, i) =>
    fret === undefined ? [] : [{ note: tuning.strings[i]! + fret, i }],
  );
  if (stroke === 'u' || stroke === 'U') strings.reverse();
  return strings.map(({ note, i }, order): Sounding => {
    return {
      at: at + order * SWEEP,
      sound: `pluck ${Math.round((note + shift) * 100) / 100}`,
      gain: gain * 0.5,
      bus: 'strum',
      choke: i + 1,
    };
  });
}

/** The easiest shape of each chord on an instrument, looked for once a chord. */
export function shapeBook(
  tuning: Tuning,
  chosen: Readonly<Record<string, Shape>> = {},
): (harte: string) => Shape | undefined {
  const known = new Map<string, Shape | undefined>(Object.entries(chosen));
  return (harte) => {
    if (!known.has(harte)) {
      const chord = parseHarte(harte);
      known.set(harte, chord && shapesOf(chord, tuning, 1)[0]);
    }
    return known.get(harte);
  };
}
