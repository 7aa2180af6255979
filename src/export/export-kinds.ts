import { msg } from '@lit/localize';

/** A file that is made of the map alone, as it is offered; make-export.ts makes it. */
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
}

export type ExportId =
  'html' | 'svg' | 'musicxml' | 'midi' | 'text' | 'csv' | 'csv-beats' | 'jams' | 'vtt' | 'vtt-chords' | 'vtt-sections';

/** All of them, in the order in which they are offered. */
export const EXPORT_KINDS: readonly ExportKind[] = [
  kind(
    { id: 'text', ending: ' chart.txt', type: 'text/plain;charset=utf-8' },
    () => msg('Chart as plain text'),
    () => msg('for a message or an e-mail'),
  ),
  kind(
    { id: 'svg', ending: ' chart.svg', type: 'image/svg+xml' },
    () => msg('Chart as a picture (SVG)'),
    () => msg('for programs that draw'),
  ),
  kind(
    { id: 'html', ending: '.html', type: 'text/html;charset=utf-8' },
    () => msg('Page to share (HTML)'),
    () => msg('chart and form in one file that opens anywhere, without a connection'),
  ),
  kind(
    { id: 'musicxml', ending: '.musicxml', type: 'application/vnd.recordare.musicxml+xml' },
    () => 'MusicXML',
    () => msg('for programs that write music'),
  ),
  kind(
    { id: 'midi', ending: '.mid', type: 'audio/midi' },
    () => 'MIDI',
    () => msg('tempo, bars, click, chords and strum in time with the recording'),
  ),
  kind(
    { id: 'csv', ending: ' bars.csv', type: 'text/csv;charset=utf-8' },
    () => msg('Table of bars (CSV)'),
    () => msg('for a spreadsheet'),
  ),
  kind(
    { id: 'csv-beats', ending: ' beats.csv', type: 'text/csv;charset=utf-8' },
    () => msg('Table of beats (CSV)'),
    () => msg('for a spreadsheet'),
  ),
  kind(
    { id: 'vtt', ending: ' bars.vtt', type: 'text/vtt;charset=utf-8' },
    () => msg('Bars as captions (WebVTT)'),
    () => msg('for a lesson on video'),
  ),
  kind(
    { id: 'vtt-chords', ending: ' chords.vtt', type: 'text/vtt;charset=utf-8' },
    () => msg('Chords as captions (WebVTT)'),
    () => msg('for a lesson on video'),
  ),
  kind(
    { id: 'vtt-sections', ending: ' sections.vtt', type: 'text/vtt;charset=utf-8' },
    () => msg('Sections as captions (WebVTT)'),
    () => msg('for a lesson on video'),
  ),
  kind(
    { id: 'jams', ending: '.jams', type: 'application/json' },
    () => 'JAMS',
    () => msg('beats, sections, chords, tempo and key for research programs'),
  ),
];

/** Its words are found when they are read: they may be loaded before the language. */
function kind(file: Pick<ExportKind, 'id' | 'ending' | 'type'>, label: () => string, use: () => string): ExportKind {
  return {
    ...file,
    get label() {
      return label();
    },
    get use() {
      return use();
    },
  };
}
