/** What must not stand inside a line of text: control characters, line ends, marks that turn the writing direction. */
const UNWANTED = /[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]+/g;
const HALF_CHARACTERS = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/**
 * A user's text as one line that any format can hold: a space for what must not stand in a line, U+FFFD for half a
 * surrogate pair; no longer than `most` characters, the last of them "…" where it was cut.
 */
export function oneLine(text: string, most = Infinity): string {
  const plain = withoutHalves(text).replace(UNWANTED, ' ').trim();
  if (plain.length <= most) return plain;
  const characters = Array.from(plain);
  return characters.length <= most ? plain : `${characters.slice(0, most - 1).join('')}…`;
}

/** U+FFFD for each half of a surrogate pair. */
export function withoutHalves(text: string): string {
  return text.replace(HALF_CHARACTERS, '\ufffd');
}
