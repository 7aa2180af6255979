import { html, type TemplateResult } from 'lit';

/** Stands for the key while the sentence is made; no text has it. */
const PLACE = '\u0001';

/** A sentence with the name of a key in it, the key set as one: in the place where `sentence` puts what it is given. */
export function keyWithin(sentence: (key: string) => string, key: string): TemplateResult {
  const [before, after] = sentence(PLACE).split(PLACE);
  return html`${before}<kbd>${key}</kbd>${after}`;
}
