import { strFromU8, strToU8 } from 'fflate';
import type { Dice } from '../made/dice.js';

/** What a field is never meant to hold. */
const HOSTILE: readonly unknown[] = [
  null,
  true,
  -1,
  -1e-9,
  0.5,
  1e308,
  -1e308,
  2 ** 53,
  'x'.repeat(5000),
  '',
  '<img src=x onerror=alert(1)>',
  '__proto__',
  '\u0000\ud800',
  [],
  {},
  [[[[[]]]]],
  { toString: 1 },
];

/** A copy: damage done to it later must neither close a circle nor reach the next input. */
const hostile = (dice: Dice): unknown => structuredClone(dice.pick(HOSTILE));

/** One to four damages to bytes: cut, flipped, overwritten, repeated, dropped, filled, or joined with other bytes. */
export function mutateBytes(bytes: Uint8Array, other: Uint8Array, dice: Dice): Uint8Array {
  let now: Uint8Array = bytes.slice();
  for (let round = dice.int(1, 4); round > 0; round -= 1) {
    const at = dice.int(0, Math.max(0, now.length - 1));
    // Headers are short and matter most.
    const early = dice.chance(0.5) ? dice.int(0, Math.min(now.length - 1, 120)) : at;
    const length = dice.int(1, dice.pick([4, 64, 2000]));
    switch (dice.int(0, 6)) {
      case 0:
        now = now.subarray(0, at);
        break;
      case 1:
        if (now.length > 0) now[Math.max(0, early)]! ^= 1 << dice.int(0, 7);
        break;
      case 2: {
        const value = dice.pick([0, 1, 0x7f, 0x80, 0xff]);
        for (let i = Math.max(0, early); i < Math.min(now.length, early + dice.int(1, 8)); i += 1) now[i] = value;
        break;
      }
      case 3:
        now = joined(now.subarray(0, at), now.subarray(at, at + length), now.subarray(at));
        break;
      case 4:
        now = joined(now.subarray(0, at), now.subarray(at + length));
        break;
      case 5:
        now = now.slice().fill(dice.int(0, 255), at, at + length);
        break;
      default:
        now = joined(now.subarray(0, at), other.subarray(dice.int(0, other.length)));
    }
  }
  return now.slice();
}

/** A JSON text with one to three of its values replaced, repeated, renamed or nested; now and then broken as a text. */
export function mutateJson(text: string, dice: Dice): string {
  const root: unknown = JSON.parse(text);
  for (let round = dice.int(1, 3); round > 0; round -= 1) {
    const holder = dice.pick(containersOf(root));
    const keys = Object.keys(holder);
    if (keys.length === 0) continue;
    const key = dice.pick(keys);
    const fields = holder as Record<string, unknown>;
    switch (dice.int(0, 5)) {
      case 0:
        delete fields[key];
        break;
      case 1:
        if (Array.isArray(holder)) holder.push(structuredClone(holder[Number(key)]));
        else fields[key] = fields[dice.pick(keys)];
        break;
      case 2:
        if (typeof fields[key] === 'number') fields[key] *= dice.pick([-1, 0, 1e-12, 1e12, 1.0000001]);
        else fields[key] = hostile(dice);
        break;
      case 3:
        if (Array.isArray(holder)) holder.reverse();
        else
          Object.defineProperty(holder, '__proto__', {
            value: { polluted: 1 },
            enumerable: true,
            configurable: true,
            writable: true,
          });
        break;
      case 4: {
        let deep: unknown = fields[key];
        for (let i = 0; i < dice.pick([3, 300, 5000]); i += 1) deep = [deep];
        fields[key] = deep;
        break;
      }
      default:
        fields[key] = hostile(dice);
    }
  }
  const written = JSON.stringify(root);
  return dice.chance(0.1) ? strFromU8(mutateBytes(strToU8(written), strToU8('{"a":1e999}'), dice)) : written;
}

/** Every object and list in a value; without going deeper than can matter. */
function containersOf(root: unknown): object[] {
  const found: object[] = [];
  const waiting: unknown[] = [root];
  while (waiting.length > 0 && found.length < 20_000) {
    const value = waiting.pop();
    if (typeof value !== 'object' || value === null) continue;
    found.push(value);
    waiting.push(...Object.values(value));
  }
  return found;
}

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
