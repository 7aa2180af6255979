import { msg } from '@lit/localize';
import type { Evidence } from '../analysis/evidence/evidence.js';
import { restoreHistory, storedSteps, type History, type StoredStep } from '../model/history.js';
import { sameValue } from '../model/same-value.js';
import type { SongMap } from '../model/song-map.js';
import type { ProjectStep } from './project.js';
import { readMap } from './read-map.js';
import { damaged, readInteger, readList, readObject, readText } from './read-value.js';

/** Most work of restoring a history: thousands of edits of the longest song; some seconds. */
const MOST_WORK = 1.5e9;
/** Reading an element of a list again takes so many times as long as moving it. */
const READING = 100;

/** What restoring costs at most: each step reads the lists of its map again, each operation moves the elements of one. */
function workOf(steps: readonly StoredStep[]): number {
  let [work, size] = [0, 0];
  for (const { patch, snapshot } of steps) {
    if (snapshot) size = Object.values(snapshot).reduce<number>((sum, part) => sum + lengthOf(part), 0);
    const operations = Array.isArray(patch) ? patch.length : 0;
    size += operations;
    work += (READING + operations) * size;
  }
  return work;
}

function lengthOf(part: unknown): number {
  return Array.isArray(part) ? part.length : 0;
}

/** The history, each of its maps checked; written anew from them, so that nothing unchecked is kept. */
export function readHistory(
  value: unknown,
  map: SongMap,
  evidences: readonly (Evidence | undefined)[],
): { steps: readonly ProjectStep[]; place: number } {
  const fields = readObject(value, msg('the history'));
  const own: (Evidence | undefined)[] = [];
  const stored = readList(fields('steps'), 'step', (step, place) => {
    const parts = readObject(step, place);
    const at = parts('evidence');
    const evidence = at === undefined ? undefined : evidences[readInteger(at, place, 0, evidences.length - 1)];
    if (at !== undefined && !evidence) throw damaged(`${place}, evidence`, msg('in the file'));
    own.push(evidence);
    const whole = parts('snapshot');
    return {
      index: readInteger(parts('index'), `${place}, index`, 0, Number.MAX_SAFE_INTEGER),
      label: readText(parts('label'), `${place}, label`),
      ...(whole === undefined ? { patch: parts('patch') } : { snapshot: whole as SongMap }),
    };
  });
  if (workOf(stored) > MOST_WORK) throw damaged(msg('the history'), msg('shorter'));
  const place = readInteger(fields('place'), msg('the history, place'), 0, stored.length - 1);
  const raw = restoreHistory(stored, place);
  const history: History = {
    place,
    steps: raw.steps.map((step, i) => ({ label: step.label, map: readMap(step.map, `step ${i + 1}`) })),
  };
  if (!sameValue(history.steps[place]?.map, map))
    throw damaged(msg('the history'), msg('that of this map'), msg('another one'));
  const steps = storedSteps(history).map((step, i): ProjectStep => {
    const evidence = own[i];
    return evidence ? { ...step, evidence } : step;
  });
  return { steps, place };
}
