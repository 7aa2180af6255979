import { describe, expect, it } from 'vitest';
import type { Evidence, Track } from '../../src/analysis/evidence/evidence.js';
import { HEARD_NAMES } from '../../src/project/project.js';
import { readProject } from '../../src/project/read-project.js';
import { writeProject } from '../../src/project/write-project.js';
import { bars } from '../support/notation.js';
import { flatEvidence } from '../support/songs.js';

function reread(evidence: Evidence): Evidence | undefined {
  return readProject(new Uint8Array(Buffer.concat(writeProject({ map: bars('4 4'), evidence })))).project.evidence;
}

describe('what the network heard, in a project', () => {
  const flat = flatEvidence(4);

  it('is kept', () => {
    const track = (n: number): Track => ({ rate: 50, width: 1, data: new Uint8Array(200).fill(n) });
    const heard = Object.fromEntries(HEARD_NAMES.map((name, n) => [name, track(n + 1)]));
    const evidence: Evidence = { ...flat, tracks: { ...flat.tracks, ...heard } };
    expect(HEARD_NAMES.length).toBe(3);
    expect(reread(evidence)).toEqual(evidence);
  });

  it('may be missing, as in one made before there was a network', () => {
    expect(reread(flat)).toEqual(flat);
  });
});
