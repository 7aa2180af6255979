import type { Meter } from '../../music/meter.js';
import type { Strum } from '../../music/strum.js';
import type { WrittenChord } from '../../model/fold/written-chart.js';
import { harmony } from './harmony.js';
import { barLength, beams, beatLength, beatSlashes, rests, strumRhythm, type RhythmNote } from './rhythm.js';
import { element, plain, type Xml } from './xml.js';

/** Where slashes stand on the staff. */
const LINE = { step: 'B', octave: 4 };

/** A bar's chord symbols and notes, in order: each symbol before the note it stands over, or in which it falls. */
export function barNotes(meter: Meter, chords: readonly WrittenChord[], strum: Strum | undefined): Xml[] {
  const beat = beatLength(meter);
  const changes = chords.filter(({ held }) => !held).map(({ beat: at }) => at);
  const notes = strum ? strumRhythm(strum, meter, changes) : beatSlashes(meter);
  const places = chords
    .filter(({ held }) => !held)
    .map(({ harte, beat: at }) => ({ harte, at: Math.min(Math.round(at * beat), barLength(meter) - 1) }));
  return notes.flatMap((note, i) => {
    const end = note.start + note.duration;
    const own = places.filter(({ at }) => at >= note.start && at < end);
    return [...own.map(({ harte, at }) => harmony(harte, at - note.start)), noteElement(notes, i, beat, !strum)];
  });
}

/** A bar of rests: its length in divisions, and chords by divisions from its start. */
export function emptyBar(duration: number, chords: readonly { readonly harte: string; readonly at: number }[]): Xml[] {
  const notes = rests(duration);
  return notes.flatMap(({ start, duration: length }, i) => {
    const own = chords.filter(({ at }) => at >= start && at < start + length);
    return [...own.map(({ harte, at }) => harmony(harte, at - start)), noteElement(notes, i, duration, true)];
  });
}

function noteElement(notes: readonly RhythmNote[], place: number, beat: number, stemless: boolean): Xml {
  const note = notes[place] as RhythmNote;
  const { value, tied, triplet } = note;
  const length = [plain('duration', note.duration)];
  const type = [
    plain('voice', 1),
    plain('type', value.type),
    ...Array.from({ length: value.dots }, () => plain('dot')),
    ...(triplet ? [plain('time-modification', plain('actual-notes', 3), plain('normal-notes', 2))] : []),
  ];
  const notations = notationsOf(stemless ? { ...note, stroke: undefined } : note);
  if (note.rest) return plain('note', plain('rest'), length, type, notations);
  return plain(
    'note',
    plain('unpitched', plain('display-step', LINE.step), plain('display-octave', LINE.octave)),
    length,
    tied?.from ? element('tie', { type: 'stop' }) : undefined,
    tied?.to ? element('tie', { type: 'start' }) : undefined,
    type,
    plain('stem', stemless ? 'none' : 'up'),
    plain('notehead', note.stroke === 'x' ? 'x' : 'slash'),
    (stemless ? [] : beams(notes, place, beat)).map((beam, level) => element('beam', { number: level + 1 }, beam)),
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
