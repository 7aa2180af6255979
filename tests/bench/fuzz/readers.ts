import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { writeMidi } from 'midi-file';
import { decodeSound } from '../../../src/platform/decode/decode-sound.js';
import { RecordingProblem } from '../../../src/platform/decode/problem.js';
import { toJams } from '../../../src/export/jams.js';
import { check } from '../../../src/model/invariants.js';
import { readTimes } from '../../../src/project/import/read-times.js';
import { ImportProblem } from '../../../src/project/import/imported.js';
import { readBackupList } from '../../../src/project/backup.js';
import { ProjectProblem } from '../../../src/project/problem.js';
import { readProject, readProjectFile } from '../../../src/project/read-project.js';
import { oddArchive, packed, type OddEntry } from '../../support/odd-archives.js';
import type { Dice } from '../made/dice.js';
import { mutateBytes, mutateJson } from './mutate.js';

/** Something that takes files from outside. */
export interface FuzzedReader {
  readonly name: string;
  /** Of every so many inputs, how many are its. */
  readonly share: number;
  /** Good files, to be damaged. */
  readonly seeds: () => readonly Uint8Array[];
  mutate(seed: Uint8Array, other: Uint8Array, dice: Dice): Uint8Array;
  /** Reads; throws a Problem where it refuses, any other error is a fault. What it gives back has to make sense. */
  read(bytes: Uint8Array): unknown;
  /** The errors with which it may refuse. */
  readonly refuses: new (...args: never[]) => Error;
}

const FIXTURES = 'tests/platform/decode/fixtures';
const KEPT = 'tests/project/kept/version-1.barwright';
const json = (seed: Uint8Array, _: Uint8Array, dice: Dice): Uint8Array =>
  dice.chance(0.85) ? strToU8(mutateJson(strFromU8(seed), dice)) : mutateBytes(seed, strToU8('[[["'), dice);
const document = (): Uint8Array => unzipSync(new Uint8Array(readFileSync(KEPT)))['project.json']!;

/** A reader of another format is added by a line here. */
export const READERS: readonly FuzzedReader[] = [
  {
    name: 'recording',
    share: 3,
    seeds: () => [
      ...readdirSync(FIXTURES).map((name) => new Uint8Array(readFileSync(`${FIXTURES}/${name}`))),
      ...waveSeeds(),
    ],
    mutate: mutateBytes,
    read: readRecording,
    refuses: RecordingProblem,
  },
  {
    name: 'project document',
    share: 2,
    seeds: () => [document()],
    mutate: json,
    read: (bytes) => soundMap(readProject(bytes).project.map),
    refuses: ProjectProblem,
  },
  {
    name: 'project archive',
    share: 1,
    seeds: () => [new Uint8Array(readFileSync(KEPT)), zipSync({ 'project.json': document() })],
    mutate: mutateBytes,
    read: (bytes) => soundMap(readProject(bytes).project.map),
    refuses: ProjectProblem,
  },
  {
    name: 'odd archive',
    share: 1,
    seeds: () => [document()],
    mutate: oddProject,
    read: async (bytes) => {
      soundMap(readProject(bytes).project.map);
      // As a file it is read by other ways.
      const source = { size: bytes.length, read: async (from: number, to: number) => bytes.slice(from, to) };
      soundMap((await readProjectFile(source)).project.map);
    },
    refuses: ProjectProblem,
  },
  {
    name: 'list of a backup',
    share: 1,
    seeds: () => [
      strToU8(
        JSON.stringify({
          format: 'barwright-songs',
          version: 1,
          made: 1,
          songs: [{ file: 'a.barwright', id: 'a', title: 'A', changed: 1 }],
        }),
      ),
    ],
    mutate: json,
    read: (bytes) => readBackupList(strFromU8(bytes)),
    refuses: ProjectProblem,
  },
  {
    name: 'JAMS',
    share: 1,
    seeds: () => [strToU8(toJams(readProject(document()).project.map).text)],
    mutate: json,
    read: readOthersTimes,
    refuses: ImportProblem,
  },
  {
    name: 'MIDI',
    share: 1,
    seeds: () => [midiSeed(0), midiSeed(1)],
    mutate: mutateBytes,
    read: readOthersTimes,
    refuses: ImportProblem,
  },
  {
    name: 'list of times',
    share: 1,
    seeds: () =>
      ['0.5 1\n1.0 2\n1.5 3\n2.0 4\n2.5 1\n3 2\n', '0.5\n2.5\n4.5\n6.5', 'time,beat\n0.5,1\n1,2\n'].map((text) =>
        strToU8(text),
      ),
    mutate: mutateBytes,
    read: readOthersTimes,
    refuses: ImportProblem,
  },
];

const MB = 2 ** 20;
const zeros = new Map<number, OddEntry>();

/** A project whose archive unfolds to far more than it is, or whose entries lie over one another or have one name. */
function oddProject(seed: Uint8Array, _: Uint8Array, dice: Dice): Uint8Array {
  const large = dice.pick([1, 8, 12, 40]);
  const body = zeros.get(large) ?? packed('peaks.bin', new Uint8Array(large * MB));
  zeros.set(large, body);
  const count = dice.int(1, 60);
  const name = (i: number): string =>
    dice.pick([`evidence/${i}/beat.bin`, `evidence/0/${i}.bin`, 'peaks.bin', 'recording/a']);
  const own = packed('project.json', dice.chance(0.3) ? oddDocument(seed, dice) : seed);
  const file = dice.chance(0.5)
    ? oddArchive([own, body], { also: Array.from({ length: count }, (_row, i) => ({ name: name(i), of: 1 })) })
    : oddArchive([own, ...Array.from({ length: count }, (_row, i) => ({ ...body, name: name(i) }))], {
        cut: dice.chance(0.4),
      });
  return dice.chance(0.3) ? mutateBytes(file, own.packed, dice) : file;
}

/** A document of very many values, nested very deep, or with nothing but blanks before it. */
function oddDocument(document: Uint8Array, dice: Dice): Uint8Array {
  const count = dice.pick([100_000, 3_000_000, 6_000_000]);
  const [open, close] = dice.pick([
    ['{},', ''],
    ['[', ']'],
    ['{"a":', '}'],
    ['0,', ''],
  ]);
  const inside = close === '' ? `[${open.repeat(count)}0]` : `${open.repeat(count)}0${close.repeat(count)}`;
  const own = strFromU8(document);
  return strToU8(dice.chance(0.3) ? `${' '.repeat(count)}${own}` : `{"x":${inside},${own.trimStart().slice(1)}`);
}

async function readRecording(bytes: Uint8Array): Promise<void> {
  const hash = createHash('sha256');
  const source = { size: bytes.length, read: async (from: number, to: number) => bytes.slice(from, to) };
  const { pcm, signal, recording } = await decodeSound(source, 'song.wav', {
    hasher: { update: (piece) => void hash.update(piece), hex: () => hash.digest('hex') },
  });
  const { duration, sampleRate } = recording;
  if (!(duration >= 5 && duration <= 1202)) throw new Error(`it lasts ${duration} s`);
  if (!(sampleRate > 0) || pcm.channels.length > 2)
    throw new Error(`rate ${sampleRate}, ${pcm.channels.length} channels`);
  for (const channel of [signal, ...pcm.channels])
    if (!channel.every(Number.isFinite)) throw new Error('a sample is no number');
}

function soundMap(map: Parameters<typeof check>[0]): void {
  const faults = check(map);
  if (faults.length > 0) throw new Error(`a map that does not add up: ${faults[0]}`);
  if (({} as { polluted?: number }).polluted !== undefined) throw new Error('the prototype of all objects was changed');
}

function readOthersTimes(bytes: Uint8Array): void {
  const { runs, barLines } = readTimes(bytes, 60);
  for (const list of [...runs.map(({ beats }) => beats), barLines]) {
    if (!list.every((time, i) => time >= 0 && time <= 60.05 && (i === 0 || time > list[i - 1]!)))
      throw new Error('times out of order or out of the recording');
  }
}

function midiSeed(format: 0 | 1): Uint8Array {
  const track = [
    { deltaTime: 0, meta: true, type: 'setTempo', microsecondsPerBeat: 500_000 },
    { deltaTime: 0, meta: true, type: 'timeSignature', numerator: 4, denominator: 4, metronome: 24, thirtyseconds: 8 },
    { deltaTime: 0, type: 'noteOn', channel: 9, noteNumber: 36, velocity: 100 },
    { deltaTime: 960, type: 'noteOff', channel: 9, noteNumber: 36, velocity: 0 },
    { deltaTime: 7680, meta: true, type: 'marker', text: 'Verse' },
    { deltaTime: 7680, meta: true, type: 'setTempo', microsecondsPerBeat: 400_000 },
    { deltaTime: 7680, meta: true, type: 'endOfTrack' },
  ];
  const tracks = format === 0 ? [track] : [track, track];
  const file = { header: { format, numTracks: tracks.length, ticksPerBeat: 480 }, tracks };
  return Uint8Array.from(writeMidi(file as Parameters<typeof writeMidi>[0]));
}

/** A low tone with clicks, in the codings that a WAV file can have. */
function waveSeeds(): Uint8Array[] {
  return [8, 16, 24, 32].map((bits) => {
    const [rate, seconds, bytes] = [8000, 6, bits / 8];
    const file = new Uint8Array(44 + rate * seconds * bytes);
    const view = new DataView(file.buffer);
    file.set(strToU8('RIFF'), 0);
    file.set(strToU8('WAVEfmt '), 8);
    file.set(strToU8('data'), 36);
    view.setUint32(4, file.length - 8, true);
    view.setUint32(16, 16, true);
    view.setUint16(20, bits === 32 ? 3 : 1, true);
    view.setUint16(22, 1, true);
    view.setUint32(24, rate, true);
    view.setUint32(28, rate * bytes, true);
    view.setUint16(32, bytes, true);
    view.setUint16(34, bits, true);
    view.setUint32(40, file.length - 44, true);
    for (let i = 0; i < rate * seconds; i += 1) {
      const value = 0.5 * Math.sin(i / 10) * Math.exp(-(i % 4000) / 500);
      if (bits === 32) view.setFloat32(44 + 4 * i, value, true);
      else file[44 + bytes * i + bytes - 1] = Math.round(value * 127) + (bits === 8 ? 128 : 0);
    }
    return file;
  });
}
