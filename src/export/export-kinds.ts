import type { SongMap } from '../model/song-map.js';
import { shownMap } from '../model/shown-chords.js';
import type { PassTable } from '../model/pass-table.js';
import { chartSvg } from './chart/chart-svg.js';
import { barsCsv, beatsCsv } from './csv.js';
import { sharePage } from './html/share-page.js';
import { toJams } from './jams.js';
import { toMidi } from './midi/midi.js';
import { toMusicXml } from './musicxml/musicxml.js';
import { textChart } from './text/text-chart.js';
import { toWebVtt } from './webvtt.js';

/** A file that is made of the map alone. */
export interface ExportKind {
  readonly id: ExportId;
  /** As a musician calls it. */
  readonly label: string;
  /** What it is for, in a line. */
  readonly use: string;
  /** What comes behind the song's name in the file's. */
  readonly ending: string;
  /** Media type. */
  readonly type: string;
  /** The file's text or bytes, and what it has no place for, as sentences. */
  make(map: SongMap, brought?: Brought): ExportedFile;
}

/** What some files hold besides the map, where it is at hand. */
export interface Brought {
  /** The passes of each section, so that their differences are said. */
  readonly passes?: readonly PassTable[];
  /** Style sheet text with the bundled faces (facesStyle), for files that have to look the same anywhere. */
  readonly faces?: string;
}

export interface ExportedFile {
  readonly data: string | Uint8Array<ArrayBuffer>;
  readonly left: readonly string[];
}

export type ExportId =
  'html' | 'svg' | 'musicxml' | 'midi' | 'text' | 'csv' | 'csv-beats' | 'jams' | 'vtt' | 'vtt-chords' | 'vtt-sections';

/** All of them, in the order in which they are offered. */
export const EXPORT_KINDS: readonly ExportKind[] = [
  {
    id: 'text',
    label: 'Chart as plain text',
    use: 'for a message or an e-mail',
    ending: ' chart.txt',
    type: 'text/plain;charset=utf-8',
    make: (map) => whole(textChart(map)),
  },
  {
    id: 'svg',
    label: 'Chart as a picture (SVG)',
    use: 'for programs that draw',
    ending: ' chart.svg',
    type: 'image/svg+xml',
    make: (map, brought) => whole(chartSvg(map, brought)),
  },
  {
    id: 'html',
    label: 'Page to share (HTML)',
    use: 'chart and form in one file that opens anywhere, without a connection',
    ending: '.html',
    type: 'text/html;charset=utf-8',
    make: (map, brought) => whole(sharePage(map, brought)),
  },
  {
    id: 'musicxml',
    label: 'MusicXML',
    use: 'for programs that write music',
    ending: '.musicxml',
    type: 'application/vnd.recordare.musicxml+xml',
    make: (map) => whole(toMusicXml(shownMap(map))),
  },
  {
    id: 'midi',
    label: 'MIDI',
    use: 'tempo, bars, click, chords and strum in time with the recording',
    ending: '.mid',
    type: 'audio/midi',
    make: (map) => whole(new Uint8Array(toMidi(map))),
  },
  {
    id: 'csv',
    label: 'Table of bars (CSV)',
    use: 'for a spreadsheet',
    ending: ' bars.csv',
    type: 'text/csv;charset=utf-8',
    make: (map) => whole(barsCsv(map)),
  },
  {
    id: 'csv-beats',
    label: 'Table of beats (CSV)',
    use: 'for a spreadsheet',
    ending: ' beats.csv',
    type: 'text/csv;charset=utf-8',
    make: (map) => whole(beatsCsv(map)),
  },
  {
    id: 'vtt',
    label: 'Bars as captions (WebVTT)',
    use: 'for a lesson on video',
    ending: ' bars.vtt',
    type: 'text/vtt;charset=utf-8',
    make: (map) => whole(toWebVtt(shownMap(map), 'bars')),
  },
  {
    id: 'vtt-chords',
    label: 'Chords as captions (WebVTT)',
    use: 'for a lesson on video',
    ending: ' chords.vtt',
    type: 'text/vtt;charset=utf-8',
    make: (map) => whole(toWebVtt(shownMap(map), 'chords')),
  },
  {
    id: 'vtt-sections',
    label: 'Sections as captions (WebVTT)',
    use: 'for a lesson on video',
    ending: ' sections.vtt',
    type: 'text/vtt;charset=utf-8',
    make: (map) => whole(toWebVtt(shownMap(map), 'sections')),
  },
  {
    id: 'jams',
    label: 'JAMS',
    use: 'beats, sections, chords, tempo and key for research programs',
    ending: '.jams',
    type: 'application/json',
    make: (map) => {
      const { text, refused } = toJams(map);
      const what =
        refused.length === 1
          ? '1 chord cannot be written in JAMS and was'
          : `${refused.length} chords cannot be written in JAMS and were`;
      const left = `${what} left out: ${refused.join(', ')}.`;
      return { data: text, left: refused.length > 0 ? [left] : [] };
    },
  },
];

/** The kind with this name. */
export function exportKind(id: ExportId): ExportKind {
  const found = EXPORT_KINDS.find((kind) => kind.id === id);
  if (!found) throw new RangeError(`exportKind: there is no "${id}"`);
  return found;
}

function whole(data: ExportedFile['data']): ExportedFile {
  return { data, left: [] };
}
