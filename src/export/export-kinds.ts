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
    label: 'Chart as plain text',
    use: 'for a message or an e-mail',
    ending: ' chart.txt',
    type: 'text/plain;charset=utf-8',
  },
  {
    id: 'svg',
    label: 'Chart as a picture (SVG)',
    use: 'for programs that draw',
    ending: ' chart.svg',
    type: 'image/svg+xml',
  },
  {
    id: 'html',
    label: 'Page to share (HTML)',
    use: 'chart and form in one file that opens anywhere, without a connection',
    ending: '.html',
    type: 'text/html;charset=utf-8',
  },
  {
    id: 'musicxml',
    label: 'MusicXML',
    use: 'for programs that write music',
    ending: '.musicxml',
    type: 'application/vnd.recordare.musicxml+xml',
  },
  {
    id: 'midi',
    label: 'MIDI',
    use: 'tempo, bars, click, chords and strum in time with the recording',
    ending: '.mid',
    type: 'audio/midi',
  },
  {
    id: 'csv',
    label: 'Table of bars (CSV)',
    use: 'for a spreadsheet',
    ending: ' bars.csv',
    type: 'text/csv;charset=utf-8',
  },
  {
    id: 'csv-beats',
    label: 'Table of beats (CSV)',
    use: 'for a spreadsheet',
    ending: ' beats.csv',
    type: 'text/csv;charset=utf-8',
  },
  {
    id: 'vtt',
    label: 'Bars as captions (WebVTT)',
    use: 'for a lesson on video',
    ending: ' bars.vtt',
    type: 'text/vtt;charset=utf-8',
  },
  {
    id: 'vtt-chords',
    label: 'Chords as captions (WebVTT)',
    use: 'for a lesson on video',
    ending: ' chords.vtt',
    type: 'text/vtt;charset=utf-8',
  },
  {
    id: 'vtt-sections',
    label: 'Sections as captions (WebVTT)',
    use: 'for a lesson on video',
    ending: ' sections.vtt',
    type: 'text/vtt;charset=utf-8',
  },
  {
    id: 'jams',
    label: 'JAMS',
    use: 'beats, sections, chords, tempo and key for research programs',
    ending: '.jams',
    type: 'application/json',
  },
];
