import { writeNumbersAs } from '../music/number-text.js';
import { languageInUse, useLanguage } from './language.js';

/** The name for a worker that does `task`; it tells the worker the page's language. */
export function workerName(task: string): string {
  return `${task} ${languageInUse()}`;
}

/**
 * In a worker: resolves when its texts are in the page's language, or in English where that cannot be had, and its numbers as
 * the browser writes them. Never rejects; to be awaited before anything is done.
 */
export async function takeUpLanguage(): Promise<void> {
  writeNumbersAs(undefined);
  const scope = globalThis as unknown as { readonly name: string; window?: unknown };
  const language = scope.name.split(' ')[1];
  if (language === undefined || language === languageInUse()) return;
  // The library tells the window of every change of language, and a worker has none.
  scope.window = scope;
  try {
    await useLanguage([language]);
  } catch {
    // Better in English than not at all.
  } finally {
    delete scope.window;
  }
}
