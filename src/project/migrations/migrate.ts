import { msg, str } from '@lit/localize';
import { ProjectProblem } from '../problem.js';

/** Turns a document of one version into one of the next. Pure; the document is plain data of unknown soundness. */
export type Migration = (document: Readonly<Record<string, unknown>>) => Readonly<Record<string, unknown>>;

/**
 * MIGRATIONS[n] leads from version n to n + 1, in a file of its own in this folder (version-1-to-2.ts), with a kept
 * file of version n in the tests. None yet: version 1 is the first.
 */
export const MIGRATIONS: Readonly<Record<number, Migration>> = {};

/**
 * A document of any version up to `version` as one of `version`. Throws ProjectProblem for a newer one and for what is
 * no version.
 */
export function migrate(
  document: Readonly<Record<string, unknown>>,
  version: number,
  migrations: Readonly<Record<number, Migration>> = MIGRATIONS,
): Readonly<Record<string, unknown>> {
  const found = document.version;
  if (typeof found !== 'number' || !Number.isInteger(found) || found < 1) {
    throw new ProjectProblem('damaged', msg('This project file is damaged: it does not say which version it is.'));
  }
  if (found > version) {
    throw new ProjectProblem(
      'newer',
      msg(
        str`This project was made by a newer version of Barwright (its format is ${found}, this program reads up to ${version}). Open it with that version.`,
      ),
    );
  }
  let now = document;
  for (let at = found; at < version; at++) {
    const step = Object.hasOwn(migrations, at) ? migrations[at] : undefined;
    if (!step)
      throw new ProjectProblem(
        'damaged',
        msg(str`This program cannot read project files of format ${at} any more. Open its recording again.`),
      );
    now = { ...step(now), version: at + 1 };
  }
  return now;
}
