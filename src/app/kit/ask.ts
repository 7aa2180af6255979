import type { Prompt, Session } from './session.js';

type Question = Omit<Prompt, 'submit' | 'cancel' | 'next'> & {
  take(text: string): Promise<void>;
  /** Asks on once the text is taken. */
  readonly goOn?: { readonly label: string; ask(text: string): void };
};

/** Opens the inline field; what is typed goes to `take` once `check` has no complaint. */
export function ask(session: Session, question: Question): void {
  const { view } = session;
  const { take, goOn, ...shown } = question;
  const close = (): void => {
    if (view.prompt.value === prompt) view.prompt.value = undefined;
  };
  const prompt: Prompt = {
    ...shown,
    submit: async (text) => {
      if (question.check(text) !== undefined) return;
      close();
      await take(text);
    },
    ...(goOn
      ? {
          next: {
            label: goOn.label,
            submit: async (text) => {
              if (question.check(text) !== undefined) return;
              await take(text);
              // Who closed the field meanwhile does not want another.
              if (view.prompt.value === prompt) goOn.ask(text);
            },
          },
        }
      : {}),
    cancel: close,
  };
  view.prompt.value = prompt;
}
