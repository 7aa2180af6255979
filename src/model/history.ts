import { msg, str } from '@lit/localize';
import { patchBetween, patched, PatchProblem } from './map-patch.js';
import type { SongMap } from './song-map.js';

/** A map and what made it of the one before: "Bar 37: 2 beats". */
export interface HistoryStep {
  readonly label: string;
  readonly map: SongMap;
}

/** All maps of a song since it was first mapped, sharing what they have in common, and which of them is shown. */
export interface History {
  readonly steps: readonly HistoryStep[];
  readonly place: number;
}

/** A step as stored: the difference (RFC 6902) from the map before, or a whole map. Step 0 has a whole one. */
export interface StoredStep {
  readonly index: number;
  readonly label: string;
  readonly patch?: unknown;
  readonly snapshot?: SongMap;
}

/** A whole map is stored at least every so many steps, so that one broken difference loses no more than that. */
export const SNAPSHOT_EVERY = 25;

/** From so many operations on, a difference is compared with the whole map, and the shorter of the two stored. */
const LONG_PATCH = 100;

/** The history of a song that was just mapped. */
export function startHistory(map: SongMap, label = msg('First map')): History {
  return { steps: [{ label, map }], place: 0 };
}

/** The map shown. */
export function currentMap(history: History): SongMap {
  return stepAt(history, history.place).map;
}

/** A further map after the one shown; what could be redone is gone. */
export function pushMap(history: History, label: string, map: SongMap): History {
  const kept = history.steps.slice(0, history.place + 1);
  return { steps: [...kept, { label, map }], place: kept.length };
}

/** Another map in place of the one shown, as when it is solved: no step of its own. What could be redone stays. */
export function replaceMap(history: History, map: SongMap): History {
  const steps = history.steps.map((step, i) => (i === history.place ? { ...step, map } : step));
  return { ...history, steps };
}

/** The history one step back; the same at the first map. */
export function undo(history: History): History {
  return history.place === 0 ? history : { ...history, place: history.place - 1 };
}

/** The history one step forward; the same at the last map. */
export function redo(history: History): History {
  return history.place + 1 >= history.steps.length ? history : { ...history, place: history.place + 1 };
}

/** What undo would take back; undefined at the first map. */
export function undoLabel(history: History): string | undefined {
  return history.place === 0 ? undefined : stepAt(history, history.place).label;
}

/** What redo would bring back; undefined at the last map. */
export function redoLabel(history: History): string | undefined {
  return history.steps[history.place + 1]?.label;
}

/** A step, by default the one shown, in the form that is stored. */
export function storedStep(history: History, index = history.place): StoredStep {
  const { label, map } = stepAt(history, index);
  if (index % SNAPSHOT_EVERY === 0) return { index, label, snapshot: map };
  const patch = patchBetween(stepAt(history, index - 1).map, map);
  const isLong = patch.length > LONG_PATCH && JSON.stringify(patch).length > JSON.stringify(map).length;
  return isLong ? { index, label, snapshot: map } : { index, label, patch };
}

/** All steps in the form that is stored. */
export function storedSteps(history: History): readonly StoredStep[] {
  return history.steps.map((_, index) => storedStep(history, index));
}

/**
 * The history that was stored, exactly. Throws PatchProblem when a step is missing or a difference does not fit. The
 * maps are taken as they are: what comes from outside is to be checked afterwards.
 */
export function restoreHistory(stored: readonly StoredStep[], place: number): History {
  const steps: HistoryStep[] = [];
  stored.forEach(({ index, label, patch, snapshot }, i) => {
    if (index !== i) throw new PatchProblem(msg(str`step ${i} of the history is missing`));
    const before = steps[i - 1]?.map;
    if (snapshot === undefined && before === undefined) throw new PatchProblem(msg('the history begins without a map'));
    const map = snapshot ?? patched(before as SongMap, patch);
    steps.push({ label, map });
  });
  if (!steps[place]) throw new PatchProblem(msg(str`the history has no step ${place}`));
  return { steps, place };
}

function stepAt(history: History, index: number): HistoryStep {
  const step = history.steps[index];
  if (!step) throw new RangeError(`history: no step ${index} of ${history.steps.length}`);
  return step;
}
