import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DOMParser, onErrorStopParsing } from '@xmldom/xmldom';
import { parse } from 'csv-parse/sync';
import { fromBufferPromise } from 'yauzl';
import webVtt from 'webvtt-parser';
import { barsOf, beatTimes } from '../../../src/model/map-queries.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { jamsFaults, type Jams } from '../../support/jams-schema.js';
import { readMidiFile } from '../../support/midi.js';
import { readPdf } from '../../support/read-pdf.js';
import type { GivenFile } from '../../support/user.js';
import { playedByVerovio } from '../../support/verovio.js';

/** Reads a handed-over file by a program that is not ours. Resolves to what it found; rejects with what is wrong. */
type Reader = (bytes: Uint8Array, map: SongMap) => Promise<string> | string;

/** A reader for each kind, by the end of the file's name; named so that the report says who read it. */
const READERS: readonly { readonly ending: string; readonly by: string; readonly read: Reader }[] = [
  { ending: '.musicxml', by: 'verovio', read: readScore },
  { ending: '.mid', by: 'midifile', read: readSong },
  { ending: '.jams', by: 'ajv with the schemas of JAMS', read: readAnnotation },
  { ending: ' bars.csv', by: 'csv-parse', read: (bytes) => readTable(bytes) },
  { ending: ' beats.csv', by: 'csv-parse', read: (bytes, map) => readTable(bytes, beatTimes(map).length) },
  { ending: '.vtt', by: 'webvtt-parser', read: readCaptions },
  { ending: '.svg', by: 'xmldom', read: readMarkup },
  { ending: '.html', by: 'no other reader: tests open it in a browser', read: (bytes) => `${bytes.length} bytes` },
  { ending: '.txt', by: 'no other reader: it is plain text', read: readPlain },
  { ending: '.pdf', by: 'pdfjs-dist', read: readPaper },
  { ending: '.png', by: 'ffprobe', read: (bytes) => probed(bytes, '.png') },
  { ending: '.wav', by: 'ffprobe', read: (bytes) => probed(bytes, '.wav') },
  { ending: '.mp3', by: 'ffprobe', read: (bytes) => probed(bytes, '.mp3') },
  { ending: '.webm', by: 'ffprobe', read: (bytes) => probed(bytes, '.webm') },
  { ending: '.zip', by: 'yauzl', read: async (bytes) => (await entriesOf(bytes)).join(', ') },
  { ending: '.barwright', by: 'yauzl', read: async (bytes) => `${(await entriesOf(bytes)).length} entries` },
  { ending: '.barwright-songs', by: 'yauzl', read: async (bytes) => `${(await entriesOf(bytes)).length} entries` },
];

/** Who reads such a file and what it found, or what is wrong with the file. */
export async function readHanded(
  { name, bytes }: GivenFile,
  map: SongMap,
): Promise<{ readonly by: string; readonly found: string; readonly sound: boolean }> {
  const reader = READERS.find(({ ending }) => name.endsWith(ending));
  if (!reader) return { by: 'nobody', found: `no reader for "${name}"`, sound: false };
  try {
    return { by: reader.by, found: await reader.read(bytes, map), sound: true };
  } catch (error) {
    return { by: reader.by, found: error instanceof Error ? error.message : String(error), sound: false };
  }
}

const textOf = (bytes: Uint8Array): string => new TextDecoder('utf-8', { fatal: true }).decode(bytes);

function wanted(what: string, found: number, expected: number): string {
  if (found !== expected) throw new Error(`${found} ${what} where the map has ${expected}`);
  return `${found} ${what}`;
}

async function readScore(bytes: Uint8Array, map: SongMap): Promise<string> {
  const { numbers, notes, log } = await playedByVerovio(textOf(bytes));
  if (log.length > 0) throw new Error(log.join('; '));
  if (notes > 0) throw new Error(`${notes} notes sound where none should`);
  // A free stretch is a measure of its own.
  return wanted(
    'bars played',
    numbers.length,
    map.spans.filter(({ kind }) => kind === 'bar' || kind === 'free').length,
  );
}

function readSong(bytes: Uint8Array, map: SongMap): string {
  const file = readMidiFile(bytes);
  const onsets = file.tracks.flatMap((_, track) => file.notes(track).map(({ from }) => from));
  const missed = beatTimes(map).filter((time) => !onsets.some((at) => Math.abs(at - time) < 0.001));
  if (missed.length > 0) throw new Error(`no note within 1 ms of ${missed.length} beats, the first at ${missed[0]} s`);
  return `${beatTimes(map).length} beats, ${file.tracks.length} tracks, ${file.metas('marker').length} markers`;
}

function readAnnotation(bytes: Uint8Array, map: SongMap): string {
  const jams = JSON.parse(textOf(bytes)) as Jams;
  const faults = jamsFaults(jams);
  if (faults.length > 0) throw new Error(faults.join('; '));
  const beats = jams.annotations.find(({ namespace }) => namespace === 'beat_position')?.data.length ?? 0;
  return wanted('beats', beats, beatTimes(map).length);
}

function readTable(bytes: Uint8Array, rows?: number): string {
  const read = parse(Buffer.from(bytes), { bom: true, columns: true }) as unknown[];
  return rows === undefined ? `${read.length} rows` : wanted('rows', read.length, rows);
}

function readCaptions(bytes: Uint8Array): string {
  const { cues, errors } = new webVtt.WebVTTParser().parse(textOf(bytes), 'captions');
  if (errors.length > 0) throw new Error(errors.map(({ message }) => message).join('; '));
  return `${cues.length} captions`;
}

function readMarkup(bytes: Uint8Array): string {
  const root = new DOMParser({ onError: onErrorStopParsing }).parseFromString(textOf(bytes), 'image/svg+xml');
  if (root.getElementsByTagName('script').length > 0) throw new Error('it holds a script');
  return `${root.getElementsByTagName('text').length} texts`;
}

function readPlain(bytes: Uint8Array, map: SongMap): string {
  const lines = textOf(bytes).split('\n');
  if (!lines.some((line) => line.includes('|'))) throw new Error(`no bars of ${barsOf(map).length}`);
  return `${lines.length} lines`;
}

async function readPaper(bytes: Uint8Array): Promise<string> {
  const { pages, marked } = await readPdf(bytes);
  const letters = pages.reduce((sum, { text }) => sum + text.length, 0);
  if (letters === 0) throw new Error('no words can be read from it');
  if (!marked) throw new Error('its structure is not tagged');
  return `${pages.length} pages, ${letters} letters, tagged`;
}

/** What ffprobe (Debian's ffmpeg) says of a file; where it is not there, that. */
function probed(bytes: Uint8Array, ending: string): string {
  const folder = mkdtempSync(join(tmpdir(), 'handed-'));
  try {
    const file = join(folder, `file${ending}`);
    writeFileSync(file, bytes);
    const args = [
      '-v',
      'error',
      '-show_entries',
      'format=duration,format_name:stream=codec_name,width,height',
      '-of',
      'csv=p=0',
      file,
    ];
    const { status, stdout, stderr, error } = spawnSync('ffprobe', args, { encoding: 'utf8' });
    if (error) return 'not read: ffprobe is not here';
    if (status !== 0 || stderr.trim() !== '') throw new Error(stderr.trim() || `ffprobe ended with ${status}`);
    return stdout.trim().split('\n').join('; ');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The names in a ZIP archive, each entry read to its end. */
async function entriesOf(bytes: Uint8Array): Promise<string[]> {
  const archive = await fromBufferPromise(Buffer.from(bytes), { lazyEntries: true });
  const names: string[] = [];
  for await (const entry of archive.eachEntry()) {
    for await (const piece of await archive.openReadStreamPromise(entry)) void piece;
    names.push(entry.fileName);
  }
  return names;
}
