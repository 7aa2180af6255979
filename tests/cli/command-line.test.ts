import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { findPasses } from '../../src/analysis/passes/find-passes.js';
import { facesStyle } from '../../src/export/chart/bundled-faces.js';
import { outlinesFor } from '../../src/platform/pdf/outlines.js';
import { EXPORT_KINDS } from '../../src/export/export-kinds.js';
import { makeExport } from '../../src/export/make-export.js';
import { readProject } from '../../src/project/read-project.js';
import { jamsFaults, type Jams } from '../support/jams-schema.js';

// The built command line as a user runs it, standing in a folder of their own.
const folder = mkdtempSync(join(tmpdir(), 'barwright-'));
const top = process.cwd();
const sample = join(top, 'samples/public/samples/kites-over-brennick.ogg');
afterAll(() => rmSync(folder, { recursive: true }));

interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

function barwright(...words: string[]): Promise<Ran> {
  return new Promise((resolve) => {
    execFile(process.execPath, [join(top, 'src/scripts/map.mjs'), ...words], { cwd: folder }, (error, out, err) => {
      resolve({ status: error ? Number(error.code) : 0, out, err });
    });
  });
}

describe('the command line', () => {
  it('says what it can do', async () => {
    const help = await barwright('--help');
    expect(help.status).toBe(0);
    expect(help.out).toContain('--jams FILE');
    expect((await barwright('--version')).out).toMatch(/^barwright \d+\.\d+\.\d+\n$/);
  });

  it('names wrong options and ends with status 2', async () => {
    expect(await barwright()).toMatchObject({
      status: 2,
      out: '',
      err: expect.stringContaining('no recording named') as string,
    });
    expect(await barwright('--loud', 'x.wav')).toMatchObject({
      status: 2,
      err: expect.stringContaining("'--loud'") as string,
    });
    expect(await barwright('--jobs', 'many', 'x.wav')).toMatchObject({
      status: 2,
      err: expect.stringContaining('"many"') as string,
    });
    expect(await barwright('--jams', 'a.jams', 'x.wav', 'y.wav')).toMatchObject({
      status: 2,
      err: expect.stringContaining('{name}') as string,
    });
  });

  it('maps a recording, writes JAMS and a project, and goes on past files that cannot be used', async () => {
    writeFileSync(join(folder, 'words.wav'), 'these are words');
    writeFileSync(join(folder, 'nothing.mp3'), '');
    const ran = await barwright(
      '--jobs',
      '2',
      '--jams',
      'out/{name}.jams',
      '--project',
      '{name}.barwright',
      'words.wav',
      sample,
      'nothing.mp3',
      'missing.ogg',
    );
    expect(ran.status).toBe(1);
    expect(ran.err).toMatch(/barwright: words\.wav: .*\n/);
    expect(ran.err).toMatch(/barwright: nothing\.mp3: .*empty.*\n/);
    expect(ran.err).toMatch(/barwright: missing\.ogg: .*no file.*\n/);
    expect(ran.out).toMatch(/^kites-over-brennick {2}3:24 {2}Ogg Vorbis\n.*bpm.*4\/4.*D major/);
    expect(ran.out).toContain('Bars of another length:');
    expect(ran.out).toMatch(/\|3\.\.\|/);

    const jams = JSON.parse(readFileSync(join(folder, 'out/kites-over-brennick.jams'), 'utf8')) as Jams;
    expect(jamsFaults(jams)).toEqual([]);
    expect(jams.annotations.find((one) => one.namespace === 'beat_position')?.data.length).toBeGreaterThan(300);

    const again = await barwright('kites-over-brennick.barwright');
    expect(again.status).toBe(0);
    const map = (text: string): string => text.slice(text.indexOf('Form'));
    expect(map(again.out)).toBe(map(ran.out));
    const json = await barwright('--jams', '-', 'kites-over-brennick.barwright');
    expect(JSON.parse(json.out)).toEqual(jams);
  });

  it('writes every file that is asked for, from a saved project too', async () => {
    const asked = EXPORT_KINDS.flatMap(({ id, ending }) => [`--${id}`, `files/{name}${ending}`]);
    const ran = await barwright('--quiet', ...asked, 'kites-over-brennick.barwright');
    expect(ran).toMatchObject({ status: 0, out: '' });
    const { project } = readProject(new Uint8Array(readFileSync(join(folder, 'kites-over-brennick.barwright'))));
    const texts = JSON.stringify(project.map);
    const brought = {
      passes: findPasses(project.map, project.evidence),
      faces: await facesStyle(texts),
      outlines: await outlinesFor(texts),
    };
    for (const kind of EXPORT_KINDS) {
      const written = readFileSync(join(folder, `files/kites-over-brennick${kind.ending}`));
      const { data } = makeExport(kind.id, project.map, brought);
      expect(written.equals(Buffer.from(data as Uint8Array))).toBe(true);
    }
    const text = await barwright('--text', '-', 'kites-over-brennick.barwright');
    expect(text.out).toBe(readFileSync(join(folder, 'files/kites-over-brennick chart.txt'), 'utf8'));
    const blocked = await barwright('--midi', 'kites-over-brennick.barwright/x.mid', 'kites-over-brennick.barwright');
    expect(blocked).toMatchObject({ status: 1, err: expect.stringContaining('in the way') as string });
  });

  it('takes over times worked out elsewhere, and asks before it replaces what was decided', async () => {
    writeFileSync(join(folder, 'bars.txt'), Array.from({ length: 40 }, (_, i) => `${20 + 2.4 * i}\n`).join(''));
    writeFileSync(join(folder, 'words.txt'), 'one\ntwo\n');
    const song = ['--quiet', '--text', '-', 'kites-over-brennick.barwright'];
    const taken = await barwright('--project', 'timed.barwright', '--times', 'bars.txt', ...song);
    expect(taken).toMatchObject({ status: 0, err: '' });
    const { map } = readProject(new Uint8Array(readFileSync(join(folder, 'timed.barwright')))).project;
    for (let i = 0; i < 40; i++)
      expect(map.spans.some(({ start }) => Math.abs(start - (20 + 2.4 * i)) < 1e-6)).toBe(true);
    writeFileSync(join(folder, 'other.txt'), '20.3\n22.7\n25.1\n27.5\n');
    const other = ['--quiet', '--times', 'other.txt', 'timed.barwright'];
    expect(await barwright(...other)).toMatchObject({ status: 1, err: expect.stringContaining('--replace') as string });
    expect(await barwright('--replace', ...other)).toMatchObject({ status: 0 });
    const bad = await barwright('--times', 'words.txt', ...song);
    expect(bad).toMatchObject({ status: 1, err: expect.stringMatching(/Line 1: found "one"/) as string });
    expect(await barwright('--replace', ...song)).toMatchObject({ status: 2 });
  });

  it('stays quiet when the reader of a pipe leaves', async () => {
    const { status, err } = await new Promise<Ran>((resolve) => {
      const command = `"${process.execPath}" "${join(top, 'src/scripts/map.mjs')}" kites-over-brennick.barwright | head -n 1; exit \${PIPESTATUS[0]}`;
      execFile('bash', ['-c', command], { cwd: folder }, (error, out, err2) =>
        resolve({ status: error ? Number(error.code) : 0, out, err: err2 }),
      );
    });
    expect(err.replace('Building (cli) …\n', '')).toBe('');
    expect(status).toBe(0);
  });
});
