import type { Prompt, Session } from '../session.js';

type Question = Omit<Prompt, 'submit' | 'cancel'> & { take(text: string): Promise<void> };

/** Opens the inline field; what is typed goes to `take` once `check` has no complaint. */
export function ask(session: Session, question: Question): void {
  const { view } = session;
  const { take, ...shown } = question;
  const prompt: Prompt = {
    ...shown,
    submit: async (text) => {
      if (question.check(text) !== undefined) return;
      if (view.prompt.value === prompt) view.prompt.value = undefined;
      await take(text);
    },
    cancel: () => {
      if (view.prompt.value === prompt) view.prompt.value = undefined;
    },
  };
  view.prompt.value = prompt;
}
