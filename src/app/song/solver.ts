import type { AnalysisSignal } from '../../analysis/evidence/signal.js';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { SolveOutcome } from '../../analysis/solve.js';
import type { Recording, SongMap } from '../../model/song-map.js';
import type { AnalyserPort } from '../kit/ports.js';

type AnalyseOptions = Parameters<AnalyserPort['analyse']>[3];

/**
 * The analyser with its one memory minded: whoever solves names the evidence, and calls take turns, so that no map is
 * ever solved with another song's evidence.
 */
export class Solver {
  private inUse: Evidence | undefined;
  private last: Promise<unknown> = Promise.resolve();

  constructor(private readonly analyser: AnalyserPort) {}

  analyse(
    samples: AnalysisSignal,
    recording: Recording,
    title: string,
    options: AnalyseOptions,
  ): Promise<{ evidence: Evidence; map: SongMap }> {
    return this.inTurn(async () => {
      options?.signal?.throwIfAborted();
      this.inUse = undefined;
      const found = await this.analyser.analyse(samples, recording, title, options);
      this.inUse = found.evidence;
      return found;
    });
  }

  /** Does not touch the evidence in use. */
  recognise(...given: Parameters<AnalyserPort['recognise']>): ReturnType<AnalyserPort['recognise']> {
    return this.inTurn(() => this.analyser.recognise(...given));
  }

  solve(evidence: Evidence, map: SongMap): Promise<SolveOutcome> {
    return this.inTurn(async () => {
      if (this.inUse !== evidence) {
        this.inUse = undefined;
        await this.analyser.use(evidence);
        this.inUse = evidence;
      }
      return this.analyser.solve(map);
    });
  }

  /** Hands the evidence over ahead of the first edit of the map. */
  warm(evidence: Evidence, map: SongMap): Promise<void> {
    return this.inTurn(async () => {
      if (this.inUse === evidence) return;
      this.inUse = undefined;
      await this.analyser.use(evidence, map);
      this.inUse = evidence;
    });
  }

  private inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.last.then(work, work);
    this.last = turn.catch(() => undefined);
    return turn;
  }
}
