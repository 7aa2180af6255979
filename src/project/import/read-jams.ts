import { msg, str } from '@lit/localize';
import { parseHarte } from '../../music/chord.js';
import type { Meter, NoteUnit } from '../../music/meter.js';
import { JsonTooLarge, MOST_VALUES, readJson } from '../read-json.js';
import { checkAscending, ImportProblem, MOST_TIMES, NOTHING, runsOf, usualOf, type Imported } from './imported.js';

type Fields = Readonly<Record<string, unknown>>;
interface Observation {
  readonly time: number;
  readonly duration: number;
  readonly value: unknown;
}

/**
 * Reads JAMS (JSON Annotated Music Specification; Humphrey et al., ISMIR 2014): beats from the first annotation of the
 * namespace beat_position, or else beat, with chords (chord, chord_harte) and sections (segment_open and its like) where
 * there are any. Throws ImportProblem.
 */
export function readJams(text: string): Imported {
  let file: unknown;
  try {
    file = readJson(text);
  } catch (error) {
    if (error instanceof JsonTooLarge)
      throw new ImportProblem(
        msg(
          str`This JAMS file holds more than ${MOST_VALUES} values. Choose one of the beats, chords and sections alone.`,
        ),
      );
    throw new ImportProblem(msg('This is no JAMS file: it is not complete JSON. Save or fetch it again.'));
  }
  const annotations = fieldsOf(file)?.annotations;
  if (!Array.isArray(annotations))
    throw new ImportProblem(
      msg('This JSON file is no JAMS: it has no "annotations". Choose a file that ends in .jams.'),
    );
  const all = (annotations as unknown[]).map(fieldsOf).filter((one) => one !== undefined);
  const first = (...names: readonly string[]): readonly Observation[] => {
    for (const name of names) {
      const found = all.find(({ namespace }) => namespace === name);
      if (found) return observations(found.data, name);
    }
    return [];
  };
  const positions = first('beat_position');
  const beats = positions.length > 0 ? positions : first('beat');
  const sections = first('segment_open', 'segment_salami_upper', 'segment_salami_function', 'segment_tut');
  const chords = first('chord', 'chord_harte');
  if (beats.length < 2 && chords.length === 0 && sections.length === 0)
    throw new ImportProblem(
      msg('This JAMS file has no beats, chords or sections. Choose one with the namespace beat_position or beat.'),
    );
  const times = beats.map(({ time }) => time);
  checkAscending(times, (i) => msg(str`Beat ${i + 1} of the JAMS file`));
  const downbeats = beats.filter(({ value }) => (fieldsOf(value)?.position ?? value) === 1).map(({ time }) => time);
  const bars = positions.length > 0 ? barsIn(positions) : [];
  return {
    ...NOTHING,
    from: msg('JAMS file'),
    runs: times.length < 2 ? [] : runsOf(times, downbeats),
    ...(bars.length > 0 ? { usual: usualOf(bars.map(({ meter }) => meter)) } : {}),
    // Others are told by their beats.
    meters: bars.filter(({ meter }) => meter.count % meter.beatUnits !== 0),
    chords: chords.flatMap(({ time, value }) => {
      return typeof value === 'string' && parseHarte(value) ? [{ time, harte: value }] : [];
    }),
    sections: sections.flatMap(({ time, value }) => (typeof value === 'string' ? [{ time, name: value }] : [])),
  };
}

/** The meters of the whole bars, and where they start; a bar's beats stand on units 1, 3, 5 and 7 of 7. */
function barsIn(beats: readonly Observation[]): { readonly time: number; readonly meter: Meter }[] {
  const found: { time: number; meter: Meter }[] = [];
  beats.forEach(({ time, value }, i) => {
    const { position, num_beats: count, beat_units: unit, measure } = fieldsOf(value) ?? {};
    const next = fieldsOf(beats[i + 1]?.value);
    if (position !== 1 || typeof count !== 'number' || !isUnit(unit)) return;
    // A pickup behind free time may have the measure of the bar before it.
    const same = next?.measure === measure && next?.num_beats === count;
    const beatUnits = !same ? count : typeof next?.position === 'number' ? next.position - 1 : NaN;
    const isWhole =
      Number.isInteger(count) && count >= 1 && count <= 32 && Number.isInteger(beatUnits) && beatUnits >= 1;
    if (isWhole) found.push({ time, meter: { count, unit, beatUnits } });
  });
  return found;
}

function isUnit(value: unknown): value is NoteUnit {
  return [1, 2, 4, 8, 16].includes(value as number);
}

function observations(data: unknown, namespace: string): Observation[] {
  // Older files hold the columns as lists.
  const rows = Array.isArray(data) ? (data as unknown[]) : [];
  if (rows.length > MOST_TIMES)
    throw new ImportProblem(
      msg(
        str`The JAMS file has ${rows.length} entries in ${namespace}; at most ${MOST_TIMES} are read. Choose the file of one song.`,
      ),
    );
  return rows
    .map((row, i): Observation => {
      const { time, duration, value } = fieldsOf(row) ?? {};
      if (typeof time !== 'number' || !(time >= 0))
        throw new ImportProblem(
          msg(str`Entry ${i + 1} of ${namespace} in the JAMS file has no time in seconds. Export the file again.`),
        );
      return { time, duration: typeof duration === 'number' ? duration : 0, value };
    })
    .sort((a, b) => a.time - b.time);
}

function fieldsOf(value: unknown): Fields | undefined {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Fields) : undefined;
}
