import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { pushMap, startHistory, storedSteps, type History } from '../../src/model/history.js';
import { doubleTempo, halveTempo } from '../../src/model/edits/level.js';
import { crc32 } from '../../src/project/crc32.js';
import { migrate } from '../../src/project/migrations/migrate.js';
import { ProjectProblem } from '../../src/project/problem.js';
import { TRACK_NAMES, type Project } from '../../src/project/project.js';
import { looksLikeProject, readProject } from '../../src/project/read-project.js';
import { writeProject } from '../../src/project/write-project.js';
import { applyEdit, editArbitrary, mapArbitrary } from '../support/arbitraries.js';
import { bars, text } from '../support/notation.js';
import { runs } from '../support/runs.js';

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  return new Uint8Array(Buffer.concat(pieces));
}

function evidence(version: string, frames = 40): Evidence {
  const tracks = TRACK_NAMES.map((name, n) => {
    const width = name === 'chroma' || name === 'bass' ? 12 : name === 'onset' ? 5 : 1;
    const data = Uint8Array.from({ length: frames * width }, (_, i) => (i * 31 + n * 7) % 256);
    return [name, { rate: 100, width, data }] as const;
  });
  const key = { tonic: 'D', mode: 'major', confidence: 0.8 } as const;
  return { version, duration: 4, tuning: 12, key, tracks: Object.fromEntries(tracks) as unknown as Evidence['tracks'] };
}

function historyOf(): History {
  const map = bars('Verse: (1) 4:G 4:C,D:7@3 2 | Chorus: 4 7/8(2+2+3)');
  const halved = halveTempo(map);
  return [halved, doubleTempo(halved)].reduce(
    (history, next, i) => pushMap(history, `edit ${i}`, next),
    startHistory(map),
  );
}

/** A project with everything in it. */
function whole(): Project {
  const history = historyOf();
  const steps = storedSteps(history).map((step) => (step.index === 2 ? { ...step, evidence: evidence('2') } : step));
  return {
    map: history.steps[1]!.map,
    history: { steps, place: 1 },
    evidence: evidence('1'),
    peaks: { rate: 200, data: Int8Array.from({ length: 800 }, (_, i) => (i % 255) - 127) },
    print: { duration: 4, words: Uint32Array.of(1, 4294967295, 7) },
    recording: {
      name: 'Papierlaternen (Probe) ä.mp3',
      bytes: Uint8Array.from({ length: 5000 }, (_, i) => (i * i) % 256),
    },
  };
}

/** The file with its document changed. */
function withDocument(file: Uint8Array, change: (document: Record<string, unknown>) => unknown): Uint8Array {
  const entries = unzipSync(file);
  const document = JSON.parse(strFromU8(entries['project.json']!)) as Record<string, unknown>;
  return zipSync({ ...entries, 'project.json': strToU8(JSON.stringify(change(document))) });
}

function problemOf(file: Uint8Array | string): ProjectProblem {
  try {
    readProject(file);
  } catch (error) {
    if (error instanceof ProjectProblem) return error;
    throw error;
  }
  throw new Error('the file was read');
}

const FILE = joined(writeProject(whole()));

describe('a project file', () => {
  it('gives back everything that was put in', () => {
    const { project, lost } = readProject(FILE);
    expect(lost).toEqual([]);
    expect(project).toEqual(whole());
  });

  it('gives back any map and history exactly', () => {
    const edits = fc.array(editArbitrary(), { maxLength: 8 });
    fc.assert(
      fc.property(mapArbitrary(), edits, (map, list) => {
        const history = list.reduce(
          (past, edit) => pushMap(past, edit.name, applyEdit(past.steps[past.place]!.map, edit)),
          startHistory(map),
        );
        const project = {
          map: history.steps[history.place]!.map,
          history: { steps: storedSteps(history), place: history.place },
        };
        expect(readProject(joined(writeProject(project)))).toEqual({ project, lost: [] });
      }),
      { numRuns: runs(25) },
    );
  });

  it('needs neither history nor evidence, outline or recording', () => {
    const { map } = whole();
    expect(readProject(joined(writeProject({ map })))).toEqual({ project: { map }, lost: [] });
  });

  it('can be the document alone, as text too', () => {
    const { map } = whole();
    const document = JSON.stringify({ format: 'barwright-project', version: 1, map });
    expect(readProject(document).project).toEqual({ map });
    expect(readProject(strToU8(`\uFEFF${document}`)).project).toEqual({ map });
  });

  it('holds the recording untouched, as an entry that any archive program unpacks', () => {
    const entries = unzipSync(FILE);
    expect(entries['recording/Papierlaternen_Probe_.mp3']).toEqual(whole().recording!.bytes);
    const stored = writeProject(whole()).find((piece) => piece.length === 5000);
    expect(stored).toEqual(whole().recording!.bytes);
  });

  it('gives back evidence that is silent for long', () => {
    // Each of these tracks came out as an archive that no program could unpack.
    const silence = (from: number, to: number): Uint8Array => new Uint8Array(3001).fill(200, from, to);
    const { tracks, ...facts } = evidence('1');
    for (const data of [silence(100, 2850), silence(100, 101), silence(0, 0)]) {
      const quiet = { ...facts, tracks: { ...tracks, level: { ...tracks.level, data } } };
      const { project, lost } = readProject(joined(writeProject({ ...whole(), evidence: quiet })));
      expect(lost).toEqual([]);
      expect(project.evidence).toEqual(quiet);
    }
  });

  it('packs any bytes so that they can be unpacked', () => {
    const data = fc
      .array(fc.record({ length: fc.nat(2000), value: fc.constantFrom(0, 0, 1, 128, 255) }), { maxLength: 8 })
      .map((runs) => Int8Array.from(runs.flatMap(({ length, value }) => Array<number>(length).fill(value))))
      .filter(({ length }) => length % 2 === 0);
    fc.assert(
      fc.property(data, (peaks) => {
        const packed = joined(writeProject({ map: whole().map, peaks: { rate: 200, data: peaks } }));
        expect(unzipSync(packed)['peaks.bin']).toEqual(new Uint8Array(peaks.buffer));
      }),
      { numRuns: runs(200) },
    );
  });

  it('is the same file for the same project', () => {
    expect(joined(writeProject(whole()))).toEqual(FILE);
  });

  it('is told apart from other files by its first bytes', () => {
    expect(looksLikeProject(FILE)).toBe(true);
    expect(looksLikeProject(strToU8('{"format":"barwright-project","version":1}'))).toBe(true);
    expect(looksLikeProject(zipSync({ 'other.json': strToU8('{}') }))).toBe(false);
    expect(looksLikeProject(strToU8('RIFF....WAVE'))).toBe(false);
    expect(looksLikeProject(new Uint8Array())).toBe(false);
  });

  it('uses the checksum of ZIP', () => {
    // The check value of CRC-32/ISO-HDLC in the catalogue of parametrised CRC algorithms (reveng).
    expect(crc32(strToU8('123456789'))).toBe(0xcbf43926);
  });
});

describe('a project file of another version', () => {
  // Written by the program when version 1 was current, and kept: it must be readable for ever.
  const kept = new Uint8Array(readFileSync(new URL('kept/version-1.barwright', import.meta.url)));

  it('of version 1 is read with all it holds', () => {
    const { project, lost } = readProject(kept);
    expect(lost).toEqual([]);
    const map: unknown = JSON.parse(readFileSync(new URL('kept/version-1.map.json', import.meta.url), 'utf8'));
    expect(project.map).toEqual(map);
    expect(text(project.map, 1)).toBe('Verse: (0.5) 2:G 2:C,D:7@2 1 | Chorus: 2 7/16(2+2+3)');
    expect(project.history).toMatchObject({
      place: 1,
      steps: [{ label: 'First map' }, {}, { evidence: { version: '2' } }],
    });
    expect(project.evidence).toEqual(evidence('1'));
    expect([project.peaks?.data.length, project.recording?.bytes.length]).toEqual([800, 5000]);
  });

  it('is brought up to date step by step', () => {
    const steps = {
      1: ({ map, ...rest }: Readonly<Record<string, unknown>>) => ({ ...rest, song: map }),
      2: (document: Readonly<Record<string, unknown>>) => ({ ...document, checked: true }),
    };
    expect(migrate({ version: 1, map: 'm' }, 3, steps)).toEqual({ version: 3, song: 'm', checked: true });
    expect(migrate({ version: 2, song: 's' }, 3, steps)).toEqual({ version: 3, song: 's', checked: true });
    expect(migrate({ version: 3 }, 3, steps)).toEqual({ version: 3 });
    expect(() => migrate({ version: 1 }, 4, steps)).toThrow(/format 3 any more/);
  });

  it('made by a newer program says so', () => {
    const problem = problemOf(withDocument(FILE, (document) => ({ ...document, version: 7 })));
    expect(problem.kind).toBe('newer');
    expect(problem.message).toMatch(/newer version of Barwright \(its format is 7, this program reads up to 1\)/);
  });

  it.each([0, -1, 1.5, '1', null, undefined, {}])('%s is no version', (version) => {
    expect(problemOf(withDocument(FILE, (document) => ({ ...document, version }))).kind).toBe('damaged');
  });
});

describe('a file that is no project', () => {
  it.each<[string, Uint8Array | string, RegExp]>([
    ['empty', new Uint8Array(), /is not a Barwright project: it is empty/],
    [
      'a picture',
      Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 1, 2, 3]),
      /is not a Barwright project: it holds something else/,
    ],
    ['text', 'Dear diary', /holds something else/],
    ['a number', '17', /holds something else/],
    ['a list', '[]', /holds something else/],
    ['other data', '{"format":"something","version":1}', /data of another kind/],
    ['another archive', zipSync({ 'a.txt': strToU8('a') }), /archive without project.json/],
  ])('%s is named as such', (_, file, message) => {
    expect(problemOf(file).kind).toBe('not-a-project');
    expect(problemOf(file).message).toMatch(message);
  });
});

describe('a damaged project file', () => {
  it('that is cut off anywhere says so or is read without what is missing', () => {
    const outcomes = { refused: 0, read: 0 };
    for (let length = 1; length < FILE.length; length += Math.ceil(FILE.length / 60)) {
      try {
        const { project, lost } = readProject(FILE.subarray(0, length));
        outcomes.read += 1;
        expect(project.map).toEqual(whole().map);
        for (const [part, name] of [
          ['evidence', 'the analysis'],
          ['peaks', 'the outline'],
          ['recording', 'the recording'],
        ] as const) {
          if (!lost.includes(name)) expect(project[part]).toEqual(whole()[part]);
        }
      } catch (error) {
        if (!(error instanceof ProjectProblem)) throw error;
        outcomes.refused += 1;
        expect(error.kind).toMatch(/damaged|not-a-project/);
      }
    }
    // The document comes first, so that whatever holds it whole gives the map.
    expect(outcomes.read).toBeGreaterThan(20);
    expect(outcomes.refused).toBeGreaterThan(5);
  });

  it('whose map is broken gives the latest whole one of its history', () => {
    const broken = withDocument(FILE, (document) => ({ ...document, map: { ...whole().map, spans: 7 } }));
    const { project, lost } = readProject(broken);
    expect(lost[0]).toBe('the last state of the map: this is an earlier one');
    expect(project.map).toEqual(whole().history!.steps[0]!.snapshot);
  });

  it('gives the map without the parts that are broken, and names them', () => {
    const entries = unzipSync(FILE);
    const beat = entries['evidence/0/beat.bin']!.slice();
    beat[3]! ^= 1;
    const file = zipSync({
      'project.json': entries['project.json']!,
      ...Object.fromEntries(Object.entries(entries).filter(([name]) => name.startsWith('evidence/'))),
      'evidence/0/beat.bin': beat,
    });
    const { project, lost } = readProject(file);
    expect(lost).toEqual(['the analysis', 'the outline', "the recording's fingerprint", 'the recording']);
    expect(project).toEqual({ map: whole().map, history: whole().history });
  });

  it('gives the map alone when the history does not fit it', () => {
    const broken = withDocument(FILE, (document) => {
      const history = document.history as { steps: { label: string; patch?: unknown }[] };
      history.steps[1]!.patch = [{ op: 'remove', path: '/spans/0' }];
      return document;
    });
    const { project, lost } = readProject(broken);
    expect(lost).toEqual(['the history of edits']);
    expect(project.map).toEqual(whole().map);
    expect(project.history).toBeUndefined();
  });

  it('gives the map alone when the history is that of another one', () => {
    const other = withDocument(FILE, (document) => ({ ...document, map: { ...whole().map, title: 'Another' } }));
    expect(readProject(other)).toMatchObject({
      lost: ['the history of edits'],
      project: { map: { title: 'Another' } },
    });
  });

  it('drops doubts that make no sense, not the map', () => {
    const doubts = [{ time: 1 }, 'doubt', { time: 0.123, weight: 0.5, kind: 'weak', text: 'x', keep: [], other: [] }];
    const { map } = whole();
    const file = JSON.stringify({ format: 'barwright-project', version: 1, map: { ...map, doubts } });
    expect(readProject(file).project.map).toEqual({ ...map, doubts: [] });
  });

  it('with a map that does not add up says what is wrong', () => {
    const { map } = whole();
    const file = (change: object): string =>
      JSON.stringify({ format: 'barwright-project', version: 1, map: { ...map, ...change } });
    expect(problemOf(file({ spans: map.spans.slice(1) })).message).toMatch(
      /does not add up \(the first span starts at/,
    );
    expect(problemOf(file({ end: 1e308 })).message).toMatch(/end must be a number from 0 to 86400/);
    expect(problemOf(file({ title: 3 })).message).toMatch(/the map, title must be a text, and 3 was found/);
    expect(problemOf(file({ prevailing: { count: 4, unit: 3, beatUnits: 1 } })).message).toMatch(/unit must be one of/);
    expect(problemOf(file({ locks: [{ id: 'L1', kind: 'wish', time: 1 }] })).message).toMatch(
      /lock 1, kind must be one of/,
    );
  });
});

describe('a hostile project file', () => {
  const document = JSON.parse(strFromU8(unzipSync(FILE)['project.json']!)) as Record<string, unknown>;

  it('never crashes the reading: it is read, or refused with a ProjectProblem', () => {
    // One place of the document, anywhere, gets a value of the wrong sort.
    const places: (readonly string[])[] = [];
    const walk = (value: unknown, path: readonly string[]): void => {
      if (path.length > 0) places.push(path);
      if (typeof value !== 'object' || value === null) return;
      for (const key of Object.keys(value)) walk((value as Record<string, unknown>)[key], [...path, key]);
    };
    walk(document, []);
    expect(places.length).toBeGreaterThan(500);
    const wrong = fc.oneof(
      fc.constantFrom(null, true, -1, 1e300, 0.5, '', 'x'.repeat(5000), [], {}, [[]], { length: 5 }, '__proto__'),
      fc.jsonValue({ maxDepth: 2 }),
    );
    fc.assert(
      fc.property(fc.constantFrom(...places), wrong, (path, value) => {
        const changed = structuredClone(document);
        const holder = path
          .slice(0, -1)
          .reduce<Record<string, unknown>>((at, key) => at[key] as Record<string, unknown>, changed);
        holder[path[path.length - 1]!] = value;
        try {
          readProject(JSON.stringify(changed));
        } catch (error) {
          expect(error).toBeInstanceOf(ProjectProblem);
        }
      }),
      { numRuns: runs(150) },
    );
  });

  it('with any bytes changed never crashes the reading', () => {
    fc.assert(
      fc.property(fc.nat(FILE.length - 1), fc.nat(255), fc.nat(40), (at, byte, count) => {
        const changed = FILE.slice();
        changed.fill(byte, at, at + count);
        try {
          readProject(changed);
        } catch (error) {
          expect(error).toBeInstanceOf(ProjectProblem);
        }
      }),
      { numRuns: runs(60) },
    );
  });

  it('with any JSON at all never crashes the reading', () => {
    fc.assert(
      fc.property(fc.json(), fc.jsonValue(), (json, map) => {
        expect(problemOf(json)).toBeInstanceOf(ProjectProblem);
        const file = JSON.stringify({ format: 'barwright-project', version: 1, map });
        expect(problemOf(file)).toBeInstanceOf(ProjectProblem);
      }),
      { numRuns: runs(100) },
    );
  });

  it('cannot reach the prototype of objects', () => {
    const { map } = whole();
    const own = JSON.stringify({ format: 'barwright-project', version: 1, map });
    const hostile = own.replace(
      '"title"',
      '"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}},"title"',
    );
    const read = readProject(hostile).project.map;
    expect(read).toEqual(map);
    expect(Object.hasOwn(read, '__proto__')).toBe(false);
    const patch = [{ op: 'add', path: '/__proto__/polluted', value: 1 }];
    const steps = [
      { index: 0, label: 'a', snapshot: map },
      { index: 1, label: 'b', patch },
    ];
    const history = { place: 0, steps };
    expect(readProject(JSON.stringify({ ...(JSON.parse(own) as object), history })).lost).toEqual([
      'the history of edits',
    ]);
    expect(({} as { polluted?: number }).polluted).toBeUndefined();
  });

  it('nested without end is refused', () => {
    const deep = (open: string, close: string): string => open.repeat(200_000) + close.repeat(200_000);
    expect(problemOf(deep('[', ']')).kind).toBe('not-a-project');
    const nested = `{"format":"barwright-project","version":1,"map":${deep('{"map":', '}').replace('{"map":}', '{}')}}`;
    expect(problemOf(nested).kind).toBe('damaged');
    const kept = '[{"ratio":1,"locks":[{"was":{"id":"L1","kind":"tempo","from":0,"to":1,"period":1,"kept":';
    const locks = `[{"id":"L1","kind":"tempo","from":0,"to":1,"period":1,"kept":${kept.repeat(5000)}1${'}}]}]'.repeat(5000)}}]`;
    const file = JSON.stringify({ ...document, history: undefined, map: { ...whole().map, locks: 'LOCKS' } }).replace(
      '"LOCKS"',
      locks,
    );
    expect(problemOf(file).message).toMatch(/lock 1, kept 1, lock 1, was, kind must be one of/);
  });

  it('with numbers beyond all bounds is refused', () => {
    const file = JSON.stringify({ ...document, history: undefined, map: { ...whole().map, tuning: 'TUNING' } });
    for (const number of ['1e999', '-1e999', '1e308']) {
      expect(problemOf(file.replace('"TUNING"', number)).kind).toBe('damaged');
    }
  });

  it('that claims enormous entries is refused without making room for them', () => {
    const file = FILE.slice();
    // The size of the unpacked first entry, in the archive's directory at the end (APPNOTE.TXT 4.3.12).
    const view = new DataView(file.buffer);
    const directory = view.getUint32(file.length - 22 + 16, true);
    expect(view.getUint32(directory, true)).toBe(0x02014b50);
    view.setUint32(directory + 24, 0xfffffff0, true);
    expect(problemOf(file).message).toMatch(/archive without project.json/);
  });
});
