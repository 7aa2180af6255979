import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toMusicXml } from '../../src/export/musicxml/musicxml.js';
import { bassPitch, chordPitches, parseHarte } from '../../src/music/chord.js';
import { leadSheetText } from '../../src/music/lead-sheet.js';
import { playableChart } from '../../src/export/musicxml/signs.js';
import { linearItems } from '../../src/model/fold/linear.js';
import { unfold } from '../../src/model/fold/unfold.js';
import type { SongMap } from '../../src/model/song-map.js';
import { SAMPLES } from '../../src/state/samples.js';
import { applyEdit, mapArbitrary, editArbitrary } from '../support/arbitraries.js';
import { lettered, readChart, songOf } from '../support/chart-notation.js';
import {
  all,
  hasXmllint,
  rootOf,
  schemaFaults,
  soundOf,
  soundText,
  unrollMusicXml,
  valueOf,
} from '../support/musicxml.js';
import { bars } from '../support/notation.js';
import { randomChart, seeded } from '../support/random-charts.js';
import { runs } from '../support/runs.js';
import { analysedSample } from '../support/sample-evidence.js';
import { expandedByVerovio } from '../support/verovio.js';

/** What is played, a line a bar: length in quarters and what sounds, by quarters from its start. */
function linesOfMap(map: SongMap): string[] {
  return linearItems(map).map((item) => {
    if (item.kind === 'free') return `free ${item.chords.map(({ harte }) => sound(harte)).join(' ')}`;
    const { count, unit, beatUnits } = item.meter;
    const quarters = (beat: number): number => Math.round(((beat * beatUnits * 4) / unit) * 96) / 96;
    return `${(count * 4) / unit} ${item.chords.map(({ harte, beat }) => `${sound(harte)}@${quarters(beat).toFixed(2)}`).join(' ')}`;
  });
}

function sound(harte: string): string {
  const chord = parseHarte(harte);
  return chord?.kind === 'chord' ? soundText(chordPitches(chord), bassPitch(chord)) : leadSheetText(harte);
}

function linesOfScore(text: string): string[] {
  let sounding: string | undefined;
  return unrollMusicXml(text).map(({ time, length, chords }) => {
    const over = chords[0]?.at === 0 || sounding === undefined ? [] : [{ sound: sounding, at: 0 }];
    sounding = chords.at(-1)?.sound ?? sounding;
    const all = [...over, ...chords];
    if (time === '') return `free ${all.map((chord) => chord.sound).join(' ')}`;
    return `${length} ${all.map((chord) => `${chord.sound}@${chord.at.toFixed(2)}`).join(' ')}`;
  });
}

function songs(count: number): SongMap[] {
  return Array.from({ length: count }, (_, i) => strummed(songOf(readChart(randomChart(seeded(1 + i)))), i));
}

const STRUMS = [
  { parts: 2, strokes: 'd-dU-ud-' },
  { parts: 3, strokes: 'd-ud-u' },
  { parts: 4, strokes: 'D--ux-du' },
  { parts: 1, strokes: 'dddd' },
] as const;

/** Every second section with a strum pattern, every third swung. */
function strummed(map: SongMap, seed: number): SongMap {
  const sections = map.sections.map((section, i) => ({
    ...section,
    ...((i + seed) % 2 ? { strum: STRUMS[(i + seed) % STRUMS.length] } : {}),
  }));
  return { ...map, sections, key: { tonic: 'Bb', mode: 'minor', confidence: 1 } };
}

describe('MusicXML', () => {
  it.skipIf(!hasXmllint)('is valid by the schema of the W3C, for whatever is edited and charted', async () => {
    const made: SongMap[] = songs(runs(150));
    const arbitrary = fc.tuple(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 3 }));
    for (const [map, edits] of fc.sample(arbitrary, runs(100))) made.push(edits.reduce(applyEdit, map));
    for (const { file } of SAMPLES) made.push((await analysedSample(file)).map);
    made.push({ ...bars('4'), spans: [{ kind: 'lead-in', start: 0 }], sections: [] });
    expect(schemaFaults(made.map(toMusicXml))).toBe('');
    expect(schemaFaults([toMusicXml(bars('4')).replace('<divisions>', '<divisiuns>')])).toMatch(/divisiuns/);
  });
  it.runIf(!hasXmllint)('needs xmllint (Debian: libxml2-utils) to be checked by the schema', ({ skip }) => skip());

  it('is played as the song is, whatever is edited', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 3 }), (map, edits) => {
        const edited = edits.reduce(applyEdit, map);
        const lines = linesOfMap(edited);
        // A score has one measure at least.
        expect(linesOfScore(toMusicXml(edited))).toEqual(lines.length > 0 ? lines : ['free ']);
      }),
      { numRuns: runs(60) },
    );
  });

  it('is played as the song is, with repeats, endings and jumps', () => {
    for (const map of songs(runs(100))) expect(linesOfScore(toMusicXml(map))).toEqual(linesOfMap(map));
  });

  it.each(SAMPLES.map(({ file }) => file))('is played as %s is', async (file) => {
    const { map } = await analysedSample(file);
    expect(linesOfScore(toMusicXml(map))).toEqual(linesOfMap(map));
  });

  it('is drawn and expanded to the same bars by an independent renderer', async () => {
    const made = [...songs(runs(12)), ...EXAMPLES.map((song) => lettered(bars(song)))];
    for (const { file } of SAMPLES) made.push((await analysedSample(file)).map);
    let compared = 0;
    for (const map of made) {
      // It goes on past a To Coda that stands at a backward repeat.
      const atRepeat = playableChart(map).items.some((item) => item.toCoda && item.repeatEnd);
      const { numbers, log } = await expandedByVerovio(toMusicXml(map));
      expect(log).toEqual([]);
      if (atRepeat) continue;
      expect(numbers).toEqual(unfoldedNumbers(map));
      compared++;
    }
    expect(compared).toBeGreaterThan(0.6 * made.length);
  });
});

const V = '4:G 4:D 4:E:min 4:C';
const EXAMPLES = [
  '- (1) 4:G 4:C ~5 (1) 4:G 4:D -3',
  `Verse: ${V} 4:G | Verse: ${V} 4:C | Chorus: 7/8(2+2+3):A 6/8:D 5/16:G 3.5:E`,
  `Verse: ${V} 4:F 4:G | Verse: ${V} 4:F 4:E | Verse: ${V} 4:F 4:G | Verse: ${V} 4:F 4:E`,
];

describe('what MusicXML says', () => {
  const part = (song: string, change: Partial<SongMap> = {}): ReturnType<typeof rootOf> =>
    rootOf(toMusicXml({ ...lettered(bars(song)), ...change }));
  const numbers = (song: string): string =>
    all(part(song), 'measure')
      .map((measure) => `${measure.getAttribute('number')}${measure.getAttribute('implicit') ? ' implicit' : ''}`)
      .join(', ');

  it('numbers bars as on the screen, a pickup and free time without a number', () => {
    expect(numbers('- (1) 4 4 ~5 (1) 4 -')).toBe('0 implicit, 1, 2, X1 implicit, X2 implicit, 3');
  });

  it('writes time signatures where they change, groups too, a pickup under that of the bar after it', () => {
    const root = part('(1) 4 4 7/8(2+2+3) 3.5 6/8 4');
    const times = all(root, 'measure').map((measure) =>
      all(measure, 'time').map((time) => `${valueOf(time, 'beats')}/${valueOf(time, 'beat-type')}`),
    );
    expect(times).toEqual([['4/4'], [], [], ['2+2+3/8'], ['7/8'], ['6/8'], ['4/4']]);
  });

  it('marks sections, tempo in the beat of the bar, and swing', () => {
    const map = bars('Verse: 6/8:G 6/8 | Chorus: 6/8:C', { title: 'Slow Boats' });
    const sections = map.sections.map((section, i) => ({ ...section, ...(i === 1 ? { swing: 1.5 } : {}) }));
    const root = rootOf(toMusicXml({ ...map, sections }));
    expect(valueOf(root, 'work-title')).toBe('Slow Boats');
    expect(all(root, 'rehearsal').map((mark) => mark.textContent)).toEqual(['Verse', 'Chorus']);
    const [mark] = all(root, 'metronome');
    expect([valueOf(mark!, 'beat-unit'), all(mark!, 'beat-unit-dot').length, valueOf(mark!, 'per-minute')]).toEqual([
      'quarter',
      1,
      '120',
    ]);
    // Three eighths in half a second: 180 quarters a minute.
    expect(all(root, 'sound')[0]?.getAttribute('tempo')).toBe('180');
    expect([valueOf(root, 'first'), valueOf(root, 'second')]).toEqual(['30', '20']);
  });

  it('writes a chord that goes on again where a section begins, and nowhere else', () => {
    const measures = all(rootOf(toMusicXml(bars('Verse: 4:C 4:G 4 | Chorus: 4 4'))), 'measure');
    expect(measures.map((measure) => all(measure, 'harmony').length)).toEqual([1, 1, 0, 1, 0]);
  });

  it('prints a tempo anew where a section is 5 % faster', () => {
    const slow = bars('Verse: 4 4 | Chorus: 4 4', { beat: 0.6 });
    const at = (time: number): number => (time > 4.8 ? 4.8 + (time - 4.8) * 0.9 : time);
    const spans = slow.spans.map((span) =>
      span.kind === 'bar' ? { ...span, start: at(span.start), beats: span.beats.map(at) } : span,
    );
    const sections = slow.sections.map((section) => ({ ...section, start: at(section.start) }));
    const root = rootOf(toMusicXml({ ...slow, spans, sections, end: at(slow.end) }));
    expect(all(root, 'per-minute').map((mark) => mark.textContent)).toEqual(['105', '111']);
    expect(all(root, 'sound').map((one) => one.getAttribute('tempo'))).toEqual(['100', '111.111']);
  });

  it('prints every kind of chord as a lead sheet does, without its degrees', () => {
    const [harmony] = all(part('4:C#:hdim7/b5'), 'harmony');
    expect(valueOf(harmony!, 'kind')).toBe('half-diminished');
    expect(all(harmony!, 'kind')[0]?.getAttribute('text')).toBe('m7b5');
    expect([valueOf(harmony!, 'bass-step'), valueOf(harmony!, 'bass-alter')]).toEqual(['G', undefined]);
    const sounds = CHORDS.map((harte) => soundOf(all(part(`4:${harte}`), 'harmony')[0]!));
    expect(sounds).toEqual(CHORDS.map(sound));
  });

  it('writes strokes as signs for down and up, accents, muted strokes as crosses', () => {
    const map = bars('A: 4:G 4:C');
    const sections = map.sections.map((section) => ({ ...section, strum: { parts: 2, strokes: 'D-duxu-u' } as const }));
    const root = rootOf(toMusicXml({ ...map, sections }));
    const [first] = all(root, 'measure');
    expect([...all(first!, 'down-bow'), ...all(first!, 'up-bow')]).toHaveLength(5);
    expect(all(first!, 'accent')).toHaveLength(1);
    expect(
      all(first!, 'notehead')
        .map((head) => head.textContent)
        .join(' '),
    ).toBe('slash slash slash x slash slash slash');
  });
});

const QUALITIES = [
  ...['maj', 'min', 'dim', 'aug', '1', '5', 'sus2', 'sus4', 'maj6', 'min6', '7', 'maj7', 'min7', 'dim7', 'hdim7'],
  ...['minmaj7', 'aug7', '9', 'maj9', 'min9', '11', 'maj11', 'min11', '13', 'maj13', 'min13'],
];
const CHORDS = [
  ...QUALITIES.flatMap((quality) => [`Eb:${quality}`, `F#:${quality}/5`, `C:${quality}(b9,*5)`, `C:${quality}(*5,#5)`]),
  ...['C:(1,5,9)', 'C:maj(7)', 'C:maj(b7,#11)', 'C:min(*b3,4)', 'N', 'X', 'Bb:maj/b7', 'C:7(b9,#9)'],
];

/** The numbers of the measures in the order they are played, by the fold's own reader. */
function unfoldedNumbers(map: SongMap): string[] {
  const chart = playableChart(map);
  const written = all(rootOf(toMusicXml(map)), 'measure').map((measure) => measure.getAttribute('number') ?? '');
  return unfold(chart).map(({ item }) => written[item] as string);
}
