import { writeNumbersAs } from './music/number-text.js';
import { useLanguage } from './text/language.js';

// The words come first: the program has some of them from the moment it is loaded.
document.documentElement.lang = await useLanguage(navigator.languages);
writeNumbersAs(undefined);
await import('./app.js');
