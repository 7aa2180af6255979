import type { Meter } from '../../music/meter.js';
import type { Strum } from '../../music/strum.js';
import type { WrittenChord } from '../../model/fold/written-chart.js';
import { harmony } from './harmony.js';
import { barLength, beams, beatLength, beatSlashes, groupAt, rests, strumRhythm, type RhythmNote } from './rhythm.js';
import { element, plain, type Xml } from './xml.js';

/** Where slashes stand on the staff: its middle line. */
const LINE = { step: 'B', octave: 4 };

/**
 * A bar's chord symbols and notes, in order: each symbol before the note it stands over, or in which it falls. `alter` is
 * what the key signature makes of the middle line.
 */
export function barNotes(
  meter: Meter,
  chords: readonly WrittenChord[],
  strum: Strum | undefined,
  alter: number,
): Xml[] {
  const beat = beatLength(meter);
  const changes = chords.filter(({ held }) => !held).map(({ beat: at }) => at);
  const notes = strum ? strumRhythm(strum, meter, changes) : beatSlashes(meter);
  const places = chords
    .filter(({ held }) => !held)
    .map(({ harte, beat: at }) => ({ harte, at: Math.min(Math.round(at * beat), barLength(meter) - 1) }));
  return notes.flatMap((note, i) => {
    const end = note.start + note.duration;
    const own = places.filter(({ at }) => at >= note.start && at < end);
    return [
      ...own.map(({ harte, at }) => harmony(harte, at - note.start)),
      noteElement(notes, i, { alter, ...(strum ? { group: groupAt(meter) } : {}) }),
    ];
  });
}

/** A bar of rests: its length in divisions, and chords by divisions from its start. */
export function emptyBar(duration: number, chords: readonly { readonly harte: string; readonly at: number }[]): Xml[] {
  const notes = rests(duration);
  return notes.flatMap(({ start, duration: length }, i) => {
    const own = chords.filter(({ at }) => at >= start && at < start + length);
    return [...own.map(({ harte, at }) => harmony(harte, at - start)), noteElement(notes, i, { alter: 0 })];
  });
}

interface Staff {
  readonly alter: number;
  /** How notes are beamed; absent where they have no stems. */
  readonly group?: (start: number) => number;
}

/**
 * A rest, or a slash that is shown and not heard. It has a pitch, the one that the key signature gives its line, because
 * readers put a natural before an unpitched note in a key with flats; and it is played at no loudness (some readers hold to
 * that alone, others to the instrument's volume alone).
 */
function noteElement(notes: readonly RhythmNote[], place: number, { alter, group }: Staff): Xml {
  const note = notes[place] as RhythmNote;
  const { value, tied, triplet } = note;
  const length = [plain('duration', note.duration)];
  const type = [
    plain('voice', 1),
    plain('type', value.type),
    ...Array.from({ length: value.dots }, () => plain('dot')),
    ...(triplet ? [plain('time-modification', plain('actual-notes', 3), plain('normal-notes', 2))] : []),
  ];
  const notations = notationsOf(group ? note : { ...note, stroke: undefined });
  if (note.rest) return plain('note', plain('rest'), length, type, notations);
  const altered = alter === 0 ? [] : [plain('alter', alter)];
  return element(
    'note',
    { dynamics: 0 },
    plain('pitch', plain('step', LINE.step), altered, plain('octave', LINE.octave)),
    length,
    tied?.from ? element('tie', { type: 'stop' }) : undefined,
    tied?.to ? element('tie', { type: 'start' }) : undefined,
    type,
    plain('stem', group ? 'up' : 'none'),
    plain('notehead', note.stroke === 'x' ? 'x' : 'slash'),
    (group ? beams(notes, place, group) : []).map((beam, level) => element('beam', { number: level + 1 }, beam)),
    notations,
  );
}

/** Ties, triplet brackets, accents, and the strokes as string players' signs for down and up. */
function notationsOf({ tied, triplet, stroke }: Pick<RhythmNote, 'tied' | 'triplet' | 'stroke'>): Xml | undefined {
  const up = stroke === 'u' || stroke === 'U';
  const accent = stroke === 'D' || stroke === 'U';
  const inside = [
    ...(tied?.from ? [element('tied', { type: 'stop' })] : []),
    ...(tied?.to ? [element('tied', { type: 'start' })] : []),
    ...(triplet?.starts ? [element('tuplet', { type: 'start' })] : []),
    ...(triplet?.stops ? [element('tuplet', { type: 'stop' })] : []),
    ...(stroke && stroke !== 'x' ? [plain('technical', plain(up ? 'up-bow' : 'down-bow'))] : []),
    ...(accent ? [plain('articulations', plain('accent'))] : []),
  ];
  return inside.length > 0 ? plain('notations', inside) : undefined;
}
