import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ALL_COMMANDS } from '../../../../src/app/shell/all-commands.js';
import { GUIDE_STEPS } from '../../../../src/app/kit/guide.js';
import { GUIDE_END, GUIDE_TEXTS } from '../../../../src/app/shell/guide-text.js';
import { HELP, helpPieces } from '../../../../src/app/shell/help/help-text.js';

const FOLDER = 'src/app/shell/help/pictures';
/** Bytes that all pictures of the help may have together. */
const BUDGET = 250_000;
const ids = new Set(ALL_COMMANDS.map(({ id }) => id));
const pictures = HELP.flatMap(({ picture }) => (picture ? [picture] : []));

describe('the help', () => {
  it('names only commands that there are', () => {
    const named = HELP.flatMap(({ paragraphs }) => paragraphs.flatMap(helpPieces)).flatMap((piece) =>
      'command' in piece ? [piece.command] : [],
    );
    expect(named.length).toBeGreaterThan(15);
    expect(named.filter((id) => !ids.has(id))).toEqual([]);
    expect(
      HELP.flatMap(({ paragraphs }) => paragraphs).filter((text) => text.replace(/\[\[[\w-]+\]\]/g, '').match(/[[\]]/)),
    ).toEqual([]);
  });

  it('has every picture it names and no other, each described', () => {
    expect(pictures.length).toBeGreaterThanOrEqual(4);
    const files = readdirSync(FOLDER);
    expect(files.sort()).toEqual(pictures.map(({ name }) => `${name}.webp`).sort());
    for (const { alt } of pictures) expect(alt.split(' ').length).toBeGreaterThan(5);
    const bytes = files.map((name) => readFileSync(`${FOLDER}/${name}`));
    // RIFF container of a WebP file (RFC 9649, section 2.4).
    for (const file of bytes) {
      expect(file.toString('latin1', 0, 4)).toBe('RIFF');
      expect(file.toString('latin1', 8, 12)).toBe('WEBP');
      expect(file.readUInt32LE(4)).toBe(file.length - 8);
    }
    expect(bytes.reduce((sum, { length }) => sum + length, 0)).toBeLessThan(BUDGET);
  });

  it('keeps words and commands in their order', () => {
    expect(helpPieces('Press [[undo]], then [[help-page]].')).toEqual([
      { text: 'Press ' },
      { command: 'undo' },
      { text: ', then ' },
      { command: 'help-page' },
      { text: '.' },
    ]);
  });
});

describe('the way through the first song', () => {
  it('has for every step a command that there is', () => {
    for (const { command } of [...GUIDE_STEPS.map((step) => GUIDE_TEXTS[step]), GUIDE_END])
      expect(ids.has(command)).toBe(true);
  });
});
