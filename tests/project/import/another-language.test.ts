import { afterEach, expect, it, vi } from 'vitest';
import { toMidi } from '../../../src/export/midi/midi.js';
import { beatTimes } from '../../../src/model/map-queries.js';
import { readTimes } from '../../../src/project/import/read-times.js';
import { useLanguage } from '../../../src/text/language.js';
import { bars } from '../../support/notation.js';

afterEach(async () => {
  await useLanguage(['en']);
  vi.unstubAllGlobals();
});

it.each(['en', 'en-XA'])(
  'takes a MIDI file that goes on behind the recording, whatever the language (%s)',
  async (language) => {
    // The library tells the window of every change of language.
    vi.stubGlobal('window', { dispatchEvent: () => true });
    await useLanguage([language]);
    const map = bars('4 4 4 4 4 4');
    const beats = beatTimes(map);
    const duration = (beats[19]! + beats[20]!) / 2;
    const { runs } = readTimes(toMidi(map), duration);
    expect(runs.flatMap((run) => run.beats)).toHaveLength(20);
  },
);
