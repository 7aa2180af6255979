import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { acceptChords, removeChord, setChords, typedChords } from '../../src/model/edits/chords.js';
import * as s from '../../src/model/edits/sections.js';
import { followSections, withSpans } from '../../src/model/follow.js';
import { check } from '../../src/model/invariants.js';
import { letterFor, materialOf, nextLetter } from '../../src/model/letters.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { Section, SongMap } from '../../src/model/song-map.js';
import { applyEdit, editArbitrary, EDIT_NAMES, mapArbitrary } from '../support/arbitraries.js';
import { bars, text } from '../support/notation.js';
import { runs } from '../support/runs.js';

/** Sections as "A Verse 0, B Chorus 4" with the bars they begin with; a suggested one with "?". */
function shown(map: SongMap): string {
  return map.sections
    .map(({ letter, name, start, origin }) => {
      const bar = barsOf(map).findIndex((b) => b.start === start);
      return `${letter} ${name}${origin === 'suggested' ? '?' : ''} ${bar}`;
    })
    .join(', ');
}

const song = bars('4 4 4 4 | 4 4 | 4 4 4 4');

describe('naming sections', () => {
  it('names a suggested one and keeps its letter', () => {
    expect(shown(s.nameSection(song, 0, 3, 'Verse'))).toBe('A Verse 0, B B? 4, C C? 6');
  });

  it('cuts what it overlaps, and what is left goes on under its own name', () => {
    expect(shown(s.nameSection(song, 2, 4, 'Verse'))).toBe('A A? 0, D Verse 2, B B? 5, C C? 6');
    expect(shown(s.nameSection(song, 1, 2, 'Tag'))).toBe('A A? 0, D Tag 1, A A? 3, B B? 4, C C? 6');
    expect(shown(s.nameSection(song, 0, 1, 'Intro'))).toBe('D Intro 0, A A? 2, B B? 4, C C? 6');
    expect(shown(s.nameSection(song, 0, 9, 'All'))).toBe('A All 0');
  });

  it('remembers where the user put both edges', () => {
    const named = s.nameSection(song, 1, 2, 'Tag');
    expect(named.sections.map(({ anchor }) => anchor)).toEqual([undefined, 2, 6, undefined, undefined]);
    const exact = s.nameSection(song, 0, 3, 'Verse');
    expect(exact.sections.map(({ anchor }) => anchor)).toEqual([0, 8, undefined]);
  });

  it('gives sections of one name one letter, numbers aside', () => {
    const named = s.nameSection(s.nameSection(song, 0, 3, 'Verse 1'), 6, 9, 'verse 2');
    expect(shown(named)).toBe('A Verse 1 0, B B? 4, A verse 2 6');
  });

  it('names the other passes when it names most of one, and gives what is left of that a letter of its own', () => {
    const verses = bars('Verse: 4 4 4 4 | Chorus: 4 4 4 | Verse: 4 4 4 4');
    expect(shown(s.nameSection(verses, 0, 2, 'Stanza'))).toBe('A Stanza 0, C Verse? 3, B Chorus? 4, A Stanza? 7');
    expect(shown(s.nameSection(verses, 7, 9, 'Stanza'))).toBe('A Stanza? 0, B Chorus? 4, A Stanza 7, C Verse? 10');
    expect(shown(s.nameSection(verses, 0, 4, 'Stanza'))).toBe('A Stanza 0, B Chorus? 5, A Stanza? 7');
    expect(shown(s.nameSection(verses, 0, 1, 'Stanza'))).toBe('C Stanza 0, A Verse? 2, B Chorus? 4, A Verse? 7');
    const left = s.nameSection(bars('4 4 4 4 | 4 4 4'), 0, 2, 'Verse');
    expect(shown(left)).toBe('A Verse 0, C C? 3, B B? 4');
  });

  it('leaves the other passes to the section whose name they have', () => {
    const three = bars('Verse: 4 | Verse: 4 | Verse: 4');
    const named = s.nameSection(s.acceptSection(three, 'S1'), 1, 1, 'Bridge');
    expect(shown(named)).toBe('A Verse 0, B Bridge 1, A Verse? 2');
    const twoNames = bars('Verse: 4 | Chorus: 4 | Chorus: 4');
    expect(shown(s.nameSection(s.acceptSection(twoNames, 'S1'), 1, 1, 'Verse'))).toBe(
      'A Verse 0, A Verse 1, A Verse? 2',
    );
  });

  it('takes the pickup along with the first bar', () => {
    expect(shown(s.nameSection(bars('(1) 4 4 | 4 4'), 1, 2, 'Verse'))).toBe('A Verse 0, B B? 3');
    expect(shown(s.nameSection(bars('(1) 4 4 | 4 4'), 1, 1, 'Verse'))).toBe('C Verse 0, A A? 2, B B? 3');
  });

  it('names the suggestions of the same letter and name, too, as suggestions', () => {
    const alike = bars('4 | 4 | 4');
    const sections = alike.sections.map((section, i) => (i === 1 ? section : { ...section, letter: 'A', name: 'A' }));
    const named = s.nameSection({ ...alike, sections }, 0, 0, 'Verse');
    expect(shown(named)).toBe('A Verse 0, B B? 1, A Verse? 2');
    expect(shown(s.renameSection({ ...alike, sections }, 'S3', 'Refrain'))).toBe('A Refrain? 0, B B? 1, A Refrain 2');
  });

  it('leaves the other passes what they are when the name is that of one place, as of a solo over the verse', () => {
    const verses = bars('Verse: 4 4 | Chorus: 4 4 | Verse: 4 4 | Verse: 4 4');
    expect(shown(s.nameSection(verses, 4, 5, 'Solo'))).toBe('A Verse? 0, B Chorus? 2, C Solo 4, A Verse? 6');
    expect(shown(s.renameSection(verses, 'S1', 'intro 1'))).toBe('C intro 1 0, B Chorus? 2, A Verse? 4, A Verse? 6');
    expect(shown(s.nameSection(verses, 2, 3, 'Solo'))).toBe('A Verse? 0, B Solo 2, A Verse? 4, A Verse? 6');
  });

  it('gives a section the user names otherwise than its sister another letter', () => {
    const alike = bars('Verse: 4 | Verse: 4');
    expect(shown(s.renameSection(s.acceptAllSections(alike), 'S2', 'Bridge'))).toBe('A Verse 0, B Bridge 1');
  });

  it('refuses no name, an endless name, no bars', () => {
    expect(() => s.nameSection(song, 0, 1, '  ')).toThrow(/needs a name/);
    expect(() => s.nameSection(song, 0, 1, 'x'.repeat(81))).toThrow(/up to 80/);
    expect(() => s.nameSection(song, 3, 2, 'Verse')).toThrow(/left to right/);
    expect(() => s.nameSection(song, 0, 10, 'Verse')).toThrow(/no such bar/);
    expect(s.nameSection(song, 0, 3, '  Pre  chorus ').sections[0]?.name).toBe('Pre chorus');
  });
});

describe('changing sections', () => {
  it('accepts one or all', () => {
    expect(shown(s.acceptSection(song, 'S2'))).toBe('A A? 0, B B 4, C C? 6');
    const all = s.acceptAllSections(song);
    expect(shown(all)).toBe('A A 0, B B 4, C C 6');
    expect(all.sections.map(({ anchor }) => anchor)).toEqual([0, 8, 12]);
  });

  it('moves an edge up to one bar from the neighbours', () => {
    expect(shown(s.moveSectionEdge(song, 'S2', 2))).toBe('A A? 0, B B 2, C C? 6');
    expect(shown(s.moveSectionEdge(song, 'S2', 9))).toBe('A A? 0, B B 5, C C? 6');
    expect(shown(s.moveSectionEdge(song, 'S2', 0))).toBe('A A? 0, B B 1, C C? 6');
    expect(() => s.moveSectionEdge(song, 'S1', 2)).toThrow(/first section starts with the first bar/);
  });

  it('splits before a bar inside', () => {
    expect(shown(s.splitSection(song, 2))).toBe('A A 0, A A 2, B B? 4, C C? 6');
    expect(() => s.splitSection(song, 4)).toThrow(/starts with this bar already/);
  });

  it('merges from one to another, in either order', () => {
    expect(shown(s.mergeSections(song, 'S1', 'S2'))).toBe('A A 0, C C? 6');
    expect(shown(s.mergeSections(song, 'S3', 'S1'))).toBe('A A 0');
    expect(() => s.mergeSections(song, 'S1', 'S1')).toThrow(/at least two/);
  });

  it('refuses one: its bars go to the one before, of the first to the one after', () => {
    expect(shown(s.refuseSection(song, 'S2'))).toBe('A A? 0, C C? 6');
    expect(shown(s.refuseSection(song, 'S1'))).toBe('B B? 0, C C? 6');
    expect(() => s.refuseSection(bars('4 4'), 'S1')).toThrow(/only section/);
  });

  it('remembers where the refused ones began', () => {
    expect(s.refuseSection(song, 'S1').refused).toEqual([8]);
    const both = s.refuseSection(s.refuseSection(song, 'S3'), 'S2');
    expect(both.refused).toEqual([8, 12]);
    expect(check(both)).toEqual([]);
  });

  it('sets and takes away how the passes of a letter are strummed', () => {
    const map = bars('Verse: 4 4 | Chorus: 4 | Verse: 4 4');
    const [verse, chorus] = map.sections;
    const strum = { parts: 2, strokes: 'd-du-udu' } as const;
    const strummed = s.setStrum(map, verse!.id, strum);
    expect(strummed.sections.map((section) => section.strum)).toEqual([strum, undefined, strum]);
    expect(s.setStrum(strummed, verse!.id, undefined)).toEqual(map);
    expect(() => s.setStrum(map, chorus!.id, { parts: 2, strokes: 'dz' })).toThrow(/"z" is no stroke/);
  });

  it('sets and takes away swing', () => {
    const swung = s.setSwing(song, 'S2', 2);
    expect(swung.sections.map(({ swing }) => swing)).toEqual([undefined, 2, undefined]);
    expect(Object.keys(s.setSwing(swung, 'S2', undefined).sections[1]!)).not.toContain('swing');
    expect(() => s.setSwing(song, 'S2', 3.1)).toThrow(/from 1/);
  });

  it('says when a section is gone', () => {
    expect(() => s.acceptSection(song, 'S9')).toThrow(/not on the map any more/);
  });
});

describe('letters', () => {
  const section = (letter: string, name: string, origin: Section['origin'] = 'user'): Section => {
    return { id: letter + name, letter, name, start: 0, origin };
  };

  it('go from A to Z and on with AA', () => {
    const all = Array.from({ length: 26 }, (_, i) => section(String.fromCharCode(65 + i), 'x'));
    expect(nextLetter([])).toBe('A');
    expect(nextLetter([section('A', 'x'), section('C', 'y')])).toBe('B');
    expect(nextLetter(all)).toBe('AA');
  });

  it('follow the name without its number', () => {
    expect(['Verse 2', ' verse  12', 'Part 1b', '7'].map(materialOf)).toEqual(['verse', 'verse', 'part 1b', '7']);
    expect(letterFor('Verse 3', undefined, [section('C', 'Verse')])).toBe('C');
    expect(letterFor('Bridge', 'A', [section('A', 'Verse')])).toBe('B');
    expect(letterFor('Bridge', 'A', [section('A', 'A', 'suggested')])).toBe('A');
  });
});

describe('sections on other bars', () => {
  const places = (map: SongMap, onto: SongMap): string => {
    const sections = followSections(map.sections, barsOf(onto));
    return shown({ ...onto, sections });
  };

  it('go to the nearest bar line and come back', () => {
    const named = s.acceptAllSections(bars('Verse: 4 4 | Chorus: 4 4'));
    expect(places(named, bars('3 4 4 4 1'))).toBe('A Verse 0, B Chorus 2');
    const moved = { ...bars('3 4 4 4 1'), sections: followSections(named.sections, barsOf(bars('3 4 4 4 1'))) };
    expect(places(moved, named)).toBe('A Verse 0, B Chorus 2');
  });

  it('never lose one that the user named while there are bars for all', () => {
    const named = s.acceptAllSections(bars('A1: 1 | B1: 1 | C1: 1 | D1: 4'));
    expect(places(named, bars('4 4 4 4'))).toBe('A A1 0, B B1 1, C C1 2, D D1 3');
  });

  it('drop a suggestion whose bar is taken', () => {
    const mixed = s.acceptSection(bars('Verse: 1 | B1: 1 | Chorus: 4 4'), 'S3');
    expect(places(mixed, bars('2 4 4'))).toBe('A Verse? 0, C Chorus 1');
  });

  it('are one at least where there are bars, none where there are none', () => {
    expect(followSections([], barsOf(song))).toHaveLength(1);
    expect(followSections(song.sections, [])).toEqual([]);
  });

  it('with chords and doubts make a sound map, whatever the new bars', () => {
    const marking = EDIT_NAMES.filter((name) => /Section|Chords/.test(name));
    fc.assert(
      fc.property(
        mapArbitrary(),
        fc.array(editArbitrary(marking), { maxLength: 6 }),
        mapArbitrary(),
        (map, edits, other) => {
          const marked = edits.reduce(applyEdit, map);
          const duration = Math.max(map.recording.duration, other.recording.duration);
          const next = withSpans({ ...marked, recording: { ...map.recording, duration } }, other);
          expect(check(next)).toEqual([]);
          const typed = (from: SongMap): number => from.chords.filter(({ origin }) => origin === 'user').length;
          expect(typed(next)).toBeLessThanOrEqual(typed(marked));
          const named = marked.sections.filter(({ origin }) => origin === 'user');
          if (named.length <= barsOf(next).length) {
            expect(next.sections.filter(({ origin }) => origin === 'user').length).toBe(named.length);
          }
          expect(withSpans(marked, map)).toEqual(marked);
        },
      ),
      { numRuns: runs(80) },
    );
  });

  it('take the chords along with their beats', () => {
    const before = bars('4:G,C@3 4:D@1.5');
    const spans = before.spans.map((span) => {
      return span.kind === 'bar'
        ? { ...span, start: span.start, beats: span.beats.map((t) => (t === 1 ? 1.06 : t)) }
        : span;
    });
    expect(withSpans(before, { ...before, spans }).chords.map(({ time }) => time)).toEqual([0, 1.06, 2.25]);
    // Half as many beats: the chord on the beat that is gone stays where it sounds.
    const halved = bars('2 2', { beat: 1 });
    expect(withSpans(bars('4:G,C@2 4'), halved).chords.map(({ time }) => time)).toEqual([0, 0.5]);
  });
});

describe('typing chords', () => {
  const chords = (map: SongMap): string => map.chords.map(({ time, harte }) => `${harte}@${time}`).join(' ');

  it('replaces those of the bar and leaves what sounds after it', () => {
    expect(text(setChords(bars('4:G 4 4'), 1, [{ beat: 0, harte: 'C' }]))).toBe('4:G 4:C 4:G');
    expect(text(setChords(bars('4:G 4 4:D'), 1, [{ beat: 2, harte: 'C' }]))).toBe('4:G 4:C@3 4:D');
    expect(text(setChords(bars('4 4:G 4'), 1, [{ beat: 0, harte: 'C' }]))).toBe('4 4:C 4:G');
    expect(text(setChords(bars('4:G 4 4'), 1, [{ beat: 0, harte: 'G' }]))).toBe('4:G 4:G 4');
    expect(text(setChords(bars('4:G 4:C 4'), 1, []))).toBe('4:G 4 4:C');
    expect(text(setChords(bars('4 4:G'), 1, []))).toBe('4 4');
  });

  it('puts them between beats, sorted', () => {
    const typed = setChords(bars('4 4'), 0, [
      { beat: 2.5, harte: ' A:min ' },
      { beat: 0, harte: 'F' },
    ]);
    expect(chords(typed)).toBe('F@0 A:min@1.25');
    expect(typedChords(typed, 0)).toEqual([
      { beat: 0, harte: 'F' },
      { beat: 2.5, harte: 'A:min' },
    ]);
    expect(typed.chords.every(({ origin, confidence }) => origin === 'user' && confidence === 1)).toBe(true);
  });

  it('refuses places outside the bar, two on one place and no name', () => {
    expect(() => setChords(bars('4'), 0, [{ beat: 4, harte: 'C' }])).toThrow(/no beat 5 in this bar: it has 4/);
    expect(() => setChords(bars('4'), 0, [{ beat: -1, harte: 'C' }])).toThrow(/no beat 0/);
    expect(() =>
      setChords(bars('4'), 0, [
        { beat: 1, harte: 'C' },
        { beat: 1, harte: 'D' },
      ]),
    ).toThrow(/one beat/);
    expect(() => setChords(bars('4'), 0, [{ beat: 1, harte: ' ' }])).toThrow(/needs a name/);
  });

  it('takes one away, and accepts suggested ones', () => {
    expect(chords(removeChord(bars('4:G,C@3'), 1))).toBe('G@0');
    expect(() => removeChord(bars('4:G'), 1)).toThrow(/No chord begins there/);
    const accepted = acceptChords(bars('4:G 4:C'), 1);
    expect(accepted.chords.map(({ origin }) => origin)).toEqual(['suggested', 'user']);
  });
});
