import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Midi } from '@tonejs/midi';
import { describe, expect, it } from 'vitest';
import { tempoSummary } from '../../src/model/tempo.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import { analyseSignal, analysisKey } from '../support/sample-evidence.js';
import { kept } from '../support/kept.js';

/**
 * Two recordings by Muldjord (CC BY-SA 3.0) from Debian's package fretsonfire-songs-muldjord: song and guitar track, and
 * a MIDI file beside them that states the tempo.
 */
const FOLDER = '/usr/share/games/fretsonfire/data/songs/muldjord';
const SONGS = [
  { name: 'internal_degeneration', sha256: '37c8afa938c155af45645af94d61eebeba11e975b4c8be8f61a04a2f97e1327d' },
  { name: 'mutilated_mime', sha256: '91e2197f397b9f072e3561166a28888d84284f8d1c7016a7b80fe9679565804f' },
];
const isThere = existsSync(FOLDER);
if (!isThere) {
  process.stdout.write(
    `Left out: the tempo of real recordings. They come with Debian's package fretsonfire-songs-muldjord (${FOLDER}).\n`,
  );
}

/** Simple metrical levels: the stated tempo, its half and its double. */
const LEVELS = [0.5, 1, 2];

describe.skipIf(!isThere)('recordings whose own notes state their tempo', () => {
  it.each(SONGS)('$name: within 1 % of it, at a simple metrical level', async ({ name, sha256 }) => {
    const [song, guitar, notes] = ['song.ogg', 'guitar.ogg', 'notes.mid'].map((file) => join(FOLDER, name, file)) as [
      string,
      string,
      string,
    ];
    expect(createHash('sha256').update(readFileSync(song)).digest('hex')).toBe(sha256);
    const { tempos } = new Midi(readFileSync(notes)).header;
    expect(tempos.length).toBe(1);
    const stated = tempos[0]!.bpm;
    const bpm = await kept(name, analysisKey(readFileSync(song), readFileSync(guitar)), async () => {
      const [mix, second] = [await decodeFile(song), await decodeFile(guitar)];
      second.signal.forEach((sample, i) => (mix.signal[i]! += sample));
      const { map } = await analyseSignal(mix.signal, mix.recording);
      return tempoSummary(map)!.median;
    });
    const off = LEVELS.map((level) => Math.abs(bpm / (stated * level) - 1));
    expect(Math.min(...off), `${bpm} bpm, stated ${stated}`).toBeLessThan(0.01);
  });
});
