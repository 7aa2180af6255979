/**
 * Colours of sections, told apart by colour-blind eyes. They are grounds and edges, never text: a letter always stands by.
 * Source: Okabe and Ito, "Color Universal Design" (2008), without black. Format: sRGB, in the order letters take them.
 */
export const SECTION_COLOURS = [
  '#0072b2', // blue
  '#e69f00', // orange
  '#009e73', // bluish green
  '#cc79a7', // reddish purple
  '#56b4e9', // sky blue
  '#d55e00', // vermillion
  '#f0e442', // yellow
] as const;

/** Share of black, then of white, mixed in when all colours have been used: H to N, O to U. Own choice, by eye on both pages. */
const TONES = [
  { towards: 0, share: 0 },
  { towards: 0, share: 0.38 },
  { towards: 255, share: 0.45 },
] as const;

/** Colour of the sections with this letter ("A", "B", "AA"); each of the seven comes in three tones before they begin again. */
export function sectionColour(letter: string): string {
  const place = placeOfLetter(letter);
  const colour = SECTION_COLOURS[place % SECTION_COLOURS.length] ?? SECTION_COLOURS[0];
  const { towards, share } = TONES[Math.floor(place / SECTION_COLOURS.length) % TONES.length] ?? TONES[0];
  if (share === 0) return colour;
  return mixed(colour, towards, share);
}

/** A colour with a share (0 to 1) of a grey mixed in, 0 black to 255 white. */
export function mixed(colour: string, grey: number, share: number): string {
  const parts = [1, 3, 5].map((at) => {
    const part = parseInt(colour.slice(at, at + 2), 16);
    return Math.round(part + (grey - part) * share);
  });
  return `#${parts.map((part) => part.toString(16).padStart(2, '0')).join('')}`;
}

/** A is 0, Z is 25, AA is 26; what is no letter is 0. */
function placeOfLetter(letter: string): number {
  const letters = /^[A-Z]*/.exec(letter.toUpperCase())?.[0] ?? '';
  return Math.max(0, [...letters].reduce((sum, char) => 26 * sum + char.charCodeAt(0) - 64, 0) - 1);
}
