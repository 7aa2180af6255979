import { describe, expect, it } from 'vitest';
import { parseHarte } from '../../src/music/chord.js';
import { compose } from './made/compose.js';
import { PLANTS } from './made/forms.js';
import { harteOf } from './made/harmony.js';

describe('made songs', () => {
  const songs = Array.from({ length: 60 }, (_, i) => compose(`m${i}`, 5000 + i));

  it('are the same for the same seed and differ for others', () => {
    expect(compose('m0', 5000)).toEqual(songs[0]);
    expect(new Set(songs.map(({ notes }) => notes.length)).size).toBeGreaterThan(55);
  });

  it('have beats, bars, chords and sections that tile them', () => {
    for (const { truth, notes } of songs) {
      expect(truth.beats).toHaveLength((truth.bars ?? []).reduce((sum, [, beats]) => sum + beats, 0));
      const end = truth.sections.at(-1)![1];
      for (const list of [truth.sections, truth.chords]) {
        list.forEach(([from, to], i) => {
          expect(to).toBeGreaterThan(from);
          expect(from).toBe(i === 0 ? truth.beats[0]![0] : list[i - 1]![1]);
        });
        expect(list.at(-1)![1]).toBe(end);
      }
      for (const [, , harte] of truth.chords) expect(parseHarte(harte), harte).toBeDefined();
      const starts = new Set((truth.bars ?? []).map(([start]) => start));
      for (const [start] of truth.sections) expect(starts).toContain(start);
      expect(Math.max(...notes.map(({ time }) => time))).toBeLessThan(truth.duration);
    }
  });

  it('use every kind of chord that is suggested, and inversions', () => {
    const kinds = new Set(songs.flatMap(({ truth }) => truth.chords.map(([, , h]) => h.replace(/^[A-G][b#]*:?/, ''))));
    for (const kind of [
      'maj',
      'min',
      '7',
      'maj7',
      'min7',
      'hdim7',
      'dim',
      'aug',
      'sus2',
      'sus4',
      'N',
      'maj/3',
      'maj/5',
    ])
      expect(kinds).toContain(kind);
  });

  it('spell a chord in the key, its bass as a degree', () => {
    const key = { tonic: 'Eb', mode: 'major' } as const;
    expect(harteOf({ root: 5, kind: 'maj', bass: 9 }, key, 0)).toBe('Ab:maj/3');
    expect(harteOf({ root: 5, kind: 'maj', bass: 7 }, key, 2)).toBe('Bb:maj/2');
    expect(harteOf(undefined, key, 0)).toBe('N');
  });

  it.each(PLANTS)('plant one %s that changes one pass only', (plant) => {
    for (let seed = 0; seed < 20; seed++) {
      const { truth } = compose('d', 7000 + seed, { plant });
      const planted = truth.planted!;
      expect(planted.kind).toBe(plant);
      const label = truth.sections[planted.section]![2];
      const shape = (section: number): string => {
        const [from, to] = truth.sections[section]!;
        const bars = (truth.bars ?? []).filter(([start]) => start >= from && start < to);
        const roots = truth.chords.filter(([a, b]) => a < to && b > from).map(([, , harte]) => harte);
        return `${bars.map(([, beats]) => beats).join(' ')} ${roots.join(' ')}`;
      };
      const passes = truth.sections.flatMap(([, , other], i) => (other === label ? [i] : []));
      expect(shape(planted.section)).not.toBe(shape(planted.against));
      for (const pass of passes) if (pass !== planted.section) expect(shape(pass)).toBe(shape(planted.against));
      const bars = truth.bars ?? [];
      const first = bars.findIndex(([start]) => start === truth.sections[planted.section]![0]);
      expect(bars[first + planted.bar]?.[0]).toBe(planted.time);
    }
  });
});
