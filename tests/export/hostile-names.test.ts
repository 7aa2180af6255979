import { parse } from 'csv-parse/sync';
import { WebVTTParser } from 'webvtt-parser';
import { describe, expect, it } from 'vitest';
import { EXPORT_KINDS, type ExportId } from '../../src/export/export-kinds.js';
import { makeExport } from '../../src/export/make-export.js';
import type { SongMap } from '../../src/model/song-map.js';
import { jamsFaults } from '../support/jams-schema.js';
import { readMidiFile } from '../support/midi.js';
import { all, hasXmllint, rootOf, schemaFaults } from '../support/musicxml.js';
import { bars } from '../support/notation.js';

/** What users, or those who want to do them harm, may call a song, a section, a chord. */
const NAMES: Readonly<Record<string, string>> = {
  script: `<script>alert("x")</script>`,
  quotes: `"';--\\" & 'é' \`\${x}\` %s {{y}}`,
  'ends of what holds it': `]]> --> </svg></text></title> <!-- */ ?> "/>`,
  'right to left': 'שלום \u202eabc\u202c עולם',
  emoji: '🎸👩‍🎤🏳️‍🌈 e\u0301\u0302',
  'ten thousand characters': 'x𝄞'.repeat(5000),
  'control characters': 'a\u0000b\u0007c\u001bd\r\ne\tf\u2028g\u0085h',
  'half characters': 'a\ud800b\udc00c\uffff\ufffe',
  formula: '=HYPERLINK("x")',
  nothing: '',
};

function named(name: string): SongMap {
  const map = bars('- Verse: (1) 4:G,C@3 2:A:min7 | Chorus: 4:G ~3 4 | Verse: 4:G,C@3 2:A:min7 -');
  const sections = map.sections.map((section) => ({ ...section, name }));
  const typed = { time: map.chords[1]!.time + 0.25, harte: name, origin: 'user', confidence: 1 } as const;
  const chords = [...map.chords.slice(0, 2), typed, ...map.chords.slice(2)];
  return { ...map, title: name, recording: { ...map.recording, fileName: name }, sections, chords };
}

const text = (data: string | Uint8Array): string => {
  expect(typeof data).toBe('string');
  return data as string;
};

/** A reader for each kind of file, which throws or fails where it is broken, and says which titles it read. */
const READ: Readonly<Record<ExportId, (data: string | Uint8Array) => void>> = {
  text: (data) => {
    // A line of a chart is a line whatever stands in it.
    const plain = text(data);
    expect(plain).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e]/);
    expect(plain.split('\n').filter((line) => /^[\d ]{4}\|/.test(line)).length).toBeGreaterThanOrEqual(2);
    expect(Math.max(...plain.split('\n').map((line) => Array.from(line).length))).toBeLessThanOrEqual(200);
  },
  musicxml: (data) => {
    const root = rootOf(text(data));
    expect(all(root, 'measure')).toHaveLength(8);
    expect(all(root, 'script')).toHaveLength(0);
    if (hasXmllint) expect(schemaFaults([text(data)])).toBe('');
  },
  midi: (data) => {
    const file = readMidiFile(data as Uint8Array);
    expect(file.metas('marker')).toHaveLength(3);
    expect(file.notes(1).length).toBeGreaterThan(10);
  },
  csv: (data) => csvRows(text(data), 8),
  'csv-beats': (data) => csvRows(text(data), 21),
  svg: (data) => {
    const root = rootOf(text(data));
    const drawn = ['title', 'style', 'rect', 'g', 'text', 'path', 'line'];
    for (const { tagName } of all(root, '*')) expect(drawn).toContain(tagName);
  },
  html: (data) => {
    // Whatever begins with < is one of the page's own tags: nothing of a user's can be one.
    const page = text(data);
    const tags = (page.match(/<[^\s>]*/g) ?? []).map((tag) => tag.replace(/^<\/?/, ''));
    for (const tag of tags) expect(TAGS).toContain(tag);
    expect(tags.filter((tag) => tag === 'figure').length).toBeGreaterThanOrEqual(2);
    expect(page.match(/<meta [^>]*Content-Security-Policy[^>]*default-src 'none'/)).not.toBeNull();
    expect(page).not.toMatch(/\son\w+=["'a-z]|(?:src|href|action)=/i);
  },
  vtt: (data) => cues(text(data), 7),
  'vtt-chords': (data) => cues(text(data)),
  'vtt-sections': (data) => cues(text(data)),
  jams: (data) => expect(jamsFaults(JSON.parse(text(data)))).toEqual([]),
};

const TAGS = [
  ...[
    '!doctype',
    'html',
    'head',
    'meta',
    'title',
    'style',
    'body',
    'header',
    'h1',
    'h2',
    'p',
    'main',
    'figure',
    'section',
  ],
  ...['table', 'thead', 'tbody', 'tr', 'th', 'td', 'svg', 'rect', 'g', 'text', 'path', 'line'],
];

function csvRows(data: string, count: number): void {
  const rows: Record<string, string>[] = parse(data, { columns: true, record_delimiter: '\r\n', bom: true });
  expect(rows).toHaveLength(count);
  for (const row of rows) for (const cell of Object.values(row)) expect(cell).not.toMatch(/^[=+@]/);
}

function cues(data: string, count?: number): void {
  const { cues: found, errors } = new WebVTTParser().parse(data, 'captions');
  expect(errors).toEqual([]);
  if (count !== undefined) expect(found).toHaveLength(count);
  for (const cue of found) expect(cue.text).not.toMatch(/<(?!$)/);
}

describe.each(EXPORT_KINDS.map(({ id }) => id))('the file "%s"', (id) => {
  it.each(Object.entries(NAMES))('holds %s in every name', (_, name) => {
    READ[id](makeExport(id, named(name)).data);
  });
});

describe('the readers', () => {
  it('find what is broken', () => {
    const broken: Partial<Record<ExportId, string>> = {
      text: 'a\u202eb',
      musicxml: '<score-partwise><a></score-partwise>',
      html: '<!doctype html><p>a<b onclick="x">',
      svg: '<svg><script>1</script></svg>',
      csv: 'a,b\r\n=1,2\r\n',
      vtt: 'WEBVTT\n\n00:00.000 --> 00:01.000\n<script>\n',
      jams: '{}',
    };
    for (const [id, data] of Object.entries(broken)) expect(() => READ[id as ExportId](data), id).toThrow();
  });
});
