import {
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parseArguments } from '../../src/cli/arguments.js';
import { outputFault } from '../../src/cli/outputs.js';
import { writeWhole } from '../../src/cli/write-file.js';

let folder: string;
const at = (name: string): string => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'barwright-out-'));
  for (const name of ['song.wav', 'old.barwright', 'locks.json', 'times.txt']) writeFileSync(at(name), name);
});
afterEach(() => rmSync(folder, { recursive: true }));

/** What the command line says of words, in which @ is the folder. */
async function fault(...words: readonly string[]): Promise<string> {
  const parsed = parseArguments(words.map((word) => word.replaceAll('@', folder)));
  if (parsed.kind !== 'run') throw new Error(JSON.stringify(parsed));
  return (await outputFault(parsed.request))?.replaceAll(folder, '@') ?? '';
}

describe('what the command line would write', () => {
  it('is never what it reads', async () => {
    const overwrites = /would overwrite .*, which is read; write to another file\. Nothing was done/;
    expect(await fault('--project', '@/old.barwright', '@/old.barwright')).toMatch(overwrites);
    expect(await fault('--project', '@/new.barwright', '@/old.barwright')).toBe('');
    expect(
      await fault('--midi', '@/../SAME/song.wav'.replace('SAME', folder.split('/').at(-1)!), '@/song.wav'),
    ).toMatch(/would overwrite @\/song\.wav/);
    expect(await fault('--jams', '@/locks.json', '--locks', '@/locks.json', '@/song.wav')).toMatch(
      /would overwrite --locks @\/locks\.json/,
    );
    expect(await fault('--text', '@/times.txt', '--times', '@/times.txt', '@/song.wav')).toMatch(overwrites);
    expect(await fault('--project', '@/{name}.barwright', '@/old.barwright', '@/song.wav')).toMatch(overwrites);
    expect(await fault('--jams', '-', '@/song.wav')).toBe('');
  });

  it('is told from what it reads through links', async () => {
    symlinkSync(at('song.wav'), at('link.mid'));
    linkSync(at('song.wav'), at('hard.mid'));
    mkdirSync(at('sub'));
    symlinkSync(folder, at('sub/up'));
    for (const path of ['@/link.mid', '@/hard.mid', '@/sub/up/song.wav'])
      expect(await fault('--midi', path, '@/song.wav'), path).toMatch(/would overwrite @\/song\.wav/);
    expect(await fault('--midi', '@/sub/up/new/a.mid', '--jams', '@/new/a.mid', '@/song.wav')).toMatch(
      /--midi @\/sub\/up\/new\/a\.mid and --jams @\/new\/a\.mid are one file|--jams .* and --midi .* are one file/,
    );
  });

  it('goes nowhere twice', async () => {
    expect(await fault('--text', '@/a', '--html', '@/./a', '@/song.wav')).toMatch(
      /are one file; give each a name of its own\. Nothing was done/,
    );
    mkdirSync(at('other'));
    writeFileSync(at('other/song.mp3'), '');
    expect(await fault('--jams', '@/{name}.jams', '@/song.wav', '@/other/song.mp3')).toBe(
      '--jams @/song.jams would be written for @/song.wav and for @/other/song.mp3: give them different names, or map them one after another. Nothing was done',
    );
    expect(await fault('--jams', '@/{name}.jams', '@/song.wav', '@/song.wav')).toMatch(/@\/song\.wav is named twice/);
    expect(await fault('--jams', '@/{name}.jams', '--midi', '@/{name}.mid', '@/song.wav', '@/old.barwright')).toBe('');
  });

  it('differs by case where the file system tells case apart, and only there', async () => {
    const isOne = existsSync(at('SONG.WAV'));
    const words = await fault('--text', '@/a.txt', '--html', '@/A.txt', '@/song.wav');
    expect(words !== '').toBe(isOne);
  });

  it('is a file and no folder', async () => {
    mkdirSync(at('maps'));
    for (const option of ['jams', 'midi', 'musicxml', 'text', 'html', 'svg', 'csv', 'vtt', 'project'])
      for (const path of ['@/maps', '@/missing/'])
        expect(await fault(`--${option}`, path, '@/song.wav'), option).toMatch(
          /this is a folder; name a file in it, as in --\w+ "@\/(maps|missing)\/\{name\}/,
        );
  });
});

describe('a file that is written', () => {
  it('is there whole, in folders that are made for it, and nothing beside it', async () => {
    await writeWhole(at('new/deep/a.txt'), [Uint8Array.of(65), Uint8Array.of(66, 67)]);
    expect(readFileSync(at('new/deep/a.txt'), 'utf8')).toBe('ABC');
    await writeWhole(at('new/deep/a.txt'), 'D');
    expect(readFileSync(at('new/deep/a.txt'), 'utf8')).toBe('D');
    expect(readdirSync(at('new/deep'))).toEqual(['a.txt']);
  });

  it('is the old one until the new one is whole', async () => {
    const breaksOff = function* (): Generator<Uint8Array> {
      yield new Uint8Array(100_000);
      expect(readFileSync(at('locks.json'), 'utf8')).toBe('locks.json');
      throw new Error('the disk is full');
    };
    await expect(writeWhole(at('locks.json'), breaksOff())).rejects.toThrow('the disk is full');
    expect(readFileSync(at('locks.json'), 'utf8')).toBe('locks.json');
    expect(readdirSync(folder).sort()).toEqual(['locks.json', 'old.barwright', 'song.wav', 'times.txt']);
  });

  it('keeps the link that leads to it, and its permissions', async () => {
    mkdirSync(at('far'));
    writeFileSync(at('far/a.txt'), 'old', { mode: 0o640 });
    symlinkSync(at('far/a.txt'), at('a.txt'));
    const { mode } = statSync(at('far/a.txt'));
    await writeWhole(at('a.txt'), 'new');
    expect(readFileSync(at('far/a.txt'), 'utf8')).toBe('new');
    expect(statSync(at('far/a.txt')).mode).toBe(mode);
  });

  it('names itself where it cannot be written', async () => {
    await expect(writeWhole(at('song.wav/a.txt'), 'a')).rejects.toMatchObject({ path: at('song.wav') });
  });
});
