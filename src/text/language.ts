import { configureLocalization, type LocaleModule } from '@lit/localize';

/** The languages beside English, each loaded when it is wanted; a new one is a file beside en-XA.xlf and a line here. */
const LOADED: Readonly<Record<string, () => Promise<LocaleModule>>> = {
  'en-XA': () => import('./generated/en-XA.js'),
};
const SOURCE = 'en';

const { getLocale, setLocale } = configureLocalization({
  sourceLocale: SOURCE,
  targetLocales: Object.keys(LOADED),
  loadLocale: (locale) => LOADED[locale]!(),
});

/**
 * Takes the first of the wanted languages (BCP 47 tags, the best first) that there is; English without one. Resolves with
 * it when its texts are there. To be called before a text is made.
 */
export async function useLanguage(wanted: readonly string[]): Promise<string> {
  const language = chosenLanguage(wanted);
  await setLocale(language);
  return language;
}

/** The language of the texts that are made now. */
export const languageInUse: () => string = getLocale;

export function chosenLanguage(wanted: readonly string[]): string {
  const there = [SOURCE, ...Object.keys(LOADED)];
  for (const tag of wanted) {
    const found = there.find((each) => each === tag) ?? there.find((each) => each === tag.split('-')[0]);
    if (found) return found;
  }
  return SOURCE;
}
