import { describe, expect, it } from 'vitest';
import { chosenLanguage } from '../../src/text/language.js';
import { plainTexts } from './plain-texts.js';

/** Folders whose every text is handed to msg(), so that it is collected and can be translated. */
const FOLDERS: readonly string[] = [
  'analysis',
  'audio',
  'export',
  'model',
  'music',
  'paper',
  'state',
  'ui/bar-inspector',
  'ui/controllers',
  'ui/doubts',
  'ui/files-panel',
  'ui/map-view',
  'ui/map-workspace',
  'ui/notice',
  'ui/prompt',
  'ui/recording-view',
  'ui/section-tools',
  'ui/shortcuts',
  'ui/song-header',
  'ui/start-page',
  'ui/styles',
  'ui/task-bar',
  'ui/workspaces',
];

/** What looks like a text and is none: a name that only the program reads. */
const NO_TEXTS: readonly string[] = [
  // Fonts.
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
  // The program's own name, and names that browsers give to things.
  'Barwright',
  'Enter',
  'Home',
  'End',
  'Files',
  // Kinds of things.
  'key colour',
  'button:not(:disabled), input:not(:disabled), select, a[href], summary, [tabindex]',
  // Names of choices.
  'bar back',
  'bar on',
  'from here on',
  'go on',
  'in the player',
  'may be cleared',
  // What the songs to try are called.
  'Kites over Brennick',
  'The Tarn at Wendlow',
];

/** Files that write words of file formats, not to be translated. */
const FORMATS: readonly string[] = ['csv.ts', 'jams.ts', 'midi/midi.ts', 'midi/midi-clock.ts', 'musicxml/musicxml.ts'];

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
