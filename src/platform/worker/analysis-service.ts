import { msg } from '@lit/localize';
import { analyse, type AnalysisTools } from '../../analysis/analyse.js';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { Progress } from '../../analysis/progress.js';
import { rehearsals } from '../../analysis/rehearsal.js';
import { firstMap, solveMap } from '../../analysis/solve.js';
import { solveRhythm } from '../../analysis/solve-rhythm.js';
import { recognise } from '../../analysis/fingerprint/same-recording.js';
import { fingerprint } from '../../dsp/fingerprint.js';
import type { SongMap } from '../../model/song-map.js';
import type { Reply, Request } from './protocol.js';

/**
 * What the worker does with a request, apart from the worker itself. Keeps the evidence in use; one that no map could be
 * made of does not replace it. `later` runs a work once what has come meanwhile is done.
 */
export function analysisService(
  load: () => Promise<AnalysisTools>,
  send: (reply: Reply) => void,
  later: (work: () => void) => void,
): (request: Request) => Promise<void> {
  let inUse: Evidence | undefined;

  async function answer(request: Request): Promise<Reply> {
    const { id } = request;
    switch (request.kind) {
      case 'hear':
        return { kind: 'heard', id, evidence: await analyse(request.samples, await load(), telling(id, send)) };
      case 'begin': {
        const { evidence, recording, title } = request;
        const map = firstMap(evidence, recording, title, telling(id, send));
        inUse = evidence;
        rehearse(evidence, rehearsals(map));
        return { kind: 'begun', id, map };
      }
      case 'recognise': {
        const { ffts } = await load();
        const print = fingerprint(request.samples, ffts);
        const found = recognise(print, request.known);
        return { kind: 'recognised', id, recognised: { print, ...(found ? { found } : {}) } };
      }
      case 'use':
        inUse = request.evidence;
        // What the solver learns of a song once is learnt now, not when the first edit waits for it.
        solveRhythm(inUse, []);
        if (request.map) rehearse(inUse, rehearsals(request.map));
        return { kind: 'used', id };
      case 'solve':
        if (!inUse) throw new Error(msg('There is no analysis to solve from; open the song again.'));
        return { kind: 'solved', id, outcome: solveMap(inUse, request.map) };
    }
  }

  /** One after another, so that an edit never waits for more than one of them. */
  function rehearse(evidence: Evidence, [next, ...rest]: readonly SongMap[]): void {
    if (!next) return;
    later(() => {
      if (inUse !== evidence) return;
      try {
        solveMap(evidence, next);
      } catch {
        // Should the user do this edit, its own solve says what is wrong.
      }
      rehearse(evidence, rest);
    });
  }

  return async (request) => {
    try {
      send(await answer(request));
    } catch (error) {
      send({ kind: 'failed', id: request.id, message: error instanceof Error ? error.message : String(error) });
    }
  };
}

/** Tells a step when it begins and every hundredth of the whole, and the beats as they are found; cancelling ends the worker, so it is never asked. */
function telling(id: number, send: (reply: Reply) => void): Progress {
  let last = '';
  return {
    cancelled: () => false,
    found: (found) => send({ kind: 'found', id, found }),
    report(step, done) {
      const now = `${step} ${Math.floor(done * 100)}`;
      if (now === last) return;
      last = now;
      send({ kind: 'progress', id, step, done });
    },
  };
}
