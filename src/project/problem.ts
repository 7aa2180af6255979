/** A project file that cannot be read. The message is for the user: what was found and what to do. */
export class ProjectProblem extends Error {
  constructor(
    readonly kind: 'not-a-project' | 'newer' | 'damaged',
    message: string,
  ) {
    super(message);
    this.name = 'ProjectProblem';
  }
}
