import { msg, str } from '@lit/localize';
import { EditProblem } from './problem.js';

const LONGEST_NAME = 80;

/** A name as it is kept, of a section or an arrangement. Throws EditProblem for one of nothing or too long. */
export function cleanName(
  name: string,
  missing = msg('A section needs a name: type one, like verse or bridge.'),
): string {
  const clean = name.trim().replace(/\s+/g, ' ');
  if (clean === '') throw new EditProblem(missing);
  if (clean.length > LONGEST_NAME) throw new EditProblem(msg(str`A name can have up to ${LONGEST_NAME} characters.`));
  return clean;
}
