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

/** Colour of the sections with this letter ("A", "B", "A2"); after the seventh letter they begin again. */
export function sectionColour(letter: string): string {
  const place = letter.toUpperCase().charCodeAt(0) - 65;
  const count = SECTION_COLOURS.length;
  return SECTION_COLOURS[Number.isFinite(place) ? ((place % count) + count) % count : 0] ?? SECTION_COLOURS[0];
}
