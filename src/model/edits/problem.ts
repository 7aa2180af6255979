/** An edit that cannot be made as asked. The message is for the user: what was found and what to do. */
export class EditProblem extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'EditProblem';
  }
}
