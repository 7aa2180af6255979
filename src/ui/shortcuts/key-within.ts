import { html, type TemplateResult } from 'lit';

/** A sentence with the name of a key in it, the key set as one. */
export function keyWithin(sentence: string, key: string): TemplateResult {
  const at = sentence.indexOf(key);
  if (at < 0) return html`${sentence}`;
  return html`${sentence.slice(0, at)}<kbd>${key}</kbd>${sentence.slice(at + key.length)}`;
}
