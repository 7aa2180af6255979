import { signatureOf } from '../../music/key.js';
import { meterText, sameMeter, type Meter } from '../../music/meter.js';
import {
  labelAt,
  type WrittenChart,
  type WrittenChord,
  type WrittenFree,
  type WrittenItem,
} from '../../model/fold/written-chart.js';
import { barNumber, sectionOfBar } from '../../model/map-queries.js';
import type { Section, SongMap } from '../../model/song-map.js';
import { oneLine } from '../one-line.js';
import { barNotes, emptyBar } from './bar-notes.js';
import { DIVISIONS } from './rhythm.js';
import { leftBarline, playableChart, rightBarline, signsBefore, signsBehind, words } from './signs.js';
import { freeQuarters, tempoMarks, type TempoMark } from './tempo-marks.js';
import { element, plain, xmlText, type Xml } from './xml.js';

/** Longest text of a user that is written. */
const MOST_TEXT = 500;

/**
 * The song as MusicXML 4.0 (W3C Music Notation Community Group), a part of chord symbols over slashes: the folded chart with
 * its repeats, endings and jump. A section with a strum pattern has its rhythm, with signs for down and up; any other a slash
 * a beat. A pickup is a measure of its own without a number; a stretch without a steady beat is one of no time signature,
 * as long as it lasts. Measures are numbered as the bars on the screen, a written one after the first it stands for.
 */
export function toMusicXml(map: SongMap): string {
  const chart = playableChart(map);
  const { items } = chart;
  const isHead = (place: number): boolean => labelAt(items, place) !== '';
  const tempi = tempoMarks(map, items, isHead);
  const state: State = { meter: undefined, unnumbered: 0, swing: undefined };
  const measures = items.map((item, place) => measure(map, chart, place, item, tempi[place] ?? {}, state));
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

/** What goes on from measure to measure. */
interface State {
  meter: Meter | undefined;
  unnumbered: number;
  swing: number | undefined;
}

function measure(
  map: SongMap,
  chart: WrittenChart,
  place: number,
  item: WrittenItem,
  tempo: TempoMark,
  state: State,
): Xml {
  const { items } = chart;
  const label = labelAt(items, place);
  const implicit = item.kind === 'free' || item.pickup;
  const first = item.kind === 'bar' ? barNumber(map, item.bars[0] ?? 0) : undefined;
  const number =
    item.kind === 'bar' && item.pickup && first === 0 ? '0' : implicit ? `X${++state.unnumbered}` : String(first);
  const section = item.kind === 'bar' ? map.sections[sectionOfBar(map, item.bars[0] ?? 0) ?? -1] : undefined;
  const isNewLine = label !== '' && place > 0 && !isPickup(items[place - 1]);
  return element(
    'measure',
    { number, implicit: implicit ? 'yes' : undefined },
    isNewLine ? element('print', { 'new-system': 'yes' }) : undefined,
    leftBarline(item),
    attributes(map, items, place, state),
    label === '' ? [] : rehearsal(label),
    signsBefore(item),
    tempoDirection(tempo),
    section && label !== '' ? swingDirection(section, state) : [],
    item.kind === 'free'
      ? freeStretch(map, item)
      : barNotes(item.meter, label === '' ? item.chords : restated(item.chords), section?.strum),
    signsBehind(item),
    rightBarline(chart, place, labelAt(items, place + 1) !== '' && !isPickup(item)),
  );
}

/** The chord that goes on is written again where a section begins: nobody looks for it in the section before. */
function restated(chords: readonly WrittenChord[]): readonly WrittenChord[] {
  return chords.map(({ harte, beat }) => ({ harte, beat }));
}

function isPickup(item: WrittenItem | undefined): boolean {
  return item?.kind === 'bar' && item.pickup === true;
}

function attributes(map: SongMap, items: readonly WrittenItem[], place: number, state: State): Xml[] {
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
  const key = map.key && Math.abs(signatureOf(map.key)) <= 7 ? map.key : undefined;
  return [
    plain(
      'attributes',
      first ? plain('divisions', DIVISIONS) : undefined,
      first && key ? plain('key', plain('fifths', signatureOf(key)), plain('mode', key.mode)) : undefined,
      meter ? timeSignature(meter) : plain('time', plain('senza-misura')),
      first ? plain('clef', plain('sign', 'G'), plain('line', 2)) : undefined,
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

function tempoDirection({ metronome, played }: TempoMark): Xml[] {
  const sound = played === undefined ? undefined : element('sound', { tempo: Number(played.toFixed(3)) });
  if (metronome) return [element('direction', { placement: 'above' }, plain('direction-type', metronome), sound)];
  return sound ? [sound] : [];
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
