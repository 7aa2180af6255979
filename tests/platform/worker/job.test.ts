import { describe, expect, it, vi } from 'vitest';
import { inSteps, runJob, type JobReply } from '../../../src/platform/worker/job.js';

type Reply = JobReply | { readonly kind: 'made'; readonly name: string };

/** A worker that says what the test has it say. */
class ToldWorker {
  onmessage: (event: { data: Reply }) => void = () => undefined;
  onerror: (event: { message: string; preventDefault(): void }) => void = () => undefined;
  readonly given: unknown[][] = [];
  ended = 0;
  postMessage(...message: unknown[]): void {
    this.given.push(message);
  }
  terminate(): void {
    this.ended++;
  }
}

function begin(signal?: AbortSignal) {
  const worker = new ToldWorker();
  const side = new Int16Array(4);
  const reports: number[] = [];
  const request = { pcm: { sampleRate: 8000, channels: [side, side], unit: 2 ** -15 } };
  const made = runJob<Reply, string>(() => worker as unknown as Worker, request, {
    failure: 'It could not be made',
    advice: 'Try again.',
    ...(signal ? { signal } : {}),
    report: (done) => reports.push(done),
    take: ({ name }, resolve) => resolve(name),
  });
  return { worker, made, reports, request, side };
}

describe('a job in a worker of its own', () => {
  it('gives the sound away, tells how far it is, and ends the worker with what was made', async () => {
    const { worker, made, reports, request, side } = begin();
    expect(worker.given).toEqual([[request, [side.buffer]]]);
    worker.onmessage({ data: { kind: 'report', done: 0.5 } });
    expect(worker.ended).toBe(0);
    worker.onmessage({ data: { kind: 'made', name: 'a track' } });
    expect(await made).toBe('a track');
    expect({ reports, ended: worker.ended }).toEqual({ reports: [0.5], ended: 1 });
  });

  it('says why nothing was made, and what to do when the worker itself ended', async () => {
    const failed = begin();
    failed.worker.onmessage({ data: { kind: 'failed', message: 'no encoder' } });
    await expect(failed.made).rejects.toThrow('It could not be made: no encoder');
    const crashed = begin();
    crashed.worker.onerror({ message: '', preventDefault: () => undefined });
    await expect(crashed.made).rejects.toThrow('It could not be made: there was not enough memory. Try again.');
    expect([failed.worker.ended, crashed.worker.ended]).toEqual([1, 1]);
  });

  it('takes a worker that was killed, which says nothing of it, for stopped after three silent minutes', async () => {
    vi.useFakeTimers();
    try {
      const { worker, made } = begin();
      const outcome = expect(made).rejects.toMatchObject({
        name: 'StoppedProblem',
        message: 'It could not be made: it stopped unexpectedly. Try again.',
      });
      vi.advanceTimersByTime(170_000);
      worker.onmessage({ data: { kind: 'report', done: 0.5 } });
      vi.advanceTimersByTime(170_000);
      expect(worker.ended).toBe(0);
      vi.advanceTimersByTime(10_000);
      await outcome;
      vi.advanceTimersByTime(3_600_000);
      expect(worker.ended).toBe(1);
    } finally {
      vi.useRealTimers();
    }
  });

  it('is called off at once, or never begun', async () => {
    const stop = new AbortController();
    const running = begin(stop.signal);
    stop.abort(new Error('called off'));
    await expect(running.made).rejects.toThrow('called off');
    expect(running.worker.ended).toBe(1);
    const late = begin(stop.signal);
    await expect(late.made).rejects.toThrow('called off');
    expect(late.worker.given).toEqual([]);
  });

  it('reports steps that can be seen, not every block', () => {
    const said: number[] = [];
    const report = inSteps((reply) => reply.kind === 'report' && said.push(reply.done));
    for (let block = 1; block <= 10_000; block++) report(block / 10_000);
    expect(said.length).toBeGreaterThan(150);
    expect(said.length).toBeLessThanOrEqual(200);
  });
});
