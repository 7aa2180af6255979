import { readdirSync, readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { strFromU8, unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { importTimes } from '../../src/model/edits/import-times.js';
import { pushMap, startHistory, storedSteps } from '../../src/model/history.js';
import type { SongMap } from '../../src/model/song-map.js';
import { migrate } from '../../src/project/migrations/migrate.js';
import { readPastedTimes } from '../../src/project/import/read-times.js';
import { DOCUMENT_FILE, PROJECT_VERSION, type Project } from '../../src/project/project.js';
import { readProject } from '../../src/project/read-project.js';
import { writeProject } from '../../src/project/write-project.js';
import { applyEdit, editArbitrary, mapArbitrary } from '../support/arbitraries.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';
import { analysedSample } from '../support/sample-evidence.js';

const folder = 'src/project/schema';
const kept = 'tests/project/kept';
const schemaOf = (version: number): object =>
  JSON.parse(readFileSync(`${folder}/version-${version}.schema.json`, 'utf8')) as object;
const ajv = new Ajv({ strict: false, allErrors: true });
const isDocument = ajv.compile(schemaOf(PROJECT_VERSION));

function faults(document: unknown): string[] {
  if (isDocument(document)) return [];
  return (isDocument.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

function documentOf(project: Project): Record<string, unknown> {
  const bytes = new Uint8Array(Buffer.concat(writeProject(project)));
  return JSON.parse(strFromU8(unzipSync(bytes)[DOCUMENT_FILE]!)) as Record<string, unknown>;
}

describe('the schema of a project file', () => {
  it('is there for the version that is written, and none is missing before it', () => {
    const names = readdirSync(folder).sort();
    expect(names).toEqual(Array.from({ length: PROJECT_VERSION }, (_, i) => `version-${i + 1}.schema.json`));
  });

  it('describes whatever is written, edits and their history too', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 6 }), (map, edits) => {
        let history = startHistory(map);
        let now: SongMap = map;
        for (const [i, edit] of edits.entries()) {
          const next = applyEdit(now, edit);
          if (next === now) continue;
          history = pushMap(history, `edit ${i}`, (now = next));
        }
        const steps = storedSteps(history);
        expect(faults(documentOf({ map: now, history: { steps, place: steps.length - 1 } }))).toEqual([]);
      }),
      { numRuns: runs(40) },
    );
    const taken = importTimes(bars('4 4'), readPastedTimes('0.5\n1\n1.5', 4));
    expect(faults(documentOf({ map: taken }))).toEqual([]);
  });

  it('describes a sample with its evidence', async () => {
    const { evidence, map } = await analysedSample('kites-over-brennick.ogg');
    const recording = { name: 'kites.ogg', bytes: new Uint8Array(10) };
    expect(faults(documentOf({ map, evidence, recording }))).toEqual([]);
  });

  it('refuses what readers would refuse', () => {
    const good = documentOf({ map: bars('4:G 4') });
    expect(faults(good)).toEqual([]);
    const broken: readonly [string, object][] = [
      ['/version', { version: 2 }],
      ['/map', { map: { ...(good.map as object), locks: [{ id: 'L1', kind: 'wish', time: 1 }] } }],
      ['/map/prevailing/unit', { map: { ...(good.map as object), prevailing: { count: 4, unit: 3, beatUnits: 1 } } }],
      ['/map', { map: { ...(good.map as object), colour: 'red' } }],
    ];
    for (const [place, change] of broken)
      expect(
        faults({ ...good, ...change }).some((fault) => fault.startsWith(place)),
        place,
      ).toBe(true);
  });

  it('describes every kept old file once it is brought up to date, and such a file still opens', () => {
    const files = readdirSync(kept).filter((name) => name.endsWith('.barwright'));
    expect(files.length).toBeGreaterThanOrEqual(PROJECT_VERSION);
    for (const name of files) {
      const bytes = new Uint8Array(readFileSync(`${kept}/${name}`));
      const document = JSON.parse(strFromU8(unzipSync(bytes)[DOCUMENT_FILE]!)) as Record<string, unknown>;
      const version = Number(/version-(\d+)/.exec(name)?.[1]);
      const isOld = ajv.compile(schemaOf(version));
      expect(isOld(document), `${name}: ${JSON.stringify(isOld.errors?.slice(0, 3))}`).toBe(true);
      expect(faults(migrate(document, PROJECT_VERSION))).toEqual([]);
      expect(readProject(bytes).lost).toEqual([]);
    }
  });
});
