import { formatHarte, parseHarte, type PitchedChord, type Quality } from './chord.js';
import { degreeOf, noteAbove } from './pitch.js';

/**
 * Chords as musicians type and print them ("Am", "F/A", "Bbmaj7", "C#m7b5", "Cadd9") to and from Harte syntax.
 * The written forms are common practice, no source.
 */

/** What a suffix begins with: pattern, shorthand, degrees it brings. Longest forms first. */
const BASES: readonly (readonly [RegExp, Quality, readonly string[]])[] = [
  [/^(?:m|min|-)7(?:b5|-5)/, 'hdim7', []],
  [/^(?:ø7?|hdim7?)/, 'hdim7', []],
  [/^(?:dim|°|o)7/, 'dim7', []],
  [/^(?:dim|°|o)/, 'dim', []],
  [/^(?:mi?n?|-)(?:maj|ma|M|Δ)7/, 'minmaj7', []],
  [/^(?:maj|ma|M|Δ|j)13/, 'maj13', []],
  [/^(?:maj|ma|M|Δ|j)11/, 'maj11', []],
  [/^(?:maj|ma|M|Δ|j)9/, 'maj9', []],
  [/^(?:(?:maj|ma|M|Δ|j)7|Δ)/, 'maj7', []],
  [/^(?:maj|ma|M)?6(?:\/9|9)/, 'maj6', ['9']],
  [/^(?:maj|ma|M)?6/, 'maj6', []],
  [/^(?:min|mi|m|-)13/, 'min13', []],
  [/^(?:min|mi|m|-)11/, 'min11', []],
  [/^(?:min|mi|m|-)9/, 'min9', []],
  [/^(?:min|mi|m|-)7/, 'min7', []],
  [/^(?:min|mi|m|-)6(?:\/9|9)/, 'min6', ['9']],
  [/^(?:min|mi|m|-)6/, 'min6', []],
  [/^(?:aug|\+)7/, 'aug', ['b7']],
  [/^7(?:#5|\+5|\+)/, 'aug', ['b7']],
  [/^(?:aug|\+)/, 'aug', []],
  [/^(?:13sus4?)/, 'sus4', ['b7', '9', '13']],
  [/^(?:9sus4?)/, 'sus4', ['b7', '9']],
  [/^(?:7sus4?|sus4?7)(?!\d)/, 'sus4', ['b7']],
  [/^7sus2/, 'sus2', ['b7']],
  [/^(?:sus2)/, 'sus2', []],
  [/^(?:sus4?)/, 'sus4', []],
  [/^13/, '13', []],
  [/^11/, '11', []],
  [/^9/, '9', []],
  [/^7/, '7', []],
  [/^5/, '5', []],
  [/^(?:min|mi|m(?!aj|a(?!dd))|-)/, 'min', []],
  [/^(?:maj|ma|M)?/, 'maj', []],
];

const TAIL = /^(add|no|omit|\+|-|b|#)?(b|#)?(13|11|10|[1-9])/;
/** Suffix printed for each shorthand. */
const SUFFIX: Record<Quality, string> = {
  maj: '',
  min: 'm',
  dim: 'dim',
  aug: 'aug',
  '1': '(no3no5)',
  '5': '5',
  sus2: 'sus2',
  sus4: 'sus4',
  maj6: '6',
  min6: 'm6',
  '7': '7',
  maj7: 'maj7',
  min7: 'm7',
  dim7: 'dim7',
  hdim7: 'm7b5',
  minmaj7: 'm(maj7)',
  aug7: '7#5',
  '9': '9',
  maj9: 'maj9',
  min9: 'm9',
  '11': '11',
  maj11: 'maj11',
  min11: 'm11',
  '13': '13',
  maj13: 'maj13',
  min13: 'm13',
};

/**
 * A typed chord as Harte syntax: "Am" is "A:min", "F/A" is "F:maj/3", "NC" is "N". Harte syntax itself is taken too.
 * Throws RangeError with a message for the person who typed.
 */
export function parseLeadSheet(typed: string): string {
  const text = typed.trim().replace(/♯/g, '#').replace(/♭/g, 'b').replace(/−/g, '-');
  if (/^(?:n\.?c\.?|n|no chord)$/i.test(text)) return 'N';
  if (text.includes(':') || text === 'X') {
    const chord = parseHarte(text);
    if (chord) return formatHarte(chord);
  }
  const head = /^([A-Ga-g])(##|bb(?!b)|#|b)?(.*)$/.exec(text);
  if (!head) throw problem(typed);
  const root = (head[1] ?? '').toUpperCase() + (head[2] ?? '');
  const split = /^(.*)\/([A-Ga-g](?:##?|bb?)?)$/.exec((head[3] ?? '').trim());
  const suffix = (split ? (split[1] ?? '') : (head[3] ?? '')).replace(/[\s(),[\]]/g, '');
  const { quality, degrees } = parseSuffix(suffix, typed);
  const bassName = split?.[2] === undefined ? undefined : split[2].charAt(0).toUpperCase() + split[2].slice(1);
  const bass = bassName === undefined ? undefined : degreeOf(root, bassName);
  return formatHarte({
    kind: 'chord',
    root,
    quality,
    degrees,
    ...(bass === undefined || bass === '1' ? {} : { bass }),
  });
}

function parseSuffix(suffix: string, typed: string): { quality: Quality; degrees: readonly string[] } {
  let rest = suffix;
  let quality: Quality = 'maj';
  const degrees: string[] = [];
  for (const [pattern, shorthand, brings] of BASES) {
    const match = pattern.exec(rest);
    if (!match) continue;
    quality = shorthand;
    degrees.push(...brings);
    rest = rest.slice(match[0].length);
    break;
  }
  while (rest !== '') {
    const sus = /^sus(2|4)?/.exec(rest);
    if (sus && !degrees.includes('*3') && !quality.startsWith('sus')) {
      degrees.push(quality.startsWith('min') ? '*b3' : '*3', sus[1] ?? '4');
      rest = rest.slice(sus[0].length);
      continue;
    }
    const match = TAIL.exec(rest);
    if (!match) throw problem(typed);
    const [all, word = '', sign = '', number = ''] = match;
    rest = rest.slice(all.length);
    if (word === 'no' || word === 'omit') {
      degrees.push(`*${number === '3' && quality.startsWith('min') ? 'b3' : sign + number}`);
      continue;
    }
    if (sign === '' && (word === '' || word === 'add') && /^(?:1|3|5|7|8|10)$/.test(number)) throw problem(typed);
    const accidental = sign || (word === '+' ? '#' : word === '-' ? 'b' : word === 'b' || word === '#' ? word : '');
    if (number === '5' && accidental !== '' && word !== 'add') degrees.push('*5');
    degrees.push(accidental + number);
  }
  return { quality, degrees };
}

/** Harte syntax as a lead sheet prints it; what is not Harte syntax is returned as it is. "N" is "N.C.". */
export function leadSheetText(harte: string): string {
  const chord = parseHarte(harte);
  if (!chord) return harte;
  if (chord.kind === 'none') return 'N.C.';
  if (chord.kind === 'unknown') return '?';
  const bass = chord.bass === undefined ? '' : `/${noteAbove(chord.root, chord.bass)}`;
  return chord.root + suffixOf(chord) + bass;
}

function suffixOf(chord: PitchedChord): string {
  const { quality, degrees } = chord;
  if (quality === undefined) return `(${degrees.join(',')})`;
  const listed = degrees.join(',');
  if (quality === 'sus4' && listed === 'b7') return '7sus4';
  if (quality === 'sus4' && listed === 'b7,9') return '9sus4';
  if (quality === 'sus4' && listed === 'b7,9,13') return '13sus4';
  if (quality === 'sus2' && listed === 'b7') return '7sus2';
  if (quality === 'aug' && listed === 'b7') return '7#5';
  if (quality === 'maj6' && listed === '9') return '6/9';
  if (quality === 'min6' && listed === '9') return 'm6/9';
  const altered = degrees.filter((d) => !(d === '*5' && (degrees.includes('b5') || degrees.includes('#5'))));
  const parts = altered.map((degree) => {
    if (degree.startsWith('*')) return `no${degree.replace(/[*b#]/g, '')}`;
    return /^[b#]/.test(degree) && /[79]|1[13]/.test(SUFFIX[quality])
      ? degree
      : altersFifth(degree, degrees)
        ? degree
        : `add${degree}`;
  });
  const tail = parts.join('');
  // A sharp or flat straight after the root would be read as the root's.
  return SUFFIX[quality] === '' && /^[b#]/.test(tail) ? `(${tail})` : SUFFIX[quality] + tail;
}

function altersFifth(degree: string, degrees: readonly string[]): boolean {
  return /^[b#]5$/.test(degree) && degrees.includes('*5');
}

function problem(typed: string): RangeError {
  return new RangeError(`chord: found "${typed}"; write it like Am, F/A, G7, Bbmaj7, C#m7b5, D5, Cadd9 or NC`);
}
