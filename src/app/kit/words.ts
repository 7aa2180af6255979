import { sentence } from './sentences.js';

/** The words of an error of our own, as they are. */
export function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** The words of the error that `attempt` throws, as a sentence; undefined when it throws none. */
export function faultOf(attempt: () => unknown): string | undefined {
  try {
    attempt();
    return undefined;
  } catch (error) {
    return sentence(reasonOf(error));
  }
}
