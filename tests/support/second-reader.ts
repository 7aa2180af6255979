import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { XMLSerializer, type Element } from '@xmldom/xmldom';
import { parseMidi } from 'midi-file';
import { all, rootOf } from './musicxml.js';

const SURROUNDINGS = { ...process.env, QT_QPA_PLATFORM: 'offscreen', XDG_RUNTIME_DIR: tmpdir() };

/** Whether Debian's musescore3 is there to read scores with. */
export function hasSecondReader(): boolean {
  return spawnSync('mscore3', ['--version'], { env: SURROUNDINGS }).status === 0;
}

/** A note as it is played. */
export interface PlayedNote {
  readonly pitch: number;
  /** In quarters from the start. */
  readonly at: number;
  /** The volume of its channel, 0 to 127. Source: controller 7 of MIDI 1.0 (MIDI Manufacturers Association). */
  readonly volume: number;
}

/** What musescore3 plays of scores: the notes of the MIDI files it makes, repeats played, in order. */
export function playedBySecondReader(scores: readonly string[]): readonly (readonly PlayedNote[])[] {
  const folder = mkdtempSync(join(tmpdir(), 'second-reader-'));
  try {
    const jobs = scores.map((score, i) => {
      writeFileSync(join(folder, `${i}.musicxml`), score);
      return { in: join(folder, `${i}.musicxml`), out: join(folder, `${i}.mid`) };
    });
    writeFileSync(join(folder, 'jobs.json'), JSON.stringify(jobs));
    const { status, stderr } = spawnSync('mscore3', ['-j', join(folder, 'jobs.json')], {
      env: SURROUNDINGS,
      encoding: 'utf8',
    });
    if (status !== 0) throw new Error(`musescore3 ended with ${status}: ${stderr}`);
    return jobs.map(({ out }) => notesOf(readFileSync(out)));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function notesOf(bytes: Uint8Array): PlayedNote[] {
  const { header, tracks } = parseMidi(bytes);
  const notes = tracks.flatMap((events) => {
    let [now, volume] = [0, 100];
    return events.flatMap((event): PlayedNote[] => {
      now += event.deltaTime;
      if (event.type === 'controller' && event.controllerType === 7) volume = event.value;
      if (event.type !== 'noteOn' || event.velocity === 0) return [];
      return [{ pitch: event.noteNumber, at: now / (header.ticksPerBeat ?? NaN), volume }];
    });
  });
  return notes.sort((a, b) => a.at - b.at || a.pitch - b.pitch);
}

/** The lower and the higher note that tell a measure, by its place in the score. */
const LOW = 20;
const HIGH = 80;
const DIGITS = 40;

/** The score with a first note in each measure that tells which one it is, and no others; its signs are as they were. */
export function numberedBySound(score: string): string {
  const root = rootOf(score);
  // The notes tell by their pitch: a part that transposes would tell something else.
  for (const transpose of all(root, 'transpose')) transpose.parentNode!.removeChild(transpose);
  all(root, 'measure').forEach((measure, place) => {
    all(measure, 'note').forEach((note, i) => {
      for (const name of ['unpitched', 'rest', 'tie', 'notations', 'notehead', 'beam', 'pitch'])
        for (const child of Array.from(note.childNodes)) if (child.nodeName === name) note.removeChild(child);
      note.removeAttribute('dynamics');
      const document = note.ownerDocument!;
      if (i > 0) return note.insertBefore(document.createElement('rest'), note.firstChild);
      const second = note.cloneNode(true) as Element;
      note.insertBefore(pitch(note, LOW + (place % DIGITS)), note.firstChild);
      second.insertBefore(pitch(note, HIGH + Math.floor(place / DIGITS)), second.firstChild);
      second.insertBefore(document.createElement('chord'), second.firstChild);
      return note.parentNode!.insertBefore(second, note.nextSibling);
    });
  });
  return new XMLSerializer().serializeToString(root);
}

const STEPS = ['C', 'C', 'D', 'D', 'E', 'F', 'F', 'G', 'G', 'A', 'A', 'B'];

function pitch(near: Element, midiNote: number): Element {
  const document = near.ownerDocument!;
  const made = document.createElement('pitch');
  const put = (name: string, value: string | number): void => {
    const child = document.createElement(name);
    child.textContent = String(value);
    made.appendChild(child);
  };
  put('step', STEPS[midiNote % 12]!);
  if ([1, 3, 6, 8, 10].includes(midiNote % 12)) put('alter', 1);
  put('octave', Math.floor(midiNote / 12) - 1);
  return made;
}

/** Places of the measures in the order they are played, with when each begins in quarters, as numberedBySound told them. */
export function measuresPlayed(
  notes: readonly PlayedNote[],
): readonly { readonly place: number; readonly at: number }[] {
  const lows = notes.filter(({ pitch: own }) => own < HIGH);
  const highs = notes.filter(({ pitch: own }) => own >= HIGH);
  return lows.map(({ pitch: own, at }, i) => ({ place: own - LOW + DIGITS * (highs[i]!.pitch - HIGH), at }));
}
