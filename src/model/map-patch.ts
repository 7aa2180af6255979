import { msg, str } from '@lit/localize';
import { applyPatch, createPatch, type Operation, type Pointer } from 'rfc6902';
import { sameValue } from './same-value.js';
import type { SongMap } from './song-map.js';

/** A difference between two maps that cannot be applied. The message says what is wrong with it. */
export class PatchProblem extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'PatchProblem';
  }
}

/**
 * The difference between two maps as a JSON patch (RFC 6902): plain data to store. Lists are compared from both ends
 * and what differs between is written anew, element by element: linear in time, where the shortest patch would take
 * the product of the lengths.
 */
export function patchBetween(before: SongMap, after: SongMap): readonly Operation[] {
  return createPatch(before, after, (input: unknown, output: unknown, place) => {
    return Array.isArray(input) && Array.isArray(output) ? patchList(input, output, place) : undefined;
  });
}

function patchList(before: readonly unknown[], after: readonly unknown[], place: Pointer): Operation[] {
  let head = 0;
  while (head < before.length && head < after.length && sameValue(before[head], after[head])) head++;
  let tail = 0;
  const most = Math.min(before.length, after.length) - head;
  while (tail < most && sameValue(before[before.length - 1 - tail], after[after.length - 1 - tail])) tail++;
  const operations: Operation[] = [];
  const oldEnd = before.length - tail;
  const newEnd = after.length - tail;
  for (let i = head; i < Math.min(oldEnd, newEnd); i++) {
    if (sameValue(before[i], after[i])) continue;
    operations.push({ op: 'replace', path: place.add(String(i)).toString(), value: after[i] });
  }
  for (let i = oldEnd - 1; i >= newEnd; i--) operations.push({ op: 'remove', path: place.add(String(i)).toString() });
  for (let i = oldEnd; i < newEnd; i++) {
    operations.push({ op: 'add', path: place.add(String(i)).toString(), value: after[i] });
  }
  return operations;
}

/**
 * The map after a patch. The given map is not changed; the parts that the patch does not touch are shared.
 * Throws PatchProblem when the patch is none or does not fit the map. Whether the result is a sound map is not checked.
 */
export function patched(map: SongMap, patch: unknown): SongMap {
  const operations = readPatch(patch);
  const root: { map: unknown } = { map };
  const own = new WeakSet<object>([root]);
  for (const operation of operations) {
    for (const path of 'from' in operation ? [operation.path, operation.from] : [operation.path]) {
      copyAlong(root, own, path);
    }
    // Everything on the way to the place is a copy by now, so the library changes nothing that others hold.
    const moved = { ...operation, path: `/map${operation.path}` };
    if ('from' in moved) moved.from = `/map${moved.from}`;
    const [error] = applyPatch(root, [moved]);
    if (error) throw new PatchProblem(msg(str`"${operation.op}" at "${operation.path}" does not fit the map`));
  }
  return root.map as SongMap;
}

/** Replaces each container on the way to a place, the last one included, by a copy of its own. */
function copyAlong(root: { map: unknown }, own: WeakSet<object>, path: string): void {
  let holder: Record<string, unknown> = root;
  for (const key of ['map', ...path.split('/').slice(1).map(unescaped)]) {
    const value = Object.hasOwn(holder, key) ? holder[key] : undefined;
    if (typeof value !== 'object' || value === null) return;
    const copy: object = own.has(value) ? value : Array.isArray(value) ? [...(value as unknown[])] : { ...value };
    own.add(copy);
    holder[key] = copy;
    holder = copy as Record<string, unknown>;
  }
}

/** Deepest place a patch of a map names: "/locks/3/kept/locks/0/was/kept/..." of a few nested tempi. */
const DEEPEST = 64;

/** All but "copy", which is never written here and with which a short patch could double a list again and again. */
const OPERATIONS = ['add', 'remove', 'replace', 'move', 'test'];

function readPatch(patch: unknown): readonly Operation[] {
  if (!Array.isArray(patch)) throw new PatchProblem(msg('a patch must be a list of operations'));
  for (const item of patch as unknown[]) {
    const { op, path, from } = Object(item) as { op?: unknown; path?: unknown; from?: unknown };
    if (typeof op !== 'string' || !OPERATIONS.includes(op))
      throw new PatchProblem(msg(str`unknown operation "${String(op)}"`));
    checkPlace(path);
    if (op === 'move') checkPlace(from);
  }
  return patch as Operation[];
}

function checkPlace(path: unknown): void {
  if (typeof path !== 'string' || (path !== '' && !path.startsWith('/'))) {
    throw new PatchProblem(msg(str`"${String(path)}" is no place in a map`));
  }
  const keys = path.split('/').map(unescaped);
  // These would reach beyond the data, into what all objects share.
  const reaches = keys.some((key) => key === '__proto__' || key === 'constructor' || key === 'prototype');
  if (reaches || keys.length > DEEPEST) throw new PatchProblem(msg(str`"${path.slice(0, 60)}" is no place in a map`));
}

function unescaped(token: string): string {
  return token.replace(/~1/g, '/').replace(/~0/g, '~');
}
