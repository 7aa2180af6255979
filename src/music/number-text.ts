let locale: string | undefined = 'en';
let formats = new Map<string, Intl.NumberFormat>();

/**
 * From now on numbers are written as in the language `tag` (BCP 47), or, where it is undefined, as the browser writes them;
 * until then as in English.
 */
export function writeNumbersAs(tag: string | undefined): void {
  locale = tag;
  formats = new Map();
}

/**
 * A number for a person to read: at most `digits` places behind the decimal sign and at least `least`, not grouped. Not for
 * files, styles and values of fields, which programs read.
 */
export function numberText(value: number, digits: number, least = 0): string {
  const key = `${digits} ${least}`;
  let format = formats.get(key);
  if (!format) {
    const places = { minimumFractionDigits: least, maximumFractionDigits: digits };
    format = new Intl.NumberFormat(locale, { ...places, useGrouping: false });
    formats.set(key, format);
  }
  // Rounded here, so that no "-0" is left.
  return format.format(Number(value.toFixed(digits)) + 0);
}
