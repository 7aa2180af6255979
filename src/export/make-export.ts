import { msg, str } from '@lit/localize';
import type { SongMap } from '../model/song-map.js';
import { shownMap } from '../model/shown-chords.js';
import type { PassTable } from '../model/pass-table.js';
import { chartSvg, type Outlines } from './chart/chart-svg.js';
import { barsCsv, beatsCsv } from './csv.js';
import { sharePage } from './html/share-page.js';
import type { ExportId } from './export-kinds.js';
import { toJams } from './jams.js';
import { toMidi } from './midi/midi.js';
import { toMusicXml } from './musicxml/musicxml.js';
import { textChart } from './text/text-chart.js';
import { toWebVtt } from './webvtt.js';

/** What some files hold besides the map, where it is at hand. */
export interface Brought {
  /** The passes of each section, so that their differences are said. */
  readonly passes?: readonly PassTable[];
  /** Style sheet text with the bundled faces (facesStyle), for pages that have to look the same anywhere. */
  readonly faces?: string;
  /** Outlines of the bundled faces' letters, for drawings that have to look the same anywhere. */
  readonly outlines?: Outlines;
  /** The language of the texts (BCP 47), for files that say it; English without. */
  readonly language?: string;
}

export interface ExportedFile {
  readonly data: string | Uint8Array<ArrayBuffer>;
  readonly left: readonly string[];
}

type Maker = (map: SongMap, brought: Brought) => ExportedFile;

const MAKERS: Readonly<Record<ExportId, Maker>> = {
  text: (map) => whole(textChart(map)),
  svg: (map, { passes, outlines }) => whole(chartSvg(map, { passes, outlines })),
  html: (map, brought) => whole(sharePage(map, brought)),
  musicxml: (map) => whole(toMusicXml(map)),
  midi: (map) => whole(new Uint8Array(toMidi(map))),
  csv: (map) => whole(barsCsv(map)),
  'csv-beats': (map) => whole(beatsCsv(map)),
  vtt: (map) => whole(toWebVtt(shownMap(map), 'bars')),
  'vtt-chords': (map) => whole(toWebVtt(shownMap(map), 'chords')),
  'vtt-sections': (map) => whole(toWebVtt(shownMap(map), 'sections')),
  jams: jamsFile,
};

/** A file of a map, and what it has no place for, as sentences. */
export function makeExport(id: ExportId, map: SongMap, brought: Brought = {}): ExportedFile {
  return MAKERS[id](map, brought);
}

function jamsFile(map: SongMap): ExportedFile {
  const { text, refused } = toJams(map);
  if (refused.length === 0) return whole(text);
  const names = refused.join(', ');
  const left =
    refused.length === 1
      ? msg(str`1 chord cannot be written in JAMS and was left out: ${names}.`)
      : msg(str`${refused.length} chords cannot be written in JAMS and were left out: ${names}.`);
  return { data: text, left: [left] };
}

function whole(data: ExportedFile['data']): ExportedFile {
  return { data, left: [] };
}
