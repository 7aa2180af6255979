// Printed name -> Harte syntax, guitar shape (strings E A D G B E, x not played), ukulele shape (G C E A, re-entrant).
// Shapes: common practice, no source.
export const CHORDS = {
  D: { harte: 'D', guitar: 'xx0232', ukulele: '2220' },
  'D/F#': { harte: 'D:maj/3', guitar: '2x0232', ukulele: '2220' },
  G: { harte: 'G', guitar: '320033', ukulele: '0232' },
  A: { harte: 'A', guitar: 'x02220', ukulele: '2100' },
  A7: { harte: 'A:7', guitar: 'x02020', ukulele: '0100' },
  Asus4: { harte: 'A:sus4', guitar: 'x02230', ukulele: '2200' },
  Bm: { harte: 'B:min', guitar: 'x24432', ukulele: '4222' },
  'F#m': { harte: 'F#:min', guitar: '244222', ukulele: '2120' },
  Em: { harte: 'E:min', guitar: '022000', ukulele: '0432' },
  C: { harte: 'C', guitar: 'x32010', ukulele: '0003' },
  Am: { harte: 'A:min', guitar: 'x02210', ukulele: '2000' },
  'Am/G': { harte: 'A:min/b7', guitar: '3x2210', ukulele: '2000' },
  'Am/E': { harte: 'A:min/5', guitar: '002210', ukulele: '2000' },
  'C/E': { harte: 'C:maj/3', guitar: '032010', ukulele: '0003' },
  'G/B': { harte: 'G:maj/3', guitar: 'x20033', ukulele: '0232' },
  F: { harte: 'F', guitar: 'xx3211', ukulele: '2010' },
  Fmaj7: { harte: 'F:maj7', guitar: 'xx3210', ukulele: '2413' },
  E: { harte: 'E', guitar: '022100', ukulele: '4442' },
  E7: { harte: 'E:7', guitar: '020100', ukulele: '1202' },
  Dm: { harte: 'D:min', guitar: 'xx0231', ukulele: '2210' },
  Bm7b5: { harte: 'B:hdim7', guitar: 'x2323x', ukulele: '2212' },
};

const GUITAR = [40, 45, 50, 55, 59, 64];
const UKULELE = [67, 60, 64, 69];
const NAMES = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

export function chord(name) {
  const found = CHORDS[name];
  if (!found) throw new Error(`no shape for the chord "${name}"`);
  return found;
}

/** Pitches of the strings that sound, lowest string first. */
export function guitarStrings(name) {
  return fretted(chord(name).guitar, GUITAR);
}

/** Pitches of the four strings in the order in which a down-stroke meets them. */
export function ukuleleStrings(name) {
  return fretted(chord(name).ukulele, UKULELE);
}

function fretted(shape, strings) {
  return [...shape].flatMap((fret, i) => (fret === 'x' ? [] : [strings[i] + Number(fret)]));
}

function pitchClass(text) {
  return (NAMES[text[0]] + (text[1] === '#' ? 1 : text[1] === 'b' ? -1 : 0) + 12) % 12;
}

/** Pitch class that the bass plays: the one after the slash, else the root. */
export function bassClass(name) {
  return pitchClass(name.split('/')[1] ?? name);
}

export function rootClass(name) {
  return pitchClass(name);
}

/** Pitch classes of the chord, from its guitar shape. */
export function toneClasses(name) {
  return new Set(guitarStrings(name).map((pitch) => pitch % 12));
}
