import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toMusicXml } from '../../src/export/musicxml/musicxml.js';
import { bassPitch, chordPitches, parseHarte } from '../../src/music/chord.js';
import { leadSheetText } from '../../src/music/lead-sheet.js';
import { linearItems } from '../../src/model/fold/linear.js';
import { DEFAULT_CHART, type ChartOptions } from '../../src/model/chart-options.js';
import type { SongMap } from '../../src/model/song-map.js';
import { SAMPLES } from '../../src/app/library/samples.js';
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
  writtenMeasures,
  type PlayedMeasure,
} from '../support/musicxml.js';
import { bars } from '../support/notation.js';
import { randomChart, seeded } from '../support/random-charts.js';
import { runs } from '../support/runs.js';
import { analysedSample } from '../support/sample-evidence.js';
import { hasSecondReader, measuresPlayed, numberedBySound, playedBySecondReader } from '../support/second-reader.js';
import { drawnByVerovio, playedByVerovio } from '../support/verovio.js';

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

function linesOfScore(played: readonly PlayedMeasure[]): string[] {
  let sounding: string | undefined;
  return played.map(({ time, length, chords }) => {
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

/** All that the chart's settings make of a score's bars. */
const WAYS: readonly { readonly way: string; readonly options: ChartOptions }[] = [
  { way: 'written out', options: { ...DEFAULT_CHART, folded: false, strum: false } },
  { way: 'with repeats', options: { ...DEFAULT_CHART, jumps: false } },
  { way: 'with repeats and jumps', options: { ...DEFAULT_CHART, barNumbers: false } },
];

describe('MusicXML', () => {
  it.skipIf(!hasXmllint)('is valid by the schema of the W3C, for whatever is edited and charted', async () => {
    const made: SongMap[] = songs(runs(150));
    const arbitrary = fc.tuple(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 3 }));
    for (const [map, edits] of fc.sample(arbitrary, runs(100))) made.push(edits.reduce(applyEdit, map));
    for (const { file } of SAMPLES) made.push((await analysedSample(file)).map);
    made.push({ ...bars('4'), spans: [{ kind: 'lead-in', start: 0 }], sections: [] });
    expect(schemaFaults(made.flatMap((map) => WAYS.map(({ options }) => toMusicXml(map, options))))).toBe('');
    expect(schemaFaults([toMusicXml(bars('4')).replace('<divisions>', '<divisiuns>')])).toMatch(/divisiuns/);
  });
  it.runIf(!hasXmllint)('needs xmllint (Debian: libxml2-utils) to be checked by the schema', ({ skip }) => skip());

  it('is played as the song is, whatever is edited', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 3 }), (map, edits) => {
        const edited = edits.reduce(applyEdit, map);
        const lines = linesOfMap(edited);
        // A score has one measure at least.
        expect(linesOfScore(unrollMusicXml(toMusicXml(edited)))).toEqual(lines.length > 0 ? lines : ['free ']);
      }),
      { numRuns: runs(60) },
    );
  });

  it.each(WAYS)('is played as the song is, $way', ({ options }) => {
    for (const map of songs(runs(100)))
      expect(linesOfScore(unrollMusicXml(toMusicXml(map, options)))).toEqual(linesOfMap(map));
  });

  it.each(SAMPLES.map(({ file }) => file))('is played as %s is', async (file) => {
    const { map } = await analysedSample(file);
    expect(linesOfScore(unrollMusicXml(toMusicXml(map)))).toEqual(linesOfMap(map));
  });

  it.each(WAYS)(
    'is played as the song is, without a sound of its own, by an independent reader, $way',
    async ({ options }) => {
      for (const map of songs(100)) {
        const text = toMusicXml(map, options);
        const { numbers, notes, log } = await playedByVerovio(text);
        const written = new Map(writtenMeasures(text).map((measure) => [measure.number, measure]));
        expect(linesOfScore(numbers.map((number) => written.get(number)!))).toEqual(linesOfMap(map));
        expect([notes, log]).toEqual([0, []]);
      }
    },
  );

  it('is drawn by an independent reader', async () => {
    const made = [...songs(runs(8)), ...EXAMPLES.map((song) => lettered(bars(song)))];
    for (const { file } of SAMPLES) made.push((await analysedSample(file)).map);
    for (const map of made) {
      const { pages, log } = await drawnByVerovio(toMusicXml(map));
      expect(log).toEqual([]);
      for (const page of pages) expect(page).toContain('<svg');
    }
  });

  const LONG = process.env.BARWRIGHT_LONG === '1';
  const both = LONG && hasSecondReader();
  it.runIf(both)('is played so by a second reader too', { timeout: 600_000 }, () => {
    const made = [...songs(10), ...EXAMPLES.map((song) => lettered(bars(song)))];
    for (const { options } of WAYS) {
      const texts = made.map((map) => toMusicXml(map, options));
      const told = playedBySecondReader(texts.map(numberedBySound));
      const heard = playedBySecondReader(texts);
      made.forEach((map, i) => {
        const written = writtenMeasures(texts[i]!);
        const played = measuresPlayed(told[i]!);
        expect(linesOfScore(played.map(({ place }) => written[place]!))).toEqual(linesOfMap(map));
        let at = 0;
        for (const measure of played) {
          expect(measure.at).toBeCloseTo(at, 2);
          at += written[measure.place]!.length;
        }
        // It plays every note; what cannot be heard is its channel.
        expect(heard[i]!.length).toBeGreaterThan(0);
        expect(new Set(heard[i]!.map(({ volume }) => volume))).toEqual(new Set([0]));
      });
    }
  });
  it.runIf(LONG && !both)('needs musescore3 (Debian) as a second reader', ({ skip }) => skip());
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

  /** Bars of 4, each so much faster than the first. */
  const drifting = (speeds: readonly number[]): SongMap => {
    const even = bars(speeds.map(() => '4:G').join(' '), { beat: 0.6 });
    let now = 0;
    const spans = even.spans.map((span, i) => {
      const beat = 0.6 / speeds[i]!;
      const beats = [0, 1, 2, 3].map((each) => now + each * beat);
      now += 4 * beat;
      return span.kind === 'bar' ? { ...span, start: beats[0]!, beats } : span;
    });
    return { ...even, spans, end: now };
  };
  const tempi = (speeds: readonly number[]): string[] => {
    const measures = all(rootOf(toMusicXml(drifting(speeds), { ...DEFAULT_CHART, folded: false })), 'measure');
    return measures.flatMap((measure, i) => {
      const [played] = all(measure, 'sound').map((one) => Number(one.getAttribute('tempo')).toFixed(0));
      const printed = valueOf(measure, 'per-minute');
      return printed || played ? [`${i + 1}: ${printed}, played ${played}`] : [];
    });
  };

  it.each([
    ['no drift', [1, 1.03, 0.98, 1.05, 1, 1.04, 1.05, 1.05], ['1: 102, played 102']],
    ['nothing that is over soon', [1, 1, 1, 1, 1.2, 1.2, 1.2, 1, 1, 1], ['1: 100, played 100']],
    ['what lasts', [1, 1, 1, 1, 1, 1, 1, 1.1, 1.1, 1.1, 1.1], ['1: 100, played 100', '8: 110, played 110']],
    [
      'a beginning at another tempo',
      [0.8, 0.8, 0.8, 0.8, 1, 1, 1, 1, 1, 1],
      ['1: 80, played 80', '5: 100, played 100'],
    ],
  ])('marks the tempo where it changes for long: %s', (_, speeds, marks) => expect(tempi(speeds)).toEqual(marks));

  it('marks another beat only where it lasts', () => {
    const marks = (song: string): number => all(rootOf(toMusicXml(bars(song))), 'metronome').length;
    expect(marks('4:G 4:C 6/8:G 4:G 4:C 4:D')).toBe(1);
    expect(marks('4:G 4:C 4:G 4:C 6/8:G 6/8:C 6/8:D 6/8:F')).toBe(2);
  });

  it('gives slashes the pitch that the key signature gives their line, so that no reader prints a natural', () => {
    const alters = (tonic: string, mode: 'major' | 'minor'): unknown[] => {
      const root = rootOf(toMusicXml({ ...bars('4:G'), key: { tonic, mode, confidence: 1 } }));
      return [...new Set(all(root, 'note').map((note) => `${valueOf(note, 'step')} ${valueOf(note, 'alter') ?? 0}`))];
    };
    expect(alters('F', 'major')).toEqual(['B -1']);
    expect(alters('G', 'major')).toEqual(['B 0']);
    expect(alters('A', 'minor')).toEqual(['B 0']);
    expect(alters('C#', 'major')).toEqual(['B 1']);
  });

  it('shows slashes in a reader, and no accidentals beside those of the key', async () => {
    const { pages } = await drawnByVerovio(
      toMusicXml({ ...bars('4:Eb 4:Bb'), key: { tonic: 'Eb', mode: 'major', confidence: 1 } }),
    );
    // Glyphs by their code points in SMuFL 1.4 (W3C Music Notation Community Group): slash E101, flat E260, natural E261.
    const count = (glyph: string): number => pages.join('').split(`xlink:href="#${glyph}`).length - 1;
    expect([count('E101'), count('E260'), count('E261')]).toEqual([8, 3, 0]);
  });

  it('writes the chords behind a capo, and says so to players and programs', () => {
    const key = { tonic: 'F', mode: 'major', confidence: 1 } as const;
    const told = (fingered: SongMap['fingered'], own: Partial<SongMap> = { key }): unknown[] => {
      const root = rootOf(toMusicXml({ ...bars('4:F'), ...own, fingered }));
      const moved = [valueOf(root, 'diatonic'), valueOf(root, 'chromatic')].join(' ');
      return [valueOf(root, 'root-step'), valueOf(root, 'fifths'), moved, valueOf(root, 'words')];
    };
    expect(told({ capo: 3 })).toEqual(['D', '2', '2 3', 'capo 3, shapes of D major']);
    expect(told({ capo: 3 }, {})).toEqual(['D', undefined, '2 3', 'capo 3']);
    expect(told({ capo: 3, sounding: true })).toEqual(['F', '-1', ' ', 'capo 3, shapes of D major']);
    expect(told({ transpose: 2 })).toEqual(['G', '1', ' ', '2 semitones above the recording']);
    expect(told({})).toEqual(['F', '-1', ' ', undefined]);
  });

  it('groups bars like 2+2+3: slashes short, short, long, and strokes beamed so', () => {
    const map = bars('7/8(2+2+3):G,C@4');
    const notes = (own: SongMap): string[] =>
      all(rootOf(toMusicXml(own)), 'note').map((note) =>
        [valueOf(note, 'type'), ...all(note, 'dot').map(() => '.')].join(''),
      );
    expect(notes(map)).toEqual(['quarter', 'quarter', 'quarter.']);
    const sections = map.sections.map((section) => ({ ...section, strum: { parts: 1, strokes: 'ddddddd' } as const }));
    const root = rootOf(toMusicXml({ ...map, sections }));
    expect(all(root, 'beam').map((beam) => beam.textContent)).toEqual([
      'begin',
      'end',
      'begin',
      'end',
      'begin',
      'continue',
      'end',
    ]);
    expect(notes(bars('5/4(3+2):G'))).toHaveLength(5);
  });

  it("holds to the chart's settings", () => {
    const map = bars(`Verse: ${V} ${V.replace('C', 'F')} | Verse: ${V} ${V.replace('C', 'F')} | Outro: 4:G`);
    const sections = map.sections.map((section) => ({
      ...section,
      cue: 'softly',
      strum: { parts: 1, strokes: 'dudu' } as const,
    }));
    const said = (change: Partial<ChartOptions>): unknown[] => {
      const root = rootOf(toMusicXml(lettered({ ...map, sections }), { ...DEFAULT_CHART, ...change }));
      const count = (name: string): number => all(root, name).length;
      return [
        count('measure'),
        count('up-bow') > 0,
        all(root, 'words').map((one) => one.textContent),
        valueOf(root, 'measure-numbering'),
      ];
    };
    expect(said({})).toEqual([9, true, ['1.  softly', '2.  softly', 'softly'], 'system']);
    expect(said({ folded: false, cues: false })).toEqual([17, true, [], 'system']);
    expect(said({ strum: false, cues: false, barNumbers: false })).toEqual([9, false, [], 'none']);
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
