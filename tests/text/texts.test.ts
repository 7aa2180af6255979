import { describe, expect, it } from 'vitest';
import { chosenLanguage } from '../../src/text/language.js';
import { plainTexts } from './plain-texts.js';

/** Folders whose every text is handed to msg(), so that it is collected and can be translated. */
const FOLDERS: readonly string[] = ['audio', 'paper', 'ui/controllers'];

/** What looks like a text and is none: a name that only the program reads. */
const NO_TEXTS: readonly string[] = [
  // Fonts.
  "400 100px 'Barwright Music', serif",
  "600 100px 'Barwright Music', serif",
  "400 100px 'Barwright Plain', sans-serif",
  "600 100px 'Barwright Plain', sans-serif",
  // The program's own name, and names that browsers give to things.
  'Barwright',
  'Enter',
  'Home',
  'End',
  'Files',
  'button:not(:disabled), input:not(:disabled), select, a[href], summary, [tabindex]',
];

describe('every text is collected', () => {
  it.each(FOLDERS)('in src/%s', (folder) => {
    const plain = plainTexts(`src/${folder}`).filter(({ text }) => !NO_TEXTS.includes(text));
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
