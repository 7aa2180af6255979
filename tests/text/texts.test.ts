import { describe, expect, it } from 'vitest';
import { chosenLanguage } from '../../src/text/language.js';
import { plainTexts } from './plain-texts.js';

/** Folders whose every text is handed to msg(), so that it is collected and can be translated. */
const FOLDERS: readonly string[] = [
  'analysis',
  'app',
  'dsp',
  'export',
  'model',
  'music',
  'platform/audio',
  'platform/decode',
  'platform/offline',
  'platform/pdf',
  'platform/storage',
  'platform/worker',
  'project',
];

/** What looks like a text and is none: a name that only the program reads. */
const NO_TEXTS: readonly string[] = [
  // Fonts.
  "600 {}px 'Barwright Music', Georgia, serif",
  "400 {}px 'Barwright Plain', sans-serif",
  "400 100px 'Barwright Music', serif",
  "600 100px 'Barwright Music', serif",
  "400 100px 'Barwright Plain', sans-serif",
  "600 100px 'Barwright Plain', sans-serif",
  'Barwright Music',
  'Barwright Plain',
  // Strokes of strums, sounds, steps, colours of clips, groups of marks and beams of notes, as the program calls them.
  'Dd',
  'Ddd',
  'Ddu',
  'count one',
  'tuning and key',
  'key colour',
  'song name …',
  'more shapes',
  'backward hook',
  'forward hook',
  // Signs of notation, the same in every language.
  'Segno',
  'Coda',
  'Fine',
  // What pedals and clicks do, sides of the sound, where songs are kept, and what pages say to each other, as the program calls them.
  'bar back',
  'bar on',
  'from here on',
  'go on',
  'in the player',
  'no middle',
  'may be cleared',
  'not kept',
  'take over',
  'take over when alone',
  'page wide',
  // What a cue point in a MIDI file says.
  'free time',
  // Names of ways to code sound, and how files of other kinds begin.
  'Apple Lossless',
  'FLAC in Ogg',
  'MP3 in WAV',
  'MPEG layer …',
  'Ogg',
  'Ogg Vorbis',
  'Opus',
  'Vorbis',
  'Rar!',
  'SQLite format 3',
  '<!doctype html',
  // Names of parts of a PDF.
  'Document',
  'Sect',
  'Lbl',
  'Span',
  'Artifact',
  'Image',
  // The program's own name, and names that browsers give to things.
  'Barwright',
  'Enter',
  'Home',
  'End',
  'Tab',
  'Escape',
  'Shift',
  'Control',
  'Alt',
  'Meta',
  'Files',
  'button:not(:disabled), input:not(:disabled), select, a[href], summary, [tabindex]',
  // Said where the sound is made, which knows no language.
  'The time-stretching stopped: it found no memory.',
  // What the songs to try are called.
  'Kites over Brennick',
  'The Tarn at Wendlow',
];

/** Files that write words of file formats, not to be translated. */
const FORMATS: readonly string[] = [
  'csv.ts',
  'jams.ts',
  'midi/midi.ts',
  'midi/midi-clock.ts',
  'mp3.ts',
  'musicxml/musicxml.ts',
];

describe('every text is collected', () => {
  it.each(FOLDERS)('in src/%s', (folder) => {
    const plain = plainTexts(`src/${folder}`).filter(({ file, text }) => {
      return !NO_TEXTS.includes(text) && !FORMATS.some((name) => file === `src/export/${name}`);
    });
    expect(plain.map(({ file, line, text }) => `${file}:${line} ${text}`)).toEqual([]);
  });
});

describe('the language', () => {
  it('is the first of the wanted ones that there is, by its whole tag or the language alone', () => {
    expect(chosenLanguage(['nl-NL', 'en-XA', 'en'])).toBe('en-XA');
    expect(chosenLanguage(['en-GB', 'en-XA'])).toBe('en');
    expect(chosenLanguage(['nl'])).toBe('en');
    expect(chosenLanguage([])).toBe('en');
  });
});
