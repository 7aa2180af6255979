import { msg } from '@lit/localize';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import { Cancelled } from '../../analysis/progress.js';
import type { AnalyserPort } from '../../app/kit/ports.js';
import type { Reply, Request } from './protocol.js';
import { CHECK, SILENT_CHECKS, StoppedProblem } from './stopped.js';
import { workerName } from '../../text/worker-language.js';

/** What the client needs of a Worker. */
export interface WorkerLike {
  onmessage: ((event: { data: Reply }) => void) | null;
  onerror: ((event: { message?: string; preventDefault(): void }) => void) | null;
  onmessageerror: (() => void) | null;
  postMessage(message: Request, transfer: Transferable[]): void;
  terminate(): void;
}

/** The analysis in a module worker of its own. */
export function startAnalysisWorker(): WorkerLike {
  return new Worker(new URL('./analysis-worker.ts', import.meta.url), {
    type: 'module',
    name: workerName('analysis'),
  }) as unknown as WorkerLike;
}

const crashedText = (): string => msg('The analysis stopped unexpectedly; nothing of the song is lost. Try again.');

interface Waiting {
  readonly request: Request;
  readonly resolve: (reply: Reply) => void;
  readonly reject: (error: Error) => void;
  readonly news?: News;
}

/** Where to tell what is heard of a request before its answer. */
type News = Pick<NonNullable<AnalyseOptions>, 'report' | 'found'>;
type AnalyseOptions = Parameters<AnalyserPort['analyse']>[3];
type RequestDraft = Request extends infer R ? (R extends Request ? Omit<R, 'id'> : never) : never;

/**
 * The analyser over a worker that is started when first needed. Cancelling an analysis ends the worker at once and
 * rejects with Cancelled; a worker that crashes rejects what was pending with a StoppedProblem. In both cases the next call gets
 * a new worker, which is first given the evidence that was in use.
 */
export class AnalysisClient implements AnalyserPort {
  private worker: WorkerLike | undefined;
  private evidence: Evidence | undefined;
  private nextId = 1;
  private readonly waiting = new Map<number, Waiting>();
  private silent = 0;
  private watch: ReturnType<typeof setInterval> | undefined;

  constructor(private readonly start: () => WorkerLike = startAnalysisWorker) {}

  async analyse(
    ...[samples, recording, title, options]: Parameters<AnalyserPort['analyse']>
  ): ReturnType<AnalyserPort['analyse']> {
    const heard = await this.step({ kind: 'hear', samples }, [samples.buffer], options);
    if (heard.kind !== 'heard') throw new Error(`analyse: the worker answered "${heard.kind}"`);
    const { evidence } = heard;
    // The memory that hearing took is given back with its worker; the next one makes the map and goes on solving.
    this.endIdle();
    const begun = await this.step({ kind: 'begin', evidence, recording, title }, [], options).catch(
      (error: unknown) => {
        // It was not given the evidence in use; the next one is.
        this.endIdle();
        throw error;
      },
    );
    if (begun.kind !== 'begun') throw new Error(`analyse: the worker answered "${begun.kind}"`);
    this.evidence = evidence;
    return { evidence, map: begun.map };
  }

  /** A step of an analysis, which can be called off. */
  private async step(draft: RequestDraft, transfer: Transferable[], options: AnalyseOptions): Promise<Reply> {
    const signal = options?.signal;
    if (signal?.aborted) throw new Cancelled();
    const { id, reply } = this.request(draft, transfer, options);
    const cancel = (): void => this.cancel(id);
    signal?.addEventListener('abort', cancel, { once: true });
    try {
      return await reply;
    } finally {
      signal?.removeEventListener('abort', cancel);
    }
  }

  async recognise(...[samples, known]: Parameters<AnalyserPort['recognise']>): ReturnType<AnalyserPort['recognise']> {
    const done = await this.request({ kind: 'recognise', samples, known }, []).reply;
    if (done.kind !== 'recognised') throw new Error(`recognise: the worker answered "${done.kind}"`);
    return done.recognised;
  }

  async use(...[evidence, map]: Parameters<AnalyserPort['use']>): Promise<void> {
    this.evidence = evidence;
    await this.request({ kind: 'use', evidence, ...(map ? { map } : {}) }, []).reply;
  }

  async solve(...[map]: Parameters<AnalyserPort['solve']>): ReturnType<AnalyserPort['solve']> {
    const done = await this.request({ kind: 'solve', map }, []).reply;
    if (done.kind !== 'solved') throw new Error(`solve: the worker answered "${done.kind}"`);
    return done.outcome;
  }

  /** Ends the worker; what is pending is rejected with Cancelled. */
  dispose(): void {
    this.end();
    this.rejectAll(new Cancelled());
  }

  private request(draft: RequestDraft, transfer: Transferable[], news?: News): { id: number; reply: Promise<Reply> } {
    const id = this.nextId++;
    const request = { ...draft, id } as Request;
    const reply = new Promise<Reply>((resolve, reject) => {
      this.waiting.set(id, { request, resolve, reject, ...(news ? { news } : {}) });
    });
    try {
      this.running(request).postMessage(request, transfer);
    } catch (error) {
      this.settle(id)?.reject(error instanceof Error ? error : new Error(String(error)));
    }
    return { id, reply };
  }

  /** The worker, started if there is none; a new one is given the evidence in use before anything is solved with it. */
  private running(next: Request): WorkerLike {
    if (this.worker) return this.worker;
    const worker = this.start();
    this.worker = worker;
    this.silent = 0;
    this.watch = setInterval(() => this.check(), CHECK);
    worker.onmessage = ({ data }) => this.receive(data);
    worker.onerror = (event) => {
      // Otherwise the page's own handler of uncaught errors would tell of it too.
      event.preventDefault();
      this.crashed(event.message);
    };
    worker.onmessageerror = () => this.crashed(msg('a message could not be read'));
    if (this.evidence && next.kind !== 'use' && next.kind !== 'begin') {
      worker.postMessage({ kind: 'use', id: this.nextId++, evidence: this.evidence }, []);
    }
    return worker;
  }

  /** Answers to what is no longer waited for are dropped. */
  private receive(reply: Reply): void {
    this.silent = 0;
    if (reply.kind === 'alive') return;
    if (reply.kind === 'progress') {
      this.waiting.get(reply.id)?.news?.report?.(reply.step, reply.done);
      return;
    }
    if (reply.kind === 'found') {
      this.waiting.get(reply.id)?.news?.found?.(reply.found);
      return;
    }
    const waiting = this.settle(reply.id);
    if (!waiting) return;
    if (reply.kind === 'failed') waiting.reject(new Error(reply.message));
    else waiting.resolve(reply);
  }

  private cancel(id: number): void {
    const cancelled = this.settle(id);
    if (!cancelled) return;
    this.end();
    cancelled.reject(new Cancelled());
    // What stood in line behind it goes to the next worker; an analysis cannot, its samples went with the old one.
    for (const { request, reject } of [...this.waiting.values()]) {
      if (request.kind === 'hear') {
        this.waiting.delete(request.id);
        reject(new StoppedProblem(crashedText()));
      } else {
        this.running(request).postMessage(request, []);
      }
    }
  }

  private crashed(cause: string | undefined): void {
    this.end();
    this.rejectAll(new StoppedProblem(crashedText(), { cause }));
  }

  private check(): void {
    if (this.waiting.size === 0) this.silent = 0;
    else if (++this.silent >= SILENT_CHECKS) this.crashed(msg('it said nothing any more'));
  }

  private endIdle(): void {
    if (this.waiting.size === 0) this.end();
  }

  private end(): void {
    clearInterval(this.watch);
    const worker = this.worker;
    this.worker = undefined;
    if (!worker) return;
    worker.onmessage = null;
    worker.onerror = null;
    worker.onmessageerror = null;
    worker.terminate();
  }

  private rejectAll(error: Error): void {
    const all = [...this.waiting.values()];
    this.waiting.clear();
    for (const { reject } of all) reject(error);
  }

  private settle(id: number): Waiting | undefined {
    const waiting = this.waiting.get(id);
    this.waiting.delete(id);
    return waiting;
  }
}
