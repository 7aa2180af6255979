import { msg, str } from '@lit/localize';
import type { Peaks } from '../../dsp/peaks.js';
import { hasStopped, isCancelled, type Core } from './core.js';
import type { Decoded } from '../kit/ports.js';
import { STEP_TEXTS } from '../kit/sentences.js';
import type { Task } from '../kit/session.js';

/** Work that shows how far it is and can be called off; a new one calls off the one before. */
export interface Tasks {
  /**
   * Resolves with what `work` gives, or undefined when it failed or was called off; the reason is said, with a way to have it
   * done again when its worker ended without an answer.
   */
  run<T>(text: string, work: (task: TaskHandle) => Promise<T>): Promise<T | undefined>;
  cancel(): void;
}

export interface TaskHandle {
  readonly signal: AbortSignal;
  show(news: Partial<Pick<Task, 'text' | 'done' | 'outline' | 'duration' | 'found'>>): void;
}

export function createTasks(core: Core): Tasks {
  let current: AbortController | undefined;
  const tasks: Tasks = {
    run: async (text, work) => {
      current?.abort();
      const abort = (current = new AbortController());
      const isCurrent = (): boolean => current === abort;
      core.task.value = { text, done: 0, cancel: () => abort.abort() };
      try {
        return await work({
          signal: abort.signal,
          show: (news) => {
            const { value } = core.task;
            if (value && isCurrent() && !abort.signal.aborted) core.task.value = { ...value, ...news };
          },
        });
      } catch (error) {
        if (abort.signal.aborted || isCancelled(error)) {
          if (isCurrent()) core.say({ kind: 'info', text: msg(str`${text}: stopped. Nothing was changed.`) });
        } else {
          const again = { label: msg('Try again'), run: async () => void (await tasks.run(text, work)) };
          core.sayError(error, hasStopped(error) ? again : undefined);
        }
        return undefined;
      } finally {
        if (isCurrent()) {
          current = undefined;
          core.task.value = undefined;
        }
      }
    },
    cancel: () => current?.abort(),
  };
  return tasks;
}

/** Share of the progress bar that decoding takes. */
export const DECODE_SHARE = 0.3;

/** Decodes `file` as the first part of a task. */
export async function decode(
  core: Core,
  file: Blob,
  fileName: string,
  task: TaskHandle,
  soundOnly = false,
): Promise<Decoded> {
  const decoded = await core.ports.decoder.decode(file, fileName, {
    signal: task.signal,
    soundOnly,
    report: (done) => task.show({ done: done * DECODE_SHARE }),
    outline: (outline: Peaks) => task.show({ outline }),
  });
  task.signal.throwIfAborted();
  task.show({ outline: decoded.peaks, duration: decoded.recording.duration, done: DECODE_SHARE });
  return decoded;
}

/** Analyses what was decoded as the second part of a task. */
export async function analyse(core: Core, decoded: Decoded, title: string, task: TaskHandle) {
  const found = await core.solver.analyse(decoded.signal, decoded.recording, title, {
    signal: task.signal,
    report: (step, done) =>
      task.show({ text: STEP_TEXTS[step], done: DECODE_SHARE + (1 - DECODE_SHARE) * Math.min(1, Math.max(0, done)) }),
    found: (found) => task.show({ found }),
  });
  task.signal.throwIfAborted();
  return found;
}
