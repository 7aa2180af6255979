import { bassPitch, chordPitches, parseHarte } from '../../src/music/chord.js';
import { meterText } from '../../src/music/meter.js';
import { barsOf, chordAt, chordsInBar, sectionBars, spanEnd } from '../../src/model/map-queries.js';
import type { PlayedItem } from '../../src/model/fold/unfold.js';
import type { SongMap } from '../../src/model/song-map.js';

/** What a song is when it is played, a line a bar or free stretch: from its map, and from a chart that was unfolded. */

export function linesOfMap(map: SongMap): string[] {
  const lines: string[] = [];
  const heads = new Map(map.sections.map((section, i) => [sectionBars(map, i)?.first, section]));
  map.spans.forEach((span, place) => {
    if (span.kind === 'free') {
      const inside = map.chords.filter(({ time }) => time > span.start + 1e-6 && time < spanEnd(map, place) - 1e-6);
      const first = chordAt(map, span.start);
      const marks = [
        ...(first ? [[first.harte, 0] as const] : []),
        ...inside.map((c) => [c.harte, c.time - span.start] as const),
      ];
      const words = marks.map(([harte, after]) => `${sound(harte)} +${after.toFixed(3)}`);
      lines.push(`free ${(spanEnd(map, place) - span.start).toFixed(3)} ${words.join(' ')}`);
    }
    if (span.kind !== 'bar') return;
    const bar = barsOf(map).indexOf(span);
    const begun = chordsInBar(map, bar).map(({ chord, beat }) => [chord.harte, beat] as const);
    const over = begun[0]?.[1] === 0 ? undefined : chordAt(map, span.start);
    const marks = over ? [[over.harte, 0] as const, ...begun] : begun;
    lines.push(barLine(span, marks, heads.get(bar)));
  });
  return lines;
}

export function linesOfPlayed(played: readonly PlayedItem[]): string[] {
  return played.map((item) => {
    if (item.kind === 'bar')
      return barLine(
        item,
        item.chords.map(({ harte, beat }) => [harte, beat]),
        item.head,
      );
    const words = item.chords.map(({ harte, after }) => `${sound(harte)} +${after.toFixed(3)}`);
    return `free ${item.length.toFixed(3)} ${words.join(' ')}`;
  });
}

function barLine(
  { meter, pickup }: { readonly meter: Parameters<typeof meterText>[0]; readonly pickup?: true },
  marks: readonly (readonly [string, number])[],
  head?: { readonly name: string; readonly letter: string; readonly swing?: number },
): string {
  const begins = head
    ? `${head.name} (${head.letter}${head.swing === undefined ? '' : `, swing ${head.swing}`}): `
    : '';
  const chords = marks.map(([harte, beat]) => `${sound(harte)}@${beat.toFixed(3)}`);
  return `${begins}${pickup ? 'pickup ' : ''}${meterText(meter)} beat ${meter.beatUnits} ${chords.join(' ')}`;
}

/** A chord by its pitch classes, root first, over its bass. */
function sound(harte: string): string {
  const chord = parseHarte(harte);
  return chord?.kind === 'chord' ? `${chordPitches(chord).join('.')}/${bassPitch(chord)}` : harte;
}
