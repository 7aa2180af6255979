import { signatureOf } from '../../music/key.js';
import { transposeKey } from '../../music/transpose.js';
import { meterText, sameMeter, type Meter } from '../../music/meter.js';
import {
  labelAt,
  type WrittenChart,
  type WrittenChord,
  type WrittenFree,
  type WrittenItem,
} from '../../model/fold/written-chart.js';
import type { ChartOptions } from '../../model/chart-options.js';
import { barNumber, sectionOfBar } from '../../model/map-queries.js';
import type { Key, Section, SongMap } from '../../model/song-map.js';
import { shownMap } from '../../model/shown-chords.js';
import { movedFacts } from '../chart/chart-facts.js';
import { cuesOf } from '../chart/chart-song.js';
import { oneLine } from '../one-line.js';
import { barNotes, emptyBar } from './bar-notes.js';
import { DIVISIONS } from './rhythm.js';
import { DEFAULT_SCORE, leftBarline, rightBarline, scoreChart, signsBefore, signsBehind, words } from './signs.js';
import { freeQuarters, tempoMarks, type TempoMark } from './tempo-marks.js';
import { element, plain, xmlText, type Xml } from './xml.js';

/** Longest text of a user that is written. */
const MOST_TEXT = 500;

/**
 * The song as MusicXML 4.0 (W3C Music Notation Community Group), a part of chord symbols over slashes that make no sound:
 * written out or folded, as the settings of the chart say, with only such repeats and jumps as readers play right. Chords
 * and key are those shown; behind a capo the part transposes. A section with a strum pattern has its rhythm, with signs for
 * down and up; any other a slash a beat. A pickup is a measure of its own without a number; a stretch without a steady beat
 * is one of no time signature, as long as it lasts. Measures are numbered as the bars on the screen, a written one after the
 * first it stands for.
 */
export function toMusicXml(sounding: SongMap, options: ChartOptions = sounding.chart ?? DEFAULT_SCORE): string {
  const map = shownMap(sounding);
  const chart = scoreChart(map, options);
  const { items } = chart;
  const tempi = tempoMarks(map, items);
  const key = map.key && Math.abs(signatureOf(map.key)) <= 7 ? map.key : undefined;
  const song: Song = { map, chart, options, key, transposition: transposition(sounding), facts: movedFacts(sounding) };
  const state: State = { meter: undefined, unnumbered: 0, swing: undefined };
  const measures = items.map((item, place) => measure(song, place, item, tempi[place], state));
  const title = oneLine(map.title, MOST_TEXT);
  const score = element(
    'score-partwise',
    { version: '4.0' },
    plain('work', plain('work-title', title)),
    plain('identification', plain('encoding', plain('software', 'Barwright'), supports())),
    plain(
      'part-list',
      element(
        'score-part',
        { id: 'P1' },
        element('part-name', { 'print-object': 'no' }, 'Chords'),
        element('score-instrument', { id: 'P1-I1' }, plain('instrument-name', 'Strum')),
        element('midi-instrument', { id: 'P1-I1' }, plain('volume', 0)),
      ),
    ),
    element('part', { id: 'P1' }, measures.length > 0 ? measures : noBars()),
  );
  return xmlText(score);
}

function supports(): Xml[] {
  const all = [
    { element: 'print', type: 'yes', attribute: 'new-system', value: 'yes' },
    { element: 'beam', type: 'yes' },
  ];
  return all.map((attributes) => element('supports', attributes));
}

/** What all measures share. */
interface Song {
  readonly map: SongMap;
  readonly chart: WrittenChart;
  readonly options: ChartOptions;
  /** The key that is written. */
  readonly key: Key | undefined;
  readonly transposition: Xml | undefined;
  /** What is said of capo and transposition. */
  readonly facts: readonly string[];
}

/** What goes on from measure to measure. */
interface State {
  meter: Meter | undefined;
  unnumbered: number;
  swing: number | undefined;
}

function measure(song: Song, place: number, item: WrittenItem, tempo: TempoMark | undefined, state: State): Xml {
  const { map, chart, options, key } = song;
  const { items } = chart;
  const label = labelAt(items, place);
  const implicit = item.kind === 'free' || item.pickup;
  const first = item.kind === 'bar' ? barNumber(map, item.bars[0] ?? 0) : undefined;
  const number =
    item.kind === 'bar' && item.pickup && first === 0 ? '0' : implicit ? `X${++state.unnumbered}` : String(first);
  const section = item.kind === 'bar' ? map.sections[sectionOfBar(map, item.bars[0] ?? 0) ?? -1] : undefined;
  const isNewLine = label !== '' && place > 0 && !isPickup(items[place - 1]);
  const strum = options.strum ? section?.strum : undefined;
  const cues = options.cues && label !== '' && item.kind === 'bar' ? cuesOf(map, item) : [];
  return element(
    'measure',
    { number, implicit: implicit ? 'yes' : undefined },
    isNewLine ? element('print', { 'new-system': 'yes' }) : undefined,
    place === 0 ? numbering(options) : undefined,
    leftBarline(item),
    attributes(song, place, state),
    label === '' ? [] : rehearsal(label),
    place === 0 ? song.facts.map((fact) => words(fact)) : [],
    signsBefore(item),
    tempo ? tempoDirection(tempo) : undefined,
    section && label !== '' ? swingDirection(section, state) : [],
    cues.map((cue) => words(cue)),
    item.kind === 'free'
      ? freeStretch(map, item)
      : barNotes(item.meter, label === '' ? item.chords : restated(item.chords), strum, key ? middleLine(key) : 0),
    signsBehind(item),
    rightBarline(chart, place, labelAt(items, place + 1) !== '' && !isPickup(item)),
  );
}

/** A number at the first bar of each line, or none. */
function numbering({ barNumbers }: ChartOptions): Xml {
  return plain('print', plain('measure-numbering', barNumbers ? 'system' : 'none'));
}

/** What the key signature makes of the B on the middle line: the first flat, and the last sharp. */
function middleLine(key: Key): number {
  const fifths = signatureOf(key);
  return fifths < 0 ? -1 : fifths > 6 ? 1 : 0;
}

const STEPS = 'CDEFGAB';
/** Steps of the staff by semitones, where no key says more (common practice, no source). */
const USUAL_STEPS = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5];

/** How much higher a part sounds than it is written: by the capo, where the shapes behind it are shown. */
function transposition({ fingered = {}, key }: SongMap): Xml | undefined {
  const { capo = 0, transpose = 0, sounding } = fingered;
  if (capo === 0 || sounding) return undefined;
  const step = (of: Key, semitones: number): number => STEPS.indexOf(transposeKey(of, semitones).tonic.charAt(0));
  const between = key ? (step(key, transpose) - step(key, transpose - capo) + 7) % 7 : (USUAL_STEPS[capo] ?? 0);
  return plain('transpose', plain('diatonic', between), plain('chromatic', capo));
}

/** The chord that goes on is written again where a section begins: nobody looks for it in the section before. */
function restated(chords: readonly WrittenChord[]): readonly WrittenChord[] {
  return chords.map(({ harte, beat }) => ({ harte, beat }));
}

function isPickup(item: WrittenItem | undefined): boolean {
  return item?.kind === 'bar' && item.pickup === true;
}

function attributes({ chart: { items }, key, transposition: moved }: Song, place: number, state: State): Xml[] {
  const item = items[place] as WrittenItem;
  const first = place === 0;
  // A pickup is measured by the time signature of the bar it leads to.
  const next = items[place + 1];
  const meter = item.kind === 'free' ? undefined : item.pickup && next?.kind === 'bar' ? next.meter : item.meter;
  const same =
    meter && state.meter
      ? sameMeter(meter, state.meter) && meterText(meter) === meterText(state.meter)
      : meter === state.meter;
  const time = first || !same;
  state.meter = meter;
  if (!time) return [];
  return [
    plain(
      'attributes',
      first ? plain('divisions', DIVISIONS) : undefined,
      first && key ? plain('key', plain('fifths', signatureOf(key)), plain('mode', key.mode)) : undefined,
      meter ? timeSignature(meter) : plain('time', plain('senza-misura')),
      first ? [plain('clef', plain('sign', 'G'), plain('line', 2)), moved] : undefined,
    ),
  ];
}

function timeSignature({ count, unit, grouping }: Meter): Xml {
  const beats = grouping && grouping.length > 1 ? grouping.join('+') : count;
  return plain('time', plain('beats', beats), plain('beat-type', unit));
}

function rehearsal(label: string): Xml {
  const mark = element('rehearsal', { enclosure: 'rectangle' }, oneLine(label, MOST_TEXT));
  return element('direction', { placement: 'above' }, plain('direction-type', mark));
}

function tempoDirection({ metronome, quarters }: TempoMark): Xml {
  const sound = element('sound', { tempo: Number(quarters.toFixed(3)) });
  return element('direction', { placement: 'above' }, plain('direction-type', metronome), sound);
}

/** Words where the swing changes; the ratio of long to short in twentieths. */
function swingDirection(section: Section, state: State): Xml[] {
  const swing = section.swing ?? 1;
  if (swing === (state.swing ?? 1)) return [];
  state.swing = swing;
  if (swing <= 1) return [words('straight', {}, plain('swing', plain('straight')))];
  const ratio = [plain('first', Math.round(swing * 20)), plain('second', 20), plain('swing-type', 'eighth')];
  return [words('swing', {}, plain('swing', ratio))];
}

function freeStretch(map: SongMap, { length, chords }: WrittenFree): Xml[] {
  const duration = freeQuarters(map, length) * DIVISIONS;
  const at = (after: number): number => Math.min(Math.round((after / length) * duration), duration - 1);
  return [
    words(`free, ${Math.max(1, Math.round(length))} s`),
    ...emptyBar(
      duration,
      chords.map(({ harte, after }) => ({ harte, at: at(after) })),
    ),
  ];
}

/** A score has one measure at least. */
function noBars(): Xml {
  return element(
    'measure',
    { number: '0', implicit: 'yes' },
    plain('attributes', plain('divisions', DIVISIONS), plain('time', plain('senza-misura'))),
    emptyBar(4 * DIVISIONS, []),
  );
}
