import { describe, expect, it } from 'vitest';
import { rehearsals } from '../../../src/analysis/rehearsal.js';
import { solveMap } from '../../../src/analysis/solve.js';
import { setBarBeats } from '../../../src/model/edits/bars.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { analysisService } from '../../../src/platform/worker/analysis-service.js';
import { loadEssentia } from '../../../src/platform/worker/essentia-loader.js';
import { loadTools } from '../../../src/platform/worker/tools-loader.js';
import type { Reply } from '../../../src/platform/worker/protocol.js';
import { analysedSample } from '../../support/sample-evidence.js';
import { synthesise } from '../../support/synth.js';

const recording = { fileName: 'a.wav', duration: 30, sampleRate: 44100, channels: 1, contentId: '0' };

function setUp(load = loadTools) {
  const replies: Reply[] = [];
  const laterWorks: (() => void)[] = [];
  const handle = analysisService(
    load,
    (reply) => replies.push(reply),
    (work) => laterWorks.push(work),
  );
  return { handle, replies, laterWorks };
}

describe('essentia.js', () => {
  it('loads in Node once, and leaves the process its own way with errors', async () => {
    const before = process.listenerCount('unhandledRejection') + process.listenerCount('uncaughtException');
    expect(await loadEssentia()).toBe(await loadEssentia());
    expect(process.listenerCount('unhandledRejection') + process.listenerCount('uncaughtException')).toBe(before);
  });
});

describe('the analysis in the worker', () => {
  it('turns samples into a map, step by step, and solves it again', async () => {
    const { handle, replies, laterWorks } = setUp();
    const chords = ['C', 'F', 'G', 'C', 'A:min', 'F', 'G', 'C'];
    const samples = synthesise([...chords, ...chords].map((harte) => ({ harte, beats: 4 })));
    await handle({ kind: 'hear', id: 6, samples });
    const heard = replies.at(-1);
    if (heard?.kind !== 'heard') throw new Error(`found ${JSON.stringify(heard)}`);
    await handle({
      kind: 'begin',
      id: 7,
      evidence: heard.evidence,
      recording: { ...recording, duration: samples.length / 22050 },
      title: 'Song',
    });
    const told = replies.filter((reply) => reply.kind === 'progress');
    expect([...new Set(told.map((reply) => reply.step))]).toEqual([
      'tuning and key',
      'features',
      'beats',
      'bars',
      'sections',
      'chords',
    ]);
    const shares = told.map((reply) => reply.done);
    expect([...shares].sort((a, b) => a - b)).toEqual(shares);
    const done = replies.at(-1);
    if (done?.kind !== 'begun') throw new Error(`found ${JSON.stringify(done)}`);
    expect(done).toMatchObject({ id: 7, map: { title: 'Song', key: { tonic: 'C', mode: 'major' }, locks: [] } });
    const { map } = done;
    const bars = map.spans.filter((span) => span.kind === 'bar');
    expect(bars.length).toBeGreaterThan(8);
    expect(map.sections[0]?.start).toBe(bars[0]?.start);
    const starts = new Set(bars.map((bar) => bar.start));
    expect(map.sections.every((section) => starts.has(section.start))).toBe(true);
    const beats = new Set(bars.flatMap((bar) => bar.beats));
    // What was shown last before sections and chords were known are the beats of the map.
    const shown = replies.filter((reply) => reply.kind === 'found').at(-1);
    expect(shown?.found.beats).toEqual([...beats]);
    expect(replies.findIndex((reply) => reply === shown)).toBeLessThan(
      replies.findIndex((reply) => reply.kind === 'progress' && reply.step === 'sections'),
    );
    expect(map.chords.every((mark) => beats.has(mark.time))).toBe(true);
    expect(new Set(map.chords.map((mark) => mark.harte))).toEqual(new Set(['C', 'F', 'G', 'A:min']));

    // Ready for edits as after opening: the first of them is rehearsed, the others after it.
    expect(laterWorks).toHaveLength(1);
    await handle({ kind: 'solve', id: 8, map });
    expect(replies.at(-1)).toEqual({ kind: 'solved', id: 8, outcome: { ok: true, map } });
  });

  it('rehearses edits of a song that is opened one at a time, and solves as if it had not', async () => {
    const { evidence, map } = await analysedSample('kites-over-brennick.ogg');
    const edited = setBarBeats(map, 20, 3);
    const expected = solveMap(structuredClone(evidence), edited);
    const { handle, replies, laterWorks } = setUp();
    await handle({ kind: 'use', id: 1, evidence: structuredClone(evidence), map });
    expect(replies).toEqual([{ kind: 'used', id: 1 }]);
    let rehearsed = 0;
    for (let work = laterWorks.pop(); work; work = laterWorks.pop()) {
      expect(laterWorks).toEqual([]);
      work();
      rehearsed += 1;
    }
    expect(rehearsed).toBe(rehearsals(map).length);
    expect(rehearsed).toBeGreaterThan(1);
    await handle({ kind: 'solve', id: 2, map: edited });
    expect(replies.at(-1)).toEqual({ kind: 'solved', id: 2, outcome: expected });
  });

  it('rehearses no more when another song is in use', async () => {
    const { evidence, map } = await analysedSample('kites-over-brennick.ogg');
    const { handle, laterWorks } = setUp();
    await handle({ kind: 'use', id: 1, evidence, map });
    await handle({ kind: 'use', id: 2, evidence: structuredClone(evidence) });
    laterWorks.pop()?.();
    expect(laterWorks).toEqual([]);
  });

  it('has nothing to solve from before it was given evidence', async () => {
    const { handle, replies } = setUp();
    await handle({ kind: 'solve', id: 1, map: {} as SongMap });
    expect(replies).toEqual([
      { kind: 'failed', id: 1, message: 'There is no analysis to solve from; open the song again.' },
    ]);
  });

  it('answers with the reason when the library does not start', async () => {
    const { handle, replies } = setUp(() =>
      Promise.reject(new Error('The analysis library essentia.js could not start here.')),
    );
    await handle({ kind: 'hear', id: 2, samples: new Float32Array(10) });
    expect(replies).toEqual([
      { kind: 'failed', id: 2, message: 'The analysis library essentia.js could not start here.' },
    ]);
  });
});
