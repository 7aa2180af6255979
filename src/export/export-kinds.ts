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
  {
    id: 'text',
    get label() {
      return msg('Chart as plain text');
    },
    get use() {
      return msg('for a message or an e-mail');
    },
    ending: ' chart.txt',
    type: 'text/plain;charset=utf-8',
  },
  {
    id: 'svg',
    get label() {
      return msg('Chart as a picture (SVG)');
    },
    get use() {
      return msg('for programs that draw');
    },
    ending: ' chart.svg',
    type: 'image/svg+xml',
  },
  {
    id: 'html',
    get label() {
      return msg('Page to share (HTML)');
    },
    get use() {
      return msg('chart and form in one file that opens anywhere, without a connection');
    },
    ending: '.html',
    type: 'text/html;charset=utf-8',
  },
  {
    id: 'musicxml',
    label: 'MusicXML',
    get use() {
      return msg('for programs that write music');
    },
    ending: '.musicxml',
    type: 'application/vnd.recordare.musicxml+xml',
  },
  {
    id: 'midi',
    label: 'MIDI',
    get use() {
      return msg('tempo, bars, click, chords and strum in time with the recording');
    },
    ending: '.mid',
    type: 'audio/midi',
  },
  {
    id: 'csv',
    get label() {
      return msg('Table of bars (CSV)');
    },
    get use() {
      return msg('for a spreadsheet');
    },
    ending: ' bars.csv',
    type: 'text/csv;charset=utf-8',
  },
  {
    id: 'csv-beats',
    get label() {
      return msg('Table of beats (CSV)');
    },
    get use() {
      return msg('for a spreadsheet');
    },
    ending: ' beats.csv',
    type: 'text/csv;charset=utf-8',
  },
  {
    id: 'vtt',
    get label() {
      return msg('Bars as captions (WebVTT)');
    },
    get use() {
      return msg('for a lesson on video');
    },
    ending: ' bars.vtt',
    type: 'text/vtt;charset=utf-8',
  },
  {
    id: 'vtt-chords',
    get label() {
      return msg('Chords as captions (WebVTT)');
    },
    get use() {
      return msg('for a lesson on video');
    },
    ending: ' chords.vtt',
    type: 'text/vtt;charset=utf-8',
  },
  {
    id: 'vtt-sections',
    get label() {
      return msg('Sections as captions (WebVTT)');
    },
    get use() {
      return msg('for a lesson on video');
    },
    ending: ' sections.vtt',
    type: 'text/vtt;charset=utf-8',
  },
  {
    id: 'jams',
    label: 'JAMS',
    get use() {
      return msg('beats, sections, chords, tempo and key for research programs');
    },
    ending: '.jams',
    type: 'application/json',
  },
];
