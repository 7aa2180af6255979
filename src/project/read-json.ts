import { msg, str } from '@lit/localize';

/** Largest JSON text that is read, in characters or bytes: a history of thousands of edits has some 20 million. */
export const MOST_JSON = 64 * 2 ** 20;

/** Most values of a JSON text; each takes some 60 bytes of memory once it is read, be it as small as "{}". */
export const MOST_VALUES = 4_000_000;

const [QUOTE, BACKSLASH, COMMA, LIST, OBJECT] = [0x22, 0x5c, 0x2c, 0x5b, 0x7b];

/** A JSON text that would take more memory than any real one. The message is a part of a sentence: what was found. */
export class JsonTooLarge extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'JsonTooLarge';
  }
}

/** Parses JSON, without a byte-order mark. Throws JsonTooLarge before it takes memory, SyntaxError for what is no JSON. */
export function readJson(text: string): unknown {
  if (text.length > MOST_JSON) throw new JsonTooLarge(msg(str`its text has more than ${MOST_JSON / 2 ** 20} MB`));
  const values = countValues(text);
  if (values > MOST_VALUES)
    throw new JsonTooLarge(msg(str`its text has ${values} values, and at most ${MOST_VALUES} are read`));
  return JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
}

/** Upper bound of the values: commas and opening brackets outside of texts. */
function countValues(text: string): number {
  let count = 1;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (quoted) {
      if (code === BACKSLASH) i++;
      else if (code === QUOTE) quoted = false;
    } else if (code === QUOTE) quoted = true;
    else if (code === COMMA || code === LIST || code === OBJECT) count++;
  }
  return count;
}
