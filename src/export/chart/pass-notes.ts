import { msg, str } from '@lit/localize';
import { beatsOf } from '../../music/meter.js';
import { soundingOn } from '../../model/pass-chords.js';
import { openDifferences, type PassDifference, type PassTable } from '../../model/pass-table.js';
import { barsOf } from '../../model/map-queries.js';
import { beatsWords, numberWords } from '../../model/length-words.js';
import type { SongMap } from '../../model/song-map.js';

/**
 * What is said over the bars in which a pass differs from the usual one, by bar of the map: "usually 4 beats", "usually Am D",
 * "1 bar left out". `named` writes a chord as the chart does.
 */
export function notesByBar(
  map: SongMap,
  passes: readonly PassTable[],
  named: (harte: string) => string,
): ReadonlyMap<number, readonly string[]> {
  const notes = new Map<number, string[]>();
  for (const table of passes) {
    for (const difference of openDifferences(map, table)) {
      const bar = barAbout(map, table, difference);
      const text = noteText(difference, table, named);
      if (bar === undefined || text === '') continue;
      const own = notes.get(bar) ?? [];
      if (!own.includes(text)) notes.set(bar, [...own, text]);
    }
  }
  return notes;
}

/** The bar a difference is written at; where bars are missing the one behind them, or the last of the pass. */
function barAbout(map: SongMap, table: PassTable, difference: PassDifference): number | undefined {
  switch (difference.kind) {
    case 'length':
    case 'chord':
      return difference.bar;
    case 'added':
      return difference.first;
    case 'key':
      return table.passes[difference.pass]?.first;
    case 'dropped': {
      const pass = table.passes[difference.pass];
      if (!pass) return undefined;
      const behind = barsOf(map).findIndex((bar, i) => i >= pass.first && bar.start >= difference.time - 1e-3);
      return behind >= 0 && behind <= pass.last ? behind : pass.last;
    }
  }
}

function noteText(difference: PassDifference, table: PassTable, named: (harte: string) => string): string {
  switch (difference.kind) {
    case 'length': {
      const beats = beatsWords(beatsOf(difference.usual));
      return msg(str`usually ${beats}`);
    }
    case 'chord': {
      const { has, usual } = difference;
      const differs = [...has, ...usual].some(({ beat }) => soundingOn(has, beat) !== soundingOn(usual, beat));
      const text = usual.map(({ harte }) => named(harte)).join(' ');
      return differs && text !== '' ? msg(str`usually ${text}`) : '';
    }
    case 'added': {
      const count = difference.last - difference.first + 1;
      return count === 1 ? msg('an extra bar') : msg(str`${count} extra bars`);
    }
    case 'dropped': {
      const count = table.columns
        .slice(difference.column, difference.lastColumn + 1)
        .filter(({ usual }) => usual).length;
      const bars = numberWords(count, msg('bar'), msg('bars'));
      return count > 0 ? msg(str`${bars} left out`) : '';
    }
    case 'key': {
      const steps = numberWords(Math.abs(difference.shift), msg('semitone'), msg('semitones'));
      return difference.shift > 0 ? msg(str`${steps} higher`) : msg(str`${steps} lower`);
    }
  }
}
