import { writeSync } from 'node:fs';
import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { dice } from '../made/dice.js';
import { READERS, type FuzzedReader } from './readers.js';

/** One input's outcome: taken, refused in words, or what went wrong. */
export interface Outcome {
  readonly reader: string;
  readonly number: number;
  readonly outcome: 'read' | 'refused' | { readonly fault: string };
  readonly milliseconds: number;
}

/** A reader that says nothing for so long hangs, in milliseconds; and one that takes so long is too slow. */
const HANGS = 60_000;
const SLOW = 20_000;
/** Most memory of the reading process, in megabytes. */
const MOST_MEMORY = 1500;

const turns = READERS.flatMap((reader) => Array.from({ length: reader.share }, () => reader));

/** Which reader input `number` is for. */
export const readerOf = (number: number): FuzzedReader => turns[number % turns.length]!;

const seeds = new Map<string, readonly Uint8Array[]>();

/** Makes input `number` of the run `seed` and has it read. The same two numbers give the same input. */
export async function tryInput(seed: number, number: number): Promise<Outcome> {
  const reader = readerOf(number);
  const own = seeds.get(reader.name) ?? reader.seeds();
  seeds.set(reader.name, own);
  const roll = dice(seed * 1_000_003 + number);
  const input = reader.mutate(roll.pick(own), roll.pick(own), roll);
  const began = performance.now();
  let outcome: Outcome['outcome'] = 'read';
  try {
    await reader.read(input);
  } catch (error) {
    const words = error instanceof Error ? error.message : String(error);
    const isClear = error instanceof reader.refuses && words.length > 20 && words.length < 1000;
    outcome = isClear ? 'refused' : { fault: error instanceof Error ? `${error.name}: ${words.slice(0, 300)}` : words };
  }
  const milliseconds = performance.now() - began;
  if (milliseconds > SLOW) outcome = { fault: `took ${Math.round(milliseconds / 1000)} s` };
  return { reader: reader.name, number, outcome, milliseconds };
}

/** `fuzz-part`: tries inputs and writes an outcome a line; the process that may hang or die. */
export async function fuzzPart(words: readonly string[]): Promise<void> {
  const [seed = 0, from = 0, to = 0] = words.map(Number);
  for (let number = from; number < to; number += 1) {
    const outcome = await tryInput(seed, number);
    const memory = Math.round(process.resourceUsage().maxRSS / 1024);
    writeSync(1, `${JSON.stringify({ ...outcome, memory })}\n`);
  }
}

/** `fuzz [--seed N] [--count N]`: damaged files of every kind that is read, counted; faults are named with their numbers. */
export async function fuzzBench(words: readonly string[]): Promise<{ text: string; faults: number }> {
  const { values } = parseArgs({
    args: [...words],
    options: { seed: { type: 'string', default: '1' }, count: { type: 'string', default: '10000' } },
  });
  const [seed, count] = [Number(values.seed), Number(values.count)];
  if (!Number.isInteger(seed) || !Number.isInteger(count) || count < 1)
    throw new TypeError('fuzz: --seed and --count are whole numbers');
  const counts = new Map(READERS.map(({ name }) => [name, { read: 0, refused: 0, faults: 0, slowest: 0 }]));
  const faults: string[] = [];
  let memory = 0;
  const note = (found: Outcome): void => {
    const row = counts.get(found.reader)!;
    row.slowest = Math.max(row.slowest, found.milliseconds);
    if (found.outcome === 'read' || found.outcome === 'refused') row[found.outcome] += 1;
    else {
      row.faults += 1;
      faults.push(`input ${found.number} (${found.reader}): ${found.outcome.fault}`);
    }
  };
  for (let next = 0; next < count;) {
    next = await runFrom(seed, next, count, (found) => {
      memory = Math.max(memory, found.memory);
      note(found);
    });
    if (next < count) {
      note({
        reader: readerOf(next).name,
        number: next,
        outcome: { fault: 'the process hung or died' },
        milliseconds: 0,
      });
      next += 1;
    }
  }
  if (memory > MOST_MEMORY) faults.push(`the reading process took ${memory} MB`);
  const lines = [...counts].map(
    ([name, { read, refused, faults: wrong, slowest }]) =>
      `${name.padEnd(18)} ${String(read).padStart(6)} ${String(refused).padStart(8)} ${String(wrong).padStart(7)} ${Math.round(slowest).toString().padStart(8)} ms`,
  );
  const head = `seed ${seed}, ${count} damaged inputs, at most ${memory} MB\n${''.padEnd(18)}   read  refused  faults   slowest`;
  return { text: `${[head, ...lines, ...faults].join('\n')}\n`, faults: faults.length };
}

/** Tries inputs in another process until it is through, hangs or dies; the first input without an outcome. */
function runFrom(
  seed: number,
  from: number,
  to: number,
  heard: (found: Outcome & { memory: number }) => void,
): Promise<number> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [process.argv[1]!, 'fuzz-part', ...[seed, from, to].map(String)], {
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    let next = from;
    let watch = setTimeout(() => child.kill('SIGKILL'), HANGS);
    createInterface({ input: child.stdout }).on('line', (line) => {
      clearTimeout(watch);
      watch = setTimeout(() => child.kill('SIGKILL'), HANGS);
      next += 1;
      heard(JSON.parse(line) as Outcome & { memory: number });
    });
    child.on('close', () => {
      clearTimeout(watch);
      resolve(next);
    });
  });
}
