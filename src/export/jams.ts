import { COMMON_TIME, type Meter } from '../music/meter.js';
import { strumText } from '../music/strum.js';
import { barEnd, barNumber, barsOf, beatTimes, spanEnd } from '../model/map-queries.js';
import type { ChordMark, Section, SongMap } from '../model/song-map.js';
import { beatTempi, tempoSummary } from '../model/tempo.js';

/** A map as JAMS, and what that format has no place for. */
export interface JamsFile {
  /** The file's text. */
  readonly text: string;
  /** Chords that the namespace "chord" cannot write, left out of the file: as they are named, in order, each once. */
  readonly refused: readonly string[];
}

/** What JAMS calls one observation. Times in seconds. */
interface Observation {
  readonly time: number;
  readonly duration: number;
  readonly value: unknown;
  readonly confidence: number | null;
}

/**
 * The map as JAMS (JSON Annotated Music Specification; Humphrey et al., ISMIR 2014; schema of the project marl/jams):
 *
 * - beat_position: one observation a beat; `measure` is the bar's number as on the screen, a pickup 0. `num_beats` and
 *   `beat_units` are the time signature, `position` counts its units from 1. So in 6/8 felt in two the beats stand at
 *   1 and 4 of 6, and a bar of 3 1/2 quarters has its beats at 1, 3, 5 and 7 of 7 eighths: nothing is rounded. The
 *   beats of a pickup count up to the end of the bar after it: the last quarter before 4/4 is 4 of 4.
 * - tempo: first one annotation with the median over the map, then one with the tempo of each bar, in beats a minute.
 * - segment_open: first the sections by name, then by the letter that those of the same material share. tag_open: how a
 *   section is strummed and swung, "strum d du -u du", where it is set. chord: Harte syntax, each up to the next, the last to the end of the last bar.
 * - key_mode: the key over the whole map, when there is one.
 *
 * Free stretches have no beats. Times are written to the microsecond. What lasts ends no later than the next begins, as a
 * reader adds time and duration: mir_eval refuses chords that overlap by any amount.
 */
export function toJams(map: SongMap): JamsFile {
  const { observations, refused } = chordObservations(map);
  const tags = tagObservations(map);
  const annotation = (namespace: string, data: readonly Observation[], rules: string): object => ({
    namespace,
    annotation_metadata: {
      annotation_tools: 'Barwright',
      annotation_rules: rules,
      version: map.analysis,
      data_source: map.locks.length > 0 ? 'program, corrected by a person' : 'program',
      annotator: {},
    },
    data,
    sandbox: {},
    time: micro(map.start),
    duration: lasting(micro(map.start), micro(map.end)),
  });
  const jams = {
    file_metadata: {
      title: map.title,
      duration: micro(map.recording.duration),
      identifiers: { sha256: map.recording.contentId },
      jams_version: '0.3.4',
    },
    annotations: [
      annotation('beat_position', beatObservations(map), 'position counts beat_units; a pickup is measure 0'),
      annotation('tempo', tempoOverall(map), 'median over the whole map'),
      annotation('tempo', tempoOfBars(map), 'of each bar'),
      annotation('segment_open', sectionObservations(map), 'sections by name, on bar lines'),
      annotation('segment_open', groupObservations(map), 'sections of the same material share a letter'),
      ...(tags.length > 0 ? [annotation('tag_open', tags, 'strum and swing of each section')] : []),
      annotation('chord', observations, 'each until the next'),
      ...(map.key ? [annotation('key_mode', keyObservations(map), 'over the whole map')] : []),
    ],
    sandbox: {},
  };
  return { text: `${JSON.stringify(jams, null, 1)}\n`, refused };
}

function beatObservations(map: SongMap): Observation[] {
  const bars = barsOf(map);
  return bars.flatMap((bar, b) => {
    const { count, unit, beatUnits, first } = counting(
      bar.meter,
      bar.pickup ? (bars[b + 1]?.meter ?? COMMON_TIME) : undefined,
    );
    return bar.beats.map((time, i) => ({
      time: micro(time),
      duration: 0,
      value: { position: first + i * beatUnits, measure: barNumber(map, b), num_beats: count, beat_units: unit },
      confidence: bar.confidence,
    }));
  });
}

/** How a bar is counted: its units, how many a beat takes, and the unit its first beat stands on. */
function counting(meter: Meter, after?: Meter): { count: number; unit: number; beatUnits: number; first: number } {
  if (!after) return { count: meter.count, unit: meter.unit, beatUnits: meter.beatUnits, first: 1 };
  const unit = Math.max(meter.unit, after.unit);
  const own = (meter.count * unit) / meter.unit;
  // A pickup as long as the bar after it must still not look like beat 1.
  const count = Math.max((after.count * unit) / after.unit, own + 1);
  return { count, unit, beatUnits: (meter.beatUnits * unit) / meter.unit, first: count - own + 1 };
}

function tempoOverall(map: SongMap): Observation[] {
  const tempo = tempoSummary(map);
  if (!tempo) return [];
  const bars = barsOf(map);
  const confidence = bars.reduce((sum, bar) => sum + bar.confidence, 0) / bars.length;
  return observation(map.start, map.end, Number(tempo.median.toFixed(3)), Number(confidence.toFixed(3)));
}

function tempoOfBars(map: SongMap): Observation[] {
  const tempi = beatTempi(map);
  let beat = 0;
  return barsOf(map).flatMap((bar, i) => {
    const own = tempi.slice(beat, beat + bar.beats.length);
    beat += bar.beats.length;
    const mean = own.reduce((sum, tempo) => sum + tempo, 0) / own.length;
    return observation(bar.start, barEnd(map, i), Number(mean.toFixed(3)), bar.confidence);
  });
}

function sectionObservations(map: SongMap): Observation[] {
  return ofSections(map, ({ name }) => [name]);
}

function groupObservations(map: SongMap): Observation[] {
  return ofSections(map, ({ letter }) => [letter]);
}

/** Namespaces have no strum; open tags may say anything. */
function tagObservations(map: SongMap): Observation[] {
  return ofSections(map, ({ strum, swing }) => [
    ...(strum ? [`strum ${strumText(strum)}`] : []),
    ...(swing === undefined ? [] : [`swing ${Number(swing.toFixed(3))}:1`]),
  ]);
}

function ofSections(map: SongMap, values: (section: Section) => readonly string[]): Observation[] {
  const end = musicEnd(map);
  return map.sections.flatMap((section, i) =>
    values(section).flatMap((value) =>
      observation(section.start, map.sections[i + 1]?.start ?? end, value, section.origin === 'user' ? 1 : null),
    ),
  );
}

/** The pattern of the namespace "chord" in the schemas of marl/jams (chord/chord.json). */
const CHORD =
  /^((N|X)|(([A-G](b*|#*))((:(maj|min|dim|aug|1|5|sus2|sus4|maj6|min6|7|maj7|min7|dim7|hdim7|minmaj7|aug7|9|maj9|min9|11|maj11|min11|13|maj13|min13)(\((\*?((b*|#*)([1-9]|1[0-3]?))(,\*?((b*|#*)([1-9]|1[0-3]?)))*)\))?)|(:\((\*?((b*|#*)([1-9]|1[0-3]?))(,\*?((b*|#*)([1-9]|1[0-3]?)))*)\)))?((\/((b*|#*)([1-9]|1[0-3]?)))?)?))$/;

function chordObservations(map: SongMap): { observations: Observation[]; refused: string[] } {
  const start = beatTimes(map)[0] ?? map.start;
  const end = musicEnd(map);
  const refused = new Set<string>();
  const observations = map.chords.flatMap((chord: ChordMark, i): Observation[] => {
    const from = Math.max(chord.time, map.spans[0]?.kind === 'lead-in' ? start : map.start);
    const to = Math.min(map.chords[i + 1]?.time ?? end, end);
    if (from >= to) return [];
    if (CHORD.test(chord.harte)) return observation(from, to, chord.harte, chord.confidence);
    refused.add(chord.harte);
    return [];
  });
  return { observations, refused: [...refused] };
}

function keyObservations(map: SongMap): Observation[] {
  if (!map.key) return [];
  return observation(map.start, map.end, `${map.key.tonic}:${map.key.mode}`, map.key.confidence);
}

/** Where the last bar or free stretch ends. */
function musicEnd(map: SongMap): number {
  const last = map.spans.length - 1;
  return map.spans[last]?.kind === 'tail' && last > 0 ? spanEnd(map, last - 1) : map.end;
}

/** What lasts from one time to another; nothing where both are the same microsecond. */
function observation(from: number, to: number, value: unknown, confidence: number | null): Observation[] {
  const [time, end] = [micro(from), micro(to)];
  return time < end ? [{ time, duration: lasting(time, end), value, confidence }] : [];
}

/** The duration in microseconds, or what is nearest below it of which `time + duration <= end` is true in binary numbers. */
function lasting(time: number, end: number): number {
  const rounded = micro(end - time);
  if (time + rounded <= end) return rounded;
  let duration = end - time;
  while (time + duration > end) duration -= end * Number.EPSILON;
  return duration;
}

function micro(seconds: number): number {
  return Math.round(seconds * 1e6) / 1e6;
}
