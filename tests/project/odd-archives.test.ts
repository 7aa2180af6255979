import { strToU8 } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { MOST_ENTRIES, MOST_UNPACKED, type Archive, type EntryLimits } from '../../src/project/archive.js';
import { loadArchive, openArchive } from '../../src/project/open-archive.js';
import { ProjectProblem } from '../../src/project/problem.js';
import { readProject, readProjectFile } from '../../src/project/read-project.js';
import { bars } from '../support/notation.js';
import { endOf, localOf, oddArchive, packed, rowOf, stored, type OddEntry } from '../support/odd-archives.js';

// Archives that unfold to far more than they are; how they are made: D. Fifield, "A better zip bomb", WOOT 2019.

const MB = 2 ** 20;
const map = bars('Verse: 4 4 2 4 | Chorus: 4 4');
const document = { format: 'barwright-project', version: 1, map };
const text = (extra: object = {}): string => JSON.stringify({ ...document, ...extra });
const song = packed('project.json', strToU8(text()));
const LIMITS: EntryLimits = { most: () => 16 * MB, left: (name) => name.startsWith('recording/') };
const names = (count: number): string[] => Array.from({ length: count }, (_, i) => `evidence/${i}.bin`);

let zeros: OddEntry;
beforeAll(() => {
  zeros = packed('evidence/zeros.bin', new Uint8Array(8 * MB));
});

/** How many of the entries could be had. */
function takeAll(archive: Archive, of: readonly string[]): number {
  return of.filter((name) => {
    try {
      return archive.take(name) !== undefined;
    } catch (error) {
      expect(error).toBeInstanceOf(RangeError);
      return false;
    }
  }).length;
}

function problemOf(read: () => unknown): ProjectProblem {
  try {
    read();
  } catch (error) {
    if (error instanceof ProjectProblem) return error;
    throw error;
  }
  throw new Error('the file was read');
}

describe('an archive that unfolds to far more than it is', () => {
  it('unpacks nothing that is not asked for, and each entry once', () => {
    const archive = openArchive(oddArchive([song, ...names(40).map((name) => ({ ...zeros, name }))]), LIMITS);
    expect(archive.produced).toBe(0);
    expect(archive.take('project.json')).toEqual(strToU8(text()));
    expect(archive.take('project.json')).toBeUndefined();
    expect(archive.produced).toBe(text().length);
  });

  it('is unpacked up to a bound in all', () => {
    const archive = openArchive(oddArchive([song, ...names(40).map((name) => ({ ...zeros, name }))]), LIMITS);
    expect(takeAll(archive, names(40))).toBe(MOST_UNPACKED / (8 * MB));
    expect(archive.produced).toBe(MOST_UNPACKED);
  });

  it('has no entry whose bytes are those of another, and is read from its front then', () => {
    const also = names(40).map((name) => ({ name, of: 1 }));
    const file = oddArchive([song, zeros], { also });
    const archive = openArchive(file, LIMITS);
    expect(archive.whole).toBe(false);
    expect(takeAll(archive, names(40))).toBe(0);
    expect(archive.produced).toBe(8 * MB + text().length);
    expect(readProject(file).project.map).toEqual(map);
  });

  it('has no entry that reaches into the next one', () => {
    const [first, second] = [
      stored('evidence/a.bin', new Uint8Array(100)),
      stored('evidence/b.bin', new Uint8Array(9)),
    ];
    const locals = [first, second].flatMap((entry) => [localOf(entry), Buffer.from(entry.packed)]);
    const start = locals.reduce((sum, { length }) => sum + length, 0);
    const file = (size: number): Uint8Array => {
      const rows = [
        rowOf(first, 0, { packed: size, size }),
        rowOf(second, localOf(first).length + first.packed.length),
      ];
      return new Uint8Array(Buffer.concat([...locals, ...rows, endOf(rows, start)]));
    };
    expect(openArchive(file(100), LIMITS).whole).toBe(true);
    expect(openArchive(file(101), LIMITS).whole).toBe(false);
  });

  it('with two entries of one name is refused, with a directory or without', () => {
    const twice = [song, zeros, zeros];
    for (const file of [oddArchive(twice), oddArchive(twice, { cut: true })]) {
      const problem = problemOf(() => readProject(file));
      expect(problem.message).toMatch(
        /its archive has two entries of the name "evidence\/zeros\.bin"\. Load another copy/,
      );
    }
  });

  it('with too many entries is refused', () => {
    const file = (count: number): Uint8Array =>
      oddArchive([song, ...names(count - 1).map((name) => stored(name, new Uint8Array(1)))]);
    expect(readProject(file(MOST_ENTRIES)).project.map).toEqual(map);
    expect(problemOf(() => readProject(file(MOST_ENTRIES + 1))).message).toMatch(/has 5001 entries, and at most 5000/);
  });

  it('gives no large entry of a ratio that nothing of ours reaches, and none larger than its kind may be', () => {
    const large = packed('evidence/large.bin', new Uint8Array(9 * MB));
    const archive = openArchive(oddArchive([song, zeros, large, { ...zeros, name: 'b.bin', size: 17 * MB }]), LIMITS);
    expect(() => archive.take('evidence/large.bin')).toThrow(/unpacks to \d+ times its size/);
    expect(() => archive.take('b.bin')).toThrow(/holds 17825792 bytes/);
    // Silence in a long song is small.
    expect(archive.take('evidence/zeros.bin')).toHaveLength(8 * MB);
  });

  it('gives no entry that holds more or less than the directory says', () => {
    const some = packed(zeros.name, new Uint8Array(MB));
    for (const size of [MB / 2, MB - 1, MB + 1]) {
      const archive = openArchive(oddArchive([song, { ...some, size }]), LIMITS);
      expect(() => archive.take(zeros.name), String(size)).toThrow(/holds (more|less) than its directory says/);
    }
  });

  it('without a directory is unpacked up to the same bound, a piece at a time', () => {
    const file = oddArchive([song, ...names(60).map((name) => ({ ...zeros, name }))], { cut: true });
    const archive = openArchive(file, LIMITS);
    expect(archive.produced).toBeGreaterThan(MOST_UNPACKED - 16 * MB);
    expect(archive.produced).toBeLessThan(MOST_UNPACKED + 16 * MB);
    expect(readProject(file).project.map).toEqual(map);
  });

  it('with a document that is nearly nothing packed is refused', () => {
    const spaces = packed('project.json', strToU8(`${' '.repeat(20 * MB)}${text()}`));
    expect(problemOf(() => readProject(oddArchive([spaces]))).message).toMatch(
      /project\.json, or with one far too large/,
    );
  });
});

describe('a file of which only a part is read', () => {
  const SIZE = 1.9e9;
  const recording: OddEntry = { ...stored('recording/long.wav', new Uint8Array(0)), size: SIZE };

  /** An archive with a recording of 1.9 GB that is nowhere in memory. */
  function huge(entry: OddEntry): {
    size: number;
    read: (from: number, to: number) => Promise<Uint8Array>;
    got: () => number;
  } {
    const extra = { recording: { name: 'long.wav', file: 'recording/long.wav' } };
    const own = packed('project.json', strToU8(text(extra)));
    const front = Buffer.concat([localOf(own), own.packed, localOf(entry)]);
    const at = front.length + SIZE;
    const rows = [
      rowOf(own, 0),
      rowOf(entry, localOf(own).length + own.packed.length, { packed: SIZE, size: entry.size }),
    ];
    const back = Buffer.concat([...rows, endOf(rows, at)]);
    const size = at + back.length;
    let got = 0;
    const read = (from: number, to: number): Promise<Uint8Array> => {
      const bytes = new Uint8Array(Math.max(0, Math.min(size, to) - from));
      got += bytes.length;
      if (from < front.length) bytes.set(front.subarray(from, Math.min(to, front.length)));
      if (to > at) bytes.set(back.subarray(Math.max(0, from - at), to - at), Math.max(0, at - from));
      return Promise.resolve(bytes);
    };
    return { size, read, got: () => got };
  }

  it('leaves the recording where it is, and says where', async () => {
    const file = huge(recording);
    const read = await readProjectFile(file);
    expect(read.project).toEqual({ map });
    expect(read.lost).toEqual([]);
    expect(read.recording!.to - read.recording!.from).toBe(SIZE);
    expect(file.got()).toBeLessThan(MB);
  });

  it('leaves out a recording that would have to be unpacked and is too large for that', async () => {
    const file = huge({ ...recording, method: 8 });
    const { lost, project } = await readProjectFile(file);
    expect(lost).toEqual(['the recording']);
    expect(project).toEqual({ map });
    expect(file.got()).toBeLessThan(MB);
  });

  it('is the same as one in memory', async () => {
    const file = oddArchive([song, zeros, stored('recording/a.mp3', Uint8Array.of(1, 2, 3))]);
    const source = { size: file.length, read: async (from: number, to: number) => file.slice(from, to) };
    const [loaded, opened] = [await loadArchive(source, LIMITS), openArchive(file, LIMITS)];
    expect(opened.take('recording/a.mp3')).toEqual(Uint8Array.of(1, 2, 3));
    const { from, to } = loaded.take('recording/a.mp3') as { from: number; to: number };
    expect(file.subarray(from, to)).toEqual(Uint8Array.of(1, 2, 3));
    expect(Buffer.compare(loaded.take(zeros.name) as Uint8Array, opened.take(zeros.name) as Uint8Array)).toBe(0);
    const inside = text({ recording: { name: 'a.mp3', file: 'recording/a.mp3' } });
    expect(
      readProject(oddArchive([packed('project.json', strToU8(inside)), stored('recording/a.mp3', Uint8Array.of(7))]))
        .project.recording,
    ).toEqual({ name: 'a.mp3', bytes: Uint8Array.of(7) });
  });

  it('is no project of gigabytes without an archive', async () => {
    let got = 0;
    const read = async (from: number, to: number): Promise<Uint8Array> => {
      got += to - from;
      return new Uint8Array(Math.min(to - from, 100 * MB)).fill(0x20);
    };
    await expect(readProjectFile({ size: 3e9, read })).rejects.toThrow(/it is too large and no archive/);
    expect(got).toBeLessThan(100 * MB);
  });
});

describe('a document that would take more memory than any real one', () => {
  it('is refused before it is parsed', () => {
    const many = `{"format":"barwright-project","version":1,"x":[${'{},'.repeat(2_100_000)}0]}`;
    expect(problemOf(() => readProject(many)).message).toMatch(
      /its text has 42\d{5} values, and at most 4000000 are read/,
    );
    expect(problemOf(() => readProject(`{"format":"barwright-project"${' '.repeat(64 * MB)}}`)).message).toMatch(
      /its text has more than 64 MB/,
    );
  });

  it('does not count what stands in texts', () => {
    const title = '{},[\\",'.repeat(200);
    expect(readProject(text({ map: { ...map, title } })).project.map.title).toBe(title);
    const long = JSON.stringify({ ...document, other: '{},[\\"'.repeat(1_000_000) });
    expect(readProject(long).project.map).toEqual(map);
  });

  it('has a history of patches that grow the map again and again, which is left out', () => {
    const patch = Array.from({ length: 40 }, () => ({ op: 'copy', from: '/spans', path: '/spans/-' }));
    const steps = [
      { index: 0, label: 'a', snapshot: map },
      { index: 1, label: 'b', patch },
    ];
    expect(readProject(text({ history: { place: 0, steps } }))).toEqual({
      project: { map },
      lost: ['the history of edits'],
    });
  });

  it('has a history that takes minutes to restore, which is left out', () => {
    const patch = [{ op: 'replace', path: '/title', value: map.title }];
    const history = (count: number): object => ({
      place: 0,
      steps: Array.from({ length: count }, (_, index) =>
        index % 25 === 0 ? { index, label: 'a', snapshot: map } : { index, label: 'a', patch },
      ),
    });
    const long = readProject(text({ history: history(3000) }));
    expect(long.lost).toEqual([]);
    expect(long.project.history!.steps).toHaveLength(3000);
    const wide = { ...map, chords: Array.from({ length: 100_000 }, () => 0) };
    const steps = [
      { index: 0, label: 'a', snapshot: map },
      { index: 1, label: 'b', snapshot: wide },
      ...Array.from({ length: 300 }, (_, i) => ({ index: i + 2, label: 'c', patch })),
    ];
    expect(readProject(text({ history: { place: 0, steps } })).lost).toEqual(['the history of edits']);
  });

  it('has more doubts than can be meant, which are left out', () => {
    expect(readProject(text({ map: { ...map, doubts: Array<number>(100_001).fill(0) } })).project.map).toEqual(map);
  });
});
