import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readWav, writeWav } from '../wav.js';
import { chooseCuts, type PlacedCut } from './choose-cuts.js';
import { cutSound, strikesAt } from './cut-sound.js';
import { cutTruth, type SongTruth } from './cut-truth.js';

/** Raise it when the same seed gives other cuts. */
const VERSION = 1;

/** A cut song on disk. */
export interface CutSong {
  readonly id: string;
  readonly cut: PlacedCut;
}

/** What a cut song's truth says beside that of any song. */
interface CutFile extends SongTruth {
  readonly set: 'c';
  /** What it was made from: unless all of it is the same, it is made anew. */
  readonly made: string;
  readonly cut: PlacedCut;
}

/**
 * Five cut variants of a song, as `c01-1` to `c01-5` of v01, in DIR/audio/*.wav and DIR/truth/*.json; those that are there
 * already stay.
 */
export function makeCuts(id: string, wav: string, truthFile: string, dir: string, seed: number): CutSong[] {
  mkdirSync(join(dir, 'audio'), { recursive: true });
  mkdirSync(join(dir, 'truth'), { recursive: true });
  const [sound, text] = [readFileSync(wav), readFileSync(truthFile, 'utf8')];
  const made = createHash('sha256').update(`${VERSION} ${seed} `).update(text).update(sound).digest('hex');
  const name = (i: number): string => `c${id.slice(1)}-${i + 1}`;
  const audio = (i: number): string => join(dir, 'audio', `${name(i)}.wav`);
  const known = (i: number): string => join(dir, 'truth', `${name(i)}.json`);
  const before = [0, 1, 2, 3, 4].map((i) => {
    if (!existsSync(audio(i)) || !existsSync(known(i))) return undefined;
    const file = JSON.parse(readFileSync(known(i), 'utf8')) as CutFile;
    return file.made === made ? file.cut : undefined;
  });
  if (before.every((cut) => cut !== undefined)) return before.map((cut, i) => ({ id: name(i), cut }));
  const truth = JSON.parse(text) as SongTruth;
  const pcm = readWav(sound);
  const strikes = strikesAt(
    pcm,
    truth.beats.map(([time]) => time),
  );
  return chooseCuts(truth, strikes, seedOf(id, seed)).map((cut, i) => {
    writeFileSync(audio(i), writeWav(cutSound(pcm, cut.out, cut.into)));
    const file: CutFile = { ...cutTruth(truth, cut), set: 'c', made, cut };
    // Last: a truth is there only with its sound.
    writeFileSync(known(i), JSON.stringify(file));
    return { id: name(i), cut };
  });
}

function seedOf(id: string, seed: number): number {
  return createHash('sha256').update(`${id} ${seed}`).digest().readUInt32LE(0);
}
