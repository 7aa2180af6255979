import { describe, expect, it, vi } from 'vitest';
import type { Evidence } from '../../../src/analysis/evidence/evidence.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { AnalysisClient, type WorkerLike } from '../../../src/platform/worker/client.js';
import type { Reply, Request } from '../../../src/platform/worker/protocol.js';
import { until } from '../../support/until.js';

/** A worker that only keeps what it was sent; the test answers for it. */
class FakeWorker implements WorkerLike {
  onmessage: WorkerLike['onmessage'] = null;
  onerror: WorkerLike['onerror'] = null;
  onmessageerror: WorkerLike['onmessageerror'] = null;
  readonly sent: Request[] = [];
  readonly transferred: Transferable[] = [];
  ended = false;

  postMessage(message: Request, transfer: Transferable[]): void {
    if (this.ended) throw new Error('posted to a worker that has ended');
    this.sent.push(message);
    this.transferred.push(...transfer);
  }

  terminate(): void {
    this.ended = true;
  }

  answer(reply: Reply): void {
    this.onmessage?.({ data: reply });
  }
}

function setUp(): { client: AnalysisClient; workers: FakeWorker[] } {
  const workers: FakeWorker[] = [];
  const client = new AnalysisClient(() => {
    workers.push(new FakeWorker());
    return workers.at(-1) as FakeWorker;
  });
  return { client, workers };
}

const recording = { fileName: 'a.wav', duration: 6, sampleRate: 44100, channels: 1, contentId: '0' };
const evidence = (version: string): Evidence => ({ version }) as Evidence;
const map = (title: string): SongMap => ({ title }) as SongMap;

describe('the analysis client', () => {
  it('starts no worker before it is needed, transfers the samples and passes on progress and result', async () => {
    const { client, workers } = setUp();
    expect(workers).toHaveLength(0);
    const samples = new Float32Array(8);
    const steps: string[] = [];
    const result = client.analyse(samples, recording, 'Song', {
      report: (step, done) => steps.push(`${step} ${done}`),
      found: ({ beats, lines }) => steps.push(`${beats.length} beats, ${lines.length} bars`),
    });
    const worker = workers[0]!;
    expect(worker.sent).toMatchObject([{ kind: 'hear', id: 1 }]);
    expect(worker.transferred).toEqual([samples.buffer]);
    worker.answer({ kind: 'progress', id: 1, step: 'beats', done: 0.5 });
    worker.answer({ kind: 'found', id: 1, found: { beats: [0.5, 1, 1.5], lines: [0.5] } });
    worker.answer({ kind: 'heard', id: 1, evidence: evidence('1') });
    await until(() => workers.length === 2);
    // The memory of the first is given back before the second begins.
    expect(worker.ended).toBe(true);
    const second = workers[1]!;
    expect(second.sent).toMatchObject([{ kind: 'begin', id: 2, evidence: { version: '1' }, recording, title: 'Song' }]);
    second.answer({ kind: 'progress', id: 2, step: 'bars', done: 0.9 });
    second.answer({ kind: 'begun', id: 2, map: map('Song') });
    second.answer({ kind: 'found', id: 2, found: { beats: [], lines: [] } });
    expect(await result).toEqual({ evidence: { version: '1' }, map: { title: 'Song' } });
    expect(steps).toEqual(['beats 0.5', '3 beats, 1 bars', 'bars 0.9']);
    expect(second.ended).toBe(false);
  });

  it('gives each question its own answer, whatever the order, and drops answers nobody waits for', async () => {
    const { client, workers } = setUp();
    const first = client.solve(map('a'));
    const second = client.solve(map('b'));
    const worker = workers[0]!;
    worker.answer({ kind: 'solved', id: 99, outcome: { ok: true, map: map('late') } });
    worker.answer({ kind: 'solved', id: 2, outcome: { ok: true, map: map('B') } });
    worker.answer({ kind: 'solved', id: 1, outcome: { ok: false, conflict: ['x'] } });
    worker.answer({ kind: 'solved', id: 1, outcome: { ok: true, map: map('twice') } });
    expect(await first).toEqual({ ok: false, conflict: ['x'] });
    expect(await second).toMatchObject({ map: { title: 'B' } });
  });

  it('passes on what the worker says went wrong', async () => {
    const { client, workers } = setUp();
    const solve = client.solve(map('a'));
    workers[0]!.answer({ kind: 'failed', id: 1, message: 'There is no analysis to solve from; open the song again.' });
    await expect(solve).rejects.toThrow('open the song again');
    expect(workers[0]!.ended).toBe(false);
  });

  it('ends the worker when an analysis is cancelled; the next one gets the evidence that was in use', async () => {
    const { client, workers } = setUp();
    const used = client.use(evidence('old'));
    workers[0]!.answer({ kind: 'used', id: 1 });
    await used;
    const abort = new AbortController();
    const analysis = client.analyse(new Float32Array(8), recording, 'New', { signal: abort.signal });
    const waiting = client.solve(map('old song'));
    abort.abort();
    await expect(analysis).rejects.toMatchObject({ name: 'Cancelled' });
    expect(workers[0]!.ended).toBe(true);
    // The solve that stood in line goes on in the new worker.
    expect(workers[1]!.sent.map((request) => request.kind)).toEqual(['use', 'solve']);
    expect(workers[1]!.sent[0]).toMatchObject({ evidence: { version: 'old' } });
    workers[1]!.answer({ kind: 'solved', id: 3, outcome: { ok: true, map: map('solved') } });
    expect(await waiting).toMatchObject({ map: { title: 'solved' } });
  });

  it('keeps the evidence that was in use when no map could be made of what was heard', async () => {
    const { client, workers } = setUp();
    const used = client.use(evidence('old'));
    workers[0]!.answer({ kind: 'used', id: 1 });
    await used;
    const analysis = client.analyse(new Float32Array(8), recording, 'New');
    workers[0]!.answer({ kind: 'heard', id: 2, evidence: evidence('new') });
    await until(() => workers.length === 2);
    workers[1]!.answer({ kind: 'failed', id: 3, message: 'No bars.' });
    await expect(analysis).rejects.toThrow('No bars.');
    expect(workers[1]!.ended).toBe(true);
    void client.solve(map('old song')).catch(() => undefined);
    expect(workers[2]!.sent).toMatchObject([{ kind: 'use', evidence: { version: 'old' } }, { kind: 'solve' }]);
  });

  it('is called off as well while the map is made', async () => {
    const { client, workers } = setUp();
    const abort = new AbortController();
    const analysis = client.analyse(new Float32Array(8), recording, 'New', { signal: abort.signal });
    workers[0]!.answer({ kind: 'heard', id: 1, evidence: evidence('new') });
    await until(() => workers.length === 2);
    abort.abort();
    await expect(analysis).rejects.toMatchObject({ name: 'Cancelled' });
    expect(workers[1]!.ended).toBe(true);
  });

  it('does not begin what was cancelled before', async () => {
    const { client, workers } = setUp();
    const analysis = client.analyse(new Float32Array(8), recording, 'New', { signal: AbortSignal.abort() });
    await expect(analysis).rejects.toMatchObject({ name: 'Cancelled' });
    expect(workers).toHaveLength(0);
  });

  it('says plainly when the worker crashed, and works again with a new one', async () => {
    const { client, workers } = setUp();
    const analysis = client.analyse(new Float32Array(8), recording, 'Song');
    workers[0]!.onerror?.({ message: 'out of memory', preventDefault: () => undefined });
    await expect(analysis).rejects.toThrow(
      'The analysis stopped unexpectedly; nothing of the song is lost. Try again.',
    );
    expect(workers[0]!.ended).toBe(true);
    const used = client.use(evidence('2'));
    expect(workers[1]!.sent).toMatchObject([{ kind: 'use', evidence: { version: '2' } }]);
    workers[1]!.answer({ kind: 'used', id: 2 });
    await used;
  });

  it('takes a worker that was killed, which says nothing of it, for crashed after three silent minutes', async () => {
    vi.useFakeTimers();
    try {
      const { client, workers } = setUp();
      const solved = client.solve({} as SongMap);
      const outcome = expect(solved).rejects.toThrow(/stopped unexpectedly; nothing of the song is lost/);
      vi.advanceTimersByTime(170_000);
      workers[0]!.answer({ kind: 'progress', id: 1, step: 'network', done: 0.5 } as unknown as Reply);
      vi.advanceTimersByTime(170_000);
      workers[0]!.answer({ kind: 'alive' });
      vi.advanceTimersByTime(170_000);
      expect(workers[0]!.ended).toBe(false);
      vi.advanceTimersByTime(20_000);
      await outcome;
      expect(workers[0]!.ended).toBe(true);
      vi.advanceTimersByTime(3_600_000);
      expect(workers).toHaveLength(1);
    } finally {
      vi.useRealTimers();
    }
  });

  it('ends with everything pending cancelled', async () => {
    const { client, workers } = setUp();
    const solve = client.solve(map('a'));
    client.dispose();
    await expect(solve).rejects.toMatchObject({ name: 'Cancelled' });
    expect(workers[0]!.ended).toBe(true);
  });
});
