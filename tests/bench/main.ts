import { resolve } from 'node:path';
import { trial } from '../browser/trial.js';
import { takePictures } from '../browser/pictures.js';
import { chordsBench } from './chords.js';
import { correctBench } from './correct/correct.js';
import { serveSolver } from './correct/solver-process.js';
import { cutsBench } from './cuts/cuts.js';
import { analysisBench } from './analysis.js';
import { budgetsBench } from './budgets.js';
import { foldBench } from './fold.js';
import { formBench } from './form.js';
import { fuzzBench, fuzzPart } from './fuzz/fuzz.js';
import { framesBench } from './frames.js';
import { practiceBench } from './practice.js';
import { handoverBench } from './handover/handover.js';
import { makeSongs } from './made/make.js';
import { mapBench } from './map.js';
import { cellsOf, type Row } from './row.js';
import { sameBench } from './same.js';
import { soakBench } from './soak.js';
import { solveBench } from './solve.js';
import { tableText } from './statistics.js';

const HELP = `Usage: npm run bench -- [WHAT [options]]

Without WHAT: analysis, solve, frames, practice and budgets, one table. Machines are noisy: compare figures of one run only.

  analysis [--rounds N] [FILE…]   the whole analysis of a four-minute song, or of FILE, over the time that
                                  essentia.js RhythmExtractor2013 'multifeature' takes for the beats alone
  solve [--edits N] [--seed N]    an edit and the solve after it on a ten-minute song
  frames [--seconds N]            frames while a ten-minute song plays and is zoomed and scrolled, and long tasks while it loads
  practice                        practice tracks: rendering, processor time and memory; blocks missed while the page stalls
  budgets [--edits N]             script before the first screen, memory of a ten-minute stereo song, edits by key,
                                  the list of 500 songs
  map --work DIR --truth DIR [--jobs N] [--keep DIR] [--without PART]… [ID…]
                                  the command line on DIR/audio/*.wav, judged by the truth DIR/*.json;
                                  PART is left out: network, repetition or harmony
  cuts --work DIR --truth DIR [--seed N] [--jobs N] [--without PART]… [ID…]
                                  the same on songs of set v with beats taken out or repeated; they stay in DIR/cuts
  correct --work DIR --truth DIR [--by bars|doubts] [--jobs N] [--without PART]… [--only ID]… [--trace]
                                  the locks a simulated user sets until the maps of DIR/audio/*.wav are right
  make --work DIR [--count N] [--planted] [--seed N]
                                  compose songs whose bars, chords and sections are known, and play them into DIR
  chords --work DIR --truth DIR [--keep DIR] [ID…]
                                  chords of DIR/audio/*.wav on the known bars, alone and pooled over passes
  form --work DIR --truth DIR [ID…]
                                  sections, and the differences planted between passes, on the known bars of DIR/audio/*.wav
  same --work DIR [--trims N] [--seed N] [ID…]
                                  recordings DIR/audio/*.wav trimmed, faster, slower and, with ffmpeg, encoded anew: how exactly
                                  each is found, and whether another recording is taken for it
  fold [--truth DIR]              processor time of folding songs of 300 bars; bars written for the songs of DIR/*.json
  fuzz [--seed N] [--count N]     damaged recordings, projects, backups, JAMS, MIDI and lists of times: each read soundly or
                                  refused in words, with seconds and memory; 10,000 without --count
  handover                        every kind of file that the page hands over, for six songs, read by other programs; a line a file
  soak [--steps N] [--minutes N] [--seed N]
                                  random edits, undos, plays and reloads on a ten-minute song in the page, with its memory
  trial [--pictures DIR] FILE…    the page as a new user tries it with FILE: pictures, and the time of each step
  pictures                        take the README's pictures of the real page anew
`;

type Bench = (words: readonly string[], place: (path: string) => string) => Promise<Row[]>;

const BENCHES: Readonly<Record<string, Bench>> = {
  analysis: analysisBench,
  solve: (words) => solveBench(words),
  frames: (words) => framesBench(words),
  practice: () => practiceBench(),
  budgets: (words) => budgetsBench(words),
};

/** Runs the benchmarks named and prints what they measured. Resolves to the exit status: 2 for wrong words. */
export async function main(words: readonly string[]): Promise<number> {
  // Paths are relative to where the user stands.
  const place = (path: string): string => resolve(process.env.INIT_CWD ?? process.cwd(), path);
  const [what, ...rest] = words;
  if (what === '--help' || what === '-h') {
    process.stdout.write(HELP);
    return 0;
  }
  try {
    if (what === 'map') {
      process.stdout.write(await mapBench(rest, place));
      return 0;
    }
    if (what === 'form') {
      process.stdout.write(await formBench(rest, place));
      return 0;
    }
    if (what === 'cuts') {
      process.stdout.write(await cutsBench(rest, place));
      return 0;
    }
    if (what === 'correct') {
      process.stdout.write(await correctBench(rest, place));
      return 0;
    }
    if (what === 'chords') {
      process.stdout.write(await chordsBench(rest, place));
      return 0;
    }
    if (what === 'make') {
      process.stdout.write(await makeSongs(rest, place));
      return 0;
    }
    if (what === 'same') {
      process.stdout.write(await sameBench(rest, place));
      return 0;
    }
    if (what === 'fold') {
      process.stdout.write(foldBench(rest, place));
      return 0;
    }
    if (what === 'fuzz-part') {
      await fuzzPart(rest);
      return 0;
    }
    if (what === 'fuzz') {
      const { text, faults } = await fuzzBench(rest);
      process.stdout.write(text);
      return faults === 0 ? 0 : 1;
    }
    if (what === 'handover') {
      const { text, faults } = await handoverBench();
      process.stdout.write(text);
      return faults === 0 ? 0 : 1;
    }
    if (what === 'soak') {
      process.stdout.write(await soakBench(rest));
      return 0;
    }
    if (what === 'trial') {
      process.stdout.write(await trial(rest, place));
      return 0;
    }
    if (what === 'pictures') {
      process.stdout.write((await takePictures()).map((path) => `${path}\n`).join(''));
      return 0;
    }
    const one = what === undefined ? undefined : BENCHES[what];
    if (what !== undefined && !one) throw new TypeError(`there is no benchmark "${what}"`);
    const chosen = one ? [[what as string, one] as const] : Object.entries(BENCHES);
    const rows: Row[] = [];
    for (const [name, bench] of chosen) {
      process.stderr.write(`${name} …\n`);
      rows.push(...(await bench(rest, place)));
    }
    process.stdout.write(tableText(cellsOf(rows)));
    return 0;
  } catch (error) {
    if (!(error instanceof TypeError) && !(error instanceof Error && 'code' in error)) throw error;
    process.stderr.write(`bench: ${error.message}; npm run bench -- --help lists what there is\n`);
    return 2;
  }
}

serveSolver();
