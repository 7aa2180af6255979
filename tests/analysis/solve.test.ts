import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.js';
import { Cancelled, SILENT_PROGRESS } from '../../src/analysis/progress.js';
import { firstMap, solveMap } from '../../src/analysis/solve.js';
import { check, checkLocks } from '../../src/model/invariants.js';
import { barsOf, beatTimes } from '../../src/model/map-queries.js';
import type { Lock } from '../../src/model/locks.js';
import type { ChordMark, SongMap } from '../../src/model/song-map.js';
import { loadTools } from '../../src/platform/worker/tools-loader.js';
import { synthesise } from '../support/synth.js';

const tools = await loadTools();
const verse = ['C', 'A:min', 'F', 'G', 'C', 'A:min', 'F', 'G'].map((harte) => ({ harte, beats: 4, partials: 3 }));
const refrain = ['F', 'C', 'G', 'C', 'F', 'C', 'G', 'C'].map((harte) => ({ harte, beats: 4, partials: 9 }));
const signal = synthesise([...verse, ...refrain]);
const recording = {
  fileName: 'a.wav',
  duration: signal.length / 22050,
  sampleRate: 44100,
  channels: 1,
  contentId: '0',
};
const evidence = await analyse(signal, tools, SILENT_PROGRESS);
const first = firstMap(evidence, recording, 'Two parts');

function solved(map: SongMap): SongMap {
  const outcome = solveMap(evidence, map);
  if (!outcome.ok) throw new Error(`a conflict of ${outcome.conflict.join(', ')}`);
  expect(check(outcome.map)).toEqual([]);
  expect(checkLocks(outcome.map)).toEqual([]);
  return outcome.map;
}

const withLocks = (map: SongMap, ...locks: Lock[]): SongMap => ({ ...map, locks: [...map.locks, ...locks] });
const suggestedOffBeat = (map: SongMap): ChordMark[] =>
  map.chords.filter((mark) => mark.origin === 'suggested' && !beatTimes(map).includes(mark.time));

describe('the first map', () => {
  it('is sound and holds what was played', () => {
    expect(check(first)).toEqual([]);
    expect(first).toMatchObject({
      title: 'Two parts',
      locks: [],
      analysis: evidence.version,
      key: { tonic: 'C', mode: 'major' },
    });
    expect(barsOf(first).length).toBeGreaterThanOrEqual(16);
    expect(first.chords.slice(0, 4).map((mark) => mark.harte)).toEqual(['C', 'A:min', 'F', 'G']);
    expect(suggestedOffBeat(first)).toEqual([]);
    expect(first.sections.map((section) => section.letter)).toEqual(['A', 'B']);
  });

  it('is not made once the user has cancelled', async () => {
    const stopped = { report: () => undefined, cancelled: () => true };
    await expect(analyse(signal, tools, stopped)).rejects.toThrow(Cancelled);
    expect(() => firstMap(evidence, recording, '', stopped)).toThrow(Cancelled);
  });

  it('needs samples', async () => {
    await expect(analyse(new Float32Array(0), tools, SILENT_PROGRESS)).rejects.toThrow('analyse: found no samples');
  });
});

describe('solving again', () => {
  it('changes nothing when nothing is new', () => {
    expect(solved(first)).toEqual(first);
  });

  it('puts suggestions on the new beats where bars change, and leaves the others alone', () => {
    const bars = barsOf(first);
    const bar = bars[5]!;
    const map = solved(
      withLocks(first, { id: 'l1', kind: 'bar-length', time: bar.start, meter: { count: 3, unit: 4, beatUnits: 1 } }),
    );
    expect(barsOf(map)[5]).toMatchObject({ start: bar.start, meter: { count: 3, unit: 4, beatUnits: 1 } });
    expect(suggestedOffBeat(map)).toEqual([]);
    const earlier = (m: SongMap): ChordMark[] => m.chords.filter((mark) => mark.time < bar.start - 0.01);
    expect(earlier(map)).toEqual(earlier(first));
  });

  it('hears the changed bars anew', () => {
    const bar = barsOf(first)[5]!;
    const bare = { ...first, chords: first.chords.slice(0, 1) };
    const map = solved(
      withLocks(bare, { id: 'l1', kind: 'bar-length', time: bar.start, meter: { count: 3, unit: 4, beatUnits: 1 } }),
    );
    expect(map.chords[0]).toEqual(first.chords[0]);
    expect(map.chords[1]?.time).toBe(bar.start);
    expect(map.chords[1]?.harte).toBe('A:min');
    expect(suggestedOffBeat(map)).toEqual([]);
  });

  it('does not bring back a chord or a section that was taken away', () => {
    const gone = first.chords[2]!;
    const less = {
      ...first,
      chords: first.chords.filter((mark) => mark !== gone),
      sections: first.sections.slice(0, 1),
    };
    const late = barsOf(first)[12]!;
    const map = solved(
      withLocks(less, { id: 'l1', kind: 'bar-length', time: late.start, meter: { count: 2, unit: 4, beatUnits: 1 } }),
    );
    expect(map.chords.some((mark) => mark.time === gone.time)).toBe(false);
    expect(map.sections).toHaveLength(1);
  });

  it("keeps the user's sections and chords when every bar line moves by a beat", () => {
    const bars = barsOf(first);
    const edge = bars[4]!.start;
    const typed: ChordMark = { time: bars[6]!.beats[2]!, harte: 'D:7', origin: 'user', confidence: 1 };
    const marked: SongMap = {
      ...first,
      sections: [
        { ...first.sections[0]!, id: 'S1' },
        { id: 'S2', name: 'Bridge', letter: 'Q', start: edge, anchor: edge, origin: 'user' },
      ],
      chords: [...first.chords, typed].sort((a, b) => a.time - b.time),
    };
    const map = solved(withLocks(marked, { id: 'l1', kind: 'downbeat', time: bars[4]!.beats[1]! }));
    const section = map.sections.find((s) => s.id === 'S2')!;
    expect(section).toMatchObject({ name: 'Bridge', letter: 'Q', anchor: edge, origin: 'user' });
    expect(Math.abs(section.start - edge)).toBeLessThan(1.1);
    expect(map.chords).toContainEqual(typed);
    expect(suggestedOffBeat(map)).toEqual([]);
  });

  it("suggests anew around the user's decisions when the analysis is of another version", () => {
    const bars = barsOf(first);
    const typed: ChordMark = { time: bars[3]!.start, harte: 'E:7', origin: 'user', confidence: 1 };
    const mine = { ...first.sections[0]!, name: 'Opening', origin: 'user' as const, anchor: first.sections[0]!.start };
    const old: SongMap = { ...first, analysis: 'older', chords: [typed], sections: [mine] };
    const map = solved(old);
    expect(map.analysis).toBe(evidence.version);
    expect(map.sections[0]).toEqual(mine);
    expect(map.chords).toContainEqual(typed);
    expect(map.chords.length).toBeGreaterThan(8);
  });

  it('names the locks that cannot hold together', () => {
    const time = barsOf(first)[3]!.beats[1]!;
    const outcome = solveMap(
      evidence,
      withLocks(first, { id: 'is', kind: 'downbeat', time }, { id: 'is not', kind: 'not-downbeat', time }),
    );
    expect(outcome).toEqual({ ok: false, conflict: ['is', 'is not'] });
  });
});
